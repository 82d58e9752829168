"""Loads at other volts than their plate's."""

import pytest

from spreadload.electrical.behaviour import (
    LoadClass,
    current_ratio,
    light_ratio,
    power_ratio,
)


@pytest.mark.parametrize(
    ("load_class", "current", "power"),
    [
        (LoadClass.CONSTANT_POWER, 1 / 0.9, 1.0),
        (LoadClass.MOTOR, 1 / 0.9, 1.0),
        (LoadClass.CONSTANT_RESISTANCE, 0.9, 0.81),
        (LoadClass.TUNGSTEN, 0.9**0.55, 0.9**1.55),
        (LoadClass.MAGNETIC_BALLAST, 0.9, 0.81),
    ],
)
def test_ten_per_cent_low(load_class: LoadClass, current: float, power: float) -> None:
    """Regulated loads draw more amps at low volts, the others less of everything."""
    assert current_ratio(load_class, 0.9) == pytest.approx(current)
    assert power_ratio(load_class, 0.9) == pytest.approx(power)


@pytest.mark.parametrize("load_class", LoadClass)
def test_power_is_volts_times_amps(load_class: LoadClass) -> None:
    """The two exponents of every class are consistent, and nothing changes at rated volts."""
    assert power_ratio(load_class, 0.83) == pytest.approx(0.83 * current_ratio(load_class, 0.83))
    assert current_ratio(load_class, 1) == power_ratio(load_class, 1) == 1


def test_only_unregulated_light_fades_with_the_volts() -> None:
    """Tungsten at 95 % gives 84 % of its light (V^3.4); regulated heads give all of it."""
    assert light_ratio(LoadClass.TUNGSTEN, 0.95) == pytest.approx(0.84, abs=0.005)
    assert light_ratio(LoadClass.CONSTANT_POWER, 0.9) == 1
