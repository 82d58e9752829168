"""Voltage ranges and drop limits by region."""

import pytest

from spreadload.electrical.nominal import VoltageRegion, drop_limit, voltage_range


@pytest.mark.parametrize("region", VoltageRegion)
def test_every_region_has_a_range_round_its_nominal(region: VoltageRegion) -> None:
    """Low is below nominal and nominal below high."""
    row = voltage_range(region)
    assert row.low_v < row.nominal_v < row.high_v


@pytest.mark.parametrize(
    ("region", "low_v", "high_v"),
    [
        (VoltageRegion.UK, 230 * 0.94, 230 * 1.10),
        (VoltageRegion.AU, 230 * 0.94, 230 * 1.10),
        (VoltageRegion.NZ, 230 * 0.94, 230 * 1.06),
        (VoltageRegion.EU, 230 * 0.90, 230 * 1.10),
        (VoltageRegion.US, 120 * 0.95, 120 * 1.05),
    ],
)
def test_ranges_are_their_percentages(region: VoltageRegion, low_v: float, high_v: float) -> None:
    """The volts printed in the rules are the percentages of the same rules."""
    row = voltage_range(region)
    assert (row.low_v, row.high_v) == pytest.approx((low_v, high_v))


def test_drop_limits_say_whether_they_bind() -> None:
    """AU/NZ 5 % binds, the UK's 3 and 5 % advise, Japan has no figure here."""
    australian = drop_limit(VoltageRegion.AU)
    british = drop_limit(VoltageRegion.UK)
    assert australian is not None
    assert british is not None
    assert (australian.other_pct, australian.is_mandatory) == (5, True)
    assert (british.lighting_pct, british.other_pct, british.is_mandatory) == (3, 5, False)
    assert drop_limit(VoltageRegion.JP) is None
