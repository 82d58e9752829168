"""Warm and full boards."""

import pytest

from spreadload.electrical.grouping import (
    UL_REFERENCE_C,
    ambient_factor,
    side_by_side_factor,
    warm_board_factor,
)


@pytest.mark.parametrize(
    ("count", "beside"), [(0, 1), (1, 1), (3, 0.95), (5, 0.9), (6, 0.85), (12, 0.85)]
)
def test_the_factor_steps_with_the_number_loaded(count: int, beside: float) -> None:
    """A maker's grouping data."""
    assert side_by_side_factor(count) == beside


def test_heat_takes_off_and_cold_gives_nothing() -> None:
    """Below the reference 30 °C nothing is gained; above it the factor falls without a step up."""
    assert ambient_factor(-10) == ambient_factor(30) == 1
    assert ambient_factor(45) == pytest.approx(0.9)
    assert ambient_factor(40) > ambient_factor(48) > ambient_factor(60) > 0
    assert ambient_factor(500) == 0


def test_both_factors_multiply() -> None:
    """Six loaded neighbours at 45 °C keep 0.85 x 0.9."""
    assert warm_board_factor(6, 45) == pytest.approx(0.765)


def test_a_breaker_rated_at_forty_degrees_loses_nothing_there() -> None:
    """UL 489 ratings are for 40 °C: at 55 °C one keeps what one rated at 30 °C keeps at 45 °C."""
    assert ambient_factor(40, UL_REFERENCE_C.value) == 1
    assert ambient_factor(55, UL_REFERENCE_C.value) == pytest.approx(ambient_factor(45))
