"""Sizing a generator."""

import pytest

from spreadload.electrical.generator import (
    GeneratorLoad,
    altitude_factor,
    derating_factor,
    generator_need,
    temperature_factor,
)


@pytest.mark.parametrize(("height_m", "factor"), [(0, 1), (1000, 1), (1500, 0.97), (2000, 0.94)])
def test_a_set_gives_less_high_up(height_m: float, factor: float) -> None:
    """3 % per 500 m above 1000 m (operator manuals)."""
    assert altitude_factor(height_m) == pytest.approx(factor)


@pytest.mark.parametrize(("air_c", "factor"), [(-5, 1), (40, 1), (45, 0.97), (50, 0.94)])
def test_a_set_gives_less_in_the_heat(air_c: float, factor: float) -> None:
    """3 % per 5 °C above 40 °C (operator manuals)."""
    assert temperature_factor(air_c) == pytest.approx(factor)


def test_need_counts_power_factor_margin_start_and_derating() -> None:
    """2 kW of heads at 0.9 and a pump: each figure of the need by hand."""
    loads = [GeneratorLoad(1800, 0.9), GeneratorLoad(200, 0.8, extra_start_w=1000)]
    need = generator_need(loads, altitude_m=2000, ambient_c=45)
    assert need.running_w == 2000
    assert need.running_va == pytest.approx(2250)
    assert need.peak_w == 3000
    assert need.derating == pytest.approx(0.94 * 0.97) == pytest.approx(derating_factor(2000, 45))
    assert need.plate_w == pytest.approx(2400 / need.derating)
    assert need.plate_va == pytest.approx(2700 / need.derating)
    assert need.plate_peak_w == pytest.approx(3000 / need.derating)


def test_nothing_needs_nothing_and_no_air_gives_nothing() -> None:
    """An empty list needs no plate; where a set gives nothing no plate is enough."""
    assert generator_need([]).plate_va == 0
    assert generator_need([GeneratorLoad(1)], altitude_m=40000).plate_w == float("inf")
