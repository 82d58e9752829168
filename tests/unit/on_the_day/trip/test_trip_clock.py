"""What the clock says: bands of load by delay, and the load that is not in the plan.

Bands by delay: common practice, no source (a crew's table: seconds to a minute above 2.5 times,
1 to 10 minutes 1.4 to 2, 10 to 60 minutes 1.2 to 1.5, hours 1.0 to 1.3). That no miniature breaker
is slower than its standard: IEC 60898-1 table 7.
"""

import pytest

from builders import amps, circuits, outlet, put, setup, small_job
from spreadload.electrical.protection import Device
from spreadload.electrical.trip_gates import DeviceKind
from spreadload.on_the_day.scene.delay import delay_of
from spreadload.on_the_day.trip.causes import Cause
from spreadload.on_the_day.trip.diagnosis import TripAnswer
from spreadload.on_the_day.trip.lines import radio_line
from spreadload.report.style import Style
from spreadload.report.trip_text import trip_text
from trips import causes, told


def after(seconds: float, *, planned_a: float = 12.0, just: str = "") -> TripAnswer:
    """Return the answer for a 20 A circuit with one load that held so long."""
    job = small_job(
        circuits=circuits(P1=20.0, P2=20.0),
        heads={"lamp": amps(planned_a)},
        setups=[setup(lamp="lounge")],
    )
    return told(job, put("lamp", "O1"), device="P1", after_s=seconds, just=just)


def test_five_minutes_on_a_half_loaded_breaker_is_a_heater_of_16_to_28_amps() -> None:
    """Worked case, common practice: 12 A planned of 20, five minutes: 1.4 to 2 x 20 - 12."""
    answer = after(300.0)
    assert answer.intruder is not None
    assert (answer.intruder.low_a, answer.intruder.high_a) == pytest.approx((16, 28), abs=0.05)
    assert "about 16 to 28 A is not in the plan" in radio_line(answer)
    assert answer.move is None


def test_what_no_plug_draws_is_looked_for_as_a_fault() -> None:
    """A breaker of 20 A that goes 5 s after the lamp: 32 A or more beside its 12 A.

    IEC 60898-1 table 7: seconds are 2.2 times the rating and more. Two kettles of 10 A are 20 A
    (AS/NZS 3112: 10 A to a plug), so the lamp is suspected and stays off.
    """
    answer = after(5.0, just="lamp")
    assert answer.intruder is not None
    assert answer.intruder.is_beyond_plugs
    assert answer.intruder.low_a >= 2.2 * 20 - 12 - 1
    assert radio_line(answer).startswith("Unplug lamp. Look for a fault on ")
    assert answer.back is not None
    assert answer.back.order == ()
    slower = after(300.0, just="lamp")
    assert slower.intruder is not None
    assert not slower.intruder.is_beyond_plugs
    assert slower.back is not None
    assert [p.load for p in slower.back.order] == ["lamp"]


@pytest.mark.parametrize(
    ("seconds", "low", "high"),
    [(300.0, 1.4, 2.0), (1800.0, 1.2, 1.5), (3 * 3600.0, 1.0, 1.3)],
)
def test_bands_of_a_household_breaker(seconds: float, low: float, high: float) -> None:
    """The longer it held, the smaller the overload."""
    delay = delay_of(Device(DeviceKind.MCB, 20.0), seconds)
    assert delay.low == pytest.approx(low, abs=0.05)
    assert delay.high == pytest.approx(high, abs=0.05)


def test_within_a_minute_the_overload_is_gross() -> None:
    """IEC 60898-1 table 7: 2.55 times the rating opens within a minute, so the band reaches it."""
    delay = delay_of(Device(DeviceKind.MCB, 20.0), 45.0)
    assert delay.low >= 1.5
    assert delay.high > 2.55


def test_at_once_says_nothing_of_the_steady_load_and_names_what_was_switched_on() -> None:
    """Inrush or a short in that item; no unseen load is made up."""
    answer = after(0.0, just="toaster")
    assert answer.intruder is not None
    assert not answer.intruder.is_sized
    assert "toaster" in radio_line(answer)
    assert answer.is_at_once


def test_hours_on_a_full_breaker_need_no_heater() -> None:
    """19.3 A on a warm 20 A breaker is reason enough after hours; then our own plug moves."""
    answer = after(2 * 3600.0, planned_a=19.3)
    assert answer.intruder is None
    assert answer.is_ours


def test_what_flows_and_not_what_is_counted_is_held_against_the_clock() -> None:
    """Where long loads count 1.25 times, the unseen load is reckoned from real amps."""
    job = small_job(
        region="US",
        supply={"system": "split-phase", "limit_a": 100.0, "limit_source": "stated"},
        circuits={
            "P1": circuits(P1=20.0)["P1"] | {"phase": "A"},
            "P2": circuits(P2=20.0)["P2"] | {"phase": "B"},
        },
        heads={"lamp": amps(12.0)},
        setups=[setup(lamp="lounge")],
    )
    answer = told(job, put("lamp", "O1"), device="P1", after_s=300.0)
    assert answer.carried is not None
    assert answer.intruder is not None
    assert (answer.carried.counted, answer.carried.actual) == (15_000, 12_000)
    assert answer.intruder.low_a == pytest.approx(answer.delay.low * 20 - 12)  # type: ignore[union-attr]


def test_a_rewireable_fuse_is_read_by_its_own_curve() -> None:
    """BS 3036, from memory: it fuses near twice its rating, so minutes mean more than a breaker."""
    fuse = delay_of(Device(DeviceKind.REWIREABLE_FUSE, 15.0), 1800.0)
    breaker = delay_of(Device(DeviceKind.MCB, 15.0), 1800.0)
    assert fuse.high >= breaker.high


@pytest.mark.parametrize(("planned_a", "seconds"), [(26.0, 1200.0), (32.0, 240.0), (24.0, 7200.0)])
def test_a_clock_that_fits_the_overload_does_not_speak_for_a_dead_lamp(
    planned_a: float, seconds: float
) -> None:
    """A lamp dies at one time as well as at another; a breaker at 1.3 times opens about then.

    Times of the overloads: IEC 60898-1 table 7, between the conventional times.
    """
    job = small_job(
        circuits=circuits(P1=20.0, P2=20.0),
        heads={"lamp": amps(planned_a)},
        setups=[setup(lamp="lounge")],
    )
    lamp = put("lamp", "O1", place="lounge")
    read = causes(told(job, lamp, dark=("O1",), lit=("O2",), after_s=seconds))
    unread = causes(told(job, lamp, dark=("O1",), lit=("O2",)))
    assert read[Cause.ITEM] <= unread[Cause.ITEM]
    assert read[Cause.BREAKER] > read[Cause.ITEM]


@pytest.mark.parametrize(("delay_s", "is_sized"), [(300.0, True), (None, False)])
def test_ours_stays_dark_only_where_nothing_is_found(
    delay_s: float | None, *, is_sized: bool
) -> None:
    """8.5 of 10 A warm a breaker, but after 5 min 14 to 20 A were on it: that comes off first."""
    job = small_job(
        circuits=circuits(P1=10.0),
        outlets={"O1": outlet("P1", "lounge")},
        heads={"lamp": amps(8.5)},
    )
    answer = told(job, put("lamp", "O1", place="lounge"), device="P1", after_s=delay_s)
    assert (answer.intruder is not None) == is_sized
    said = " ".join(trip_text(answer, Style()).split())
    assert ("If nothing is found there: leave lamp dark: leaves 0 %" in said) == is_sized
    assert ("clears it. Leave lamp dark: leaves 0 %" in said) != is_sized
