"""Standing leakage against RCDs and GFCIs."""

import pytest

from spreadload.electrical.leakage import (
    LeakageKind,
    LeakageOutcome,
    gfci,
    gfci_latest_s,
    leakage_guess,
    leakage_verdict,
    rcd,
)


@pytest.mark.parametrize(
    ("sum_ma", "outcome"),
    [
        (9.0, LeakageOutcome.WITHIN_GUIDE),
        (9.1, LeakageOutcome.ABOVE_GUIDE),
        (15.0, LeakageOutcome.ABOVE_GUIDE),
        (15.1, LeakageOutcome.MAY_TRIP),
        (42.8, LeakageOutcome.MAY_TRIP),
        (42.9, LeakageOutcome.WILL_TRIP),
    ],
)
def test_a_30_ma_device_in_steps(sum_ma: float, outcome: LeakageOutcome) -> None:
    """30 % is the guide, above 50 % it may trip; certain once even 0.7 of the sum reaches it."""
    found = leakage_verdict([sum_ma / 2, sum_ma / 2], rcd(30))
    assert found.outcome is outcome
    assert str(outcome) in found.words
    assert found.sum_ma == pytest.approx(sum_ma)


def test_a_gfci_has_room_for_little() -> None:
    """A class A device ignores 4 mA and opens at 6: two filtered heads already may trip it."""
    large = leakage_guess(LeakageKind.LED_LARGE).likely_ma
    assert leakage_verdict([large], gfci()).outcome is LeakageOutcome.WITHIN_GUIDE
    assert leakage_verdict([large] * 2, gfci()).outcome is LeakageOutcome.ABOVE_GUIDE
    assert leakage_verdict([large] * 3, gfci()).outcome is LeakageOutcome.MAY_TRIP


def test_gfci_time_follows_the_formula_inside_its_range() -> None:
    """UL 943: no answer below 6 mA, 25 ms at 264 mA and no slower above."""
    assert gfci_latest_s(5.9) is None
    assert gfci_latest_s(20) == pytest.approx(1)
    assert gfci_latest_s(264) == gfci_latest_s(5000) == pytest.approx(0.025, abs=5e-4)


@pytest.mark.parametrize("kind", LeakageKind)
def test_every_kind_has_a_guess(kind: LeakageKind) -> None:
    """Each default is positive and below the worst its row allows."""
    row = leakage_guess(kind)
    assert 0 < row.likely_ma <= row.high_ma <= 3.5


def test_nothing_leaks_nothing() -> None:
    """No loads, no leakage."""
    assert leakage_verdict([], rcd(10)).sum_ma == 0
