"""How likely a breaker opens when it did, held to the times of its standard."""

import numpy as np
import pytest

from spreadload.electrical.protection import Device
from spreadload.electrical.trip_gates import Curve, DeviceKind
from spreadload.electrical.trip_odds import TripOdds, trip_odds

MCB = Device(DeviceKind.MCB, 16.0, Curve.C)


def test_a_breaker_within_its_rating_holds_all_day() -> None:
    """Well below its rating nothing opens a breaker, whatever the hour."""
    odds = trip_odds(MCB, 8 * 3600.0)
    assert odds.holds_at(np.array([0.7]))[0] == pytest.approx(1.0)
    assert odds.opens_at(np.array([0.7]))[0] == pytest.approx(0.0)


def test_what_must_have_opened_within_the_hour_does_not_hold_it() -> None:
    """IEC 60898-1 table 7: 1.45 times opens within the hour, so twice the rating never holds it."""
    assert trip_odds(MCB, 3600.0).holds_at(np.array([2.2]))[0] == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("seconds", [30.0, 300.0, 3600.0])
def test_more_load_never_holds_longer(seconds: float) -> None:
    """At any time the odds of holding fall as the load rises."""
    held = trip_odds(MCB, seconds).holds
    assert np.all(np.diff(held) <= 1e-12)


@pytest.mark.parametrize(("sooner_s", "later_s"), [(20.0, 200.0), (200.0, 2000.0)])
def test_a_later_trip_speaks_for_a_smaller_load(sooner_s: float, later_s: float) -> None:
    """The multiple that explains a trip best falls as the trip comes later."""
    best = [odds.ratios[odds.opens.argmax()] for odds in map(_odds, (sooner_s, later_s))]
    assert best[0] > best[1] > 1


def _odds(seconds: float) -> TripOdds:
    return trip_odds(MCB, seconds)
