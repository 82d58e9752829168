"""What each set-up asks for."""

from typing import Any

import pytest

from builders import amps, small_job
from spreadload.derived.asked import demands, hours


def asked(**changes: Any) -> dict[str, int]:  # noqa: ANN401 - any entry of a job file
    """Return the loads on in the first set-up with their counts."""
    job = small_job(heads={}, **changes)
    return {demand.load: demand.count for demand in demands(job, job.setups[0])}


def window(start: str, end: str, *on: str) -> list[dict[str, Any]]:
    """Return one set-up with times and what else is on."""
    return [{"id": "SU1", "from": start, "to": end, "on": list(on)}]


def test_a_named_load_is_on_with_all_its_units() -> None:
    """A list names all units; a mapping names how many."""
    urns = {"urn": amps(5.0, count=2)}
    assert asked(departments=urns, setups=[{"id": "SU1", "on": ["urn"]}]) == {"urn": 2}
    assert asked(departments=urns, setups=[{"id": "SU1", "on": {"urn": 1}}]) == {"urn": 1}
    assert asked(departments=urns, setups=[{"id": "SU1"}]) == {}


def test_what_must_stay_on_is_always_on() -> None:
    """The freezer counts in every set-up without being named."""
    freezer = {"freezer": amps(1.0, policy="must stay on")}
    assert asked(house=freezer, setups=[{"id": "SU1"}]) == {"freezer": 1}


def test_what_must_be_off_never_counts() -> None:
    """A load that must be off is off even if it would start by itself."""
    pump = {"pump": amps(5.0, policy="must be off", starts_by_itself=True)}
    assert asked(house=pump, setups=[{"id": "SU1"}]) == {}


@pytest.mark.parametrize(
    ("start", "end", "is_on"),
    [
        ("22:00", "23:00", False),
        ("22:00", "23:01", True),
        ("01:00", "02:00", True),
        ("23:30", "00:30", True),
        ("05:00", "07:00", False),
    ],
)
def test_a_timer_past_midnight(start: str, end: str, is_on: bool) -> None:  # noqa: FBT001
    """Hot water on from 23:00 to 05:00 counts in exactly the set-ups it overlaps."""
    timer = {"starts_from": "23:00", "starts_to": "05:00"}
    found = asked(house={"hot water": amps(13.0, **timer)}, setups=window(start, end))
    assert found == ({"hot water": 1} if is_on else {})


@pytest.mark.parametrize(
    ("start", "end", "is_on"), [("12:00", "23:00", False), ("22:00", "23:01", True)]
)
def test_what_must_stay_on_draws_in_its_hours_only(start: str, end: str, is_on: bool) -> None:  # noqa: FBT001
    """Nobody may switch the cylinder off, and by day it draws nothing all the same.

    Common practice, no source: ripple-controlled hot water runs at night.
    """
    timer = {"starts_by_itself": True, "starts_from": "23:00", "starts_to": "05:00"}
    water = {"hot water": amps(13.0, policy="must stay on", **timer)}
    assert asked(house=water, setups=window(start, end)) == ({"hot water": 1} if is_on else {})


def test_a_load_that_starts_at_any_time_counts_always() -> None:
    """Without stated times the worst is assumed."""
    pump = {"pump": amps(5.0, starts_by_itself=True)}
    assert asked(house=pump, setups=window("09:00", "10:00")) == {"pump": 1}


@pytest.mark.parametrize(
    ("start", "end", "length_h"), [("09:00", "12:30", 3.5), ("22:00", "01:00", 3.0)]
)
def test_hours_pass_midnight(start: str, end: str, length_h: float) -> None:
    """A set-up that ends before it starts passes midnight."""
    job = small_job(heads={}, setups=window(start, end))
    assert hours(job.setups[0]) == length_h


def test_places_may_be_counted_or_listed() -> None:
    """One name, a list with repeats, and a mapping all say where units stand."""
    lamp = {"lamp": amps(1.0, count=3)}
    for places in ({"lounge": 2, "bed": 1}, ["lounge", "bed", "lounge"]):
        job = small_job(heads=lamp, setups=[{"id": "SU1", "heads": {"lamp": places}}])
        found = {demand.place: demand.count for demand in demands(job, job.setups[0])}
        assert found == {"lounge": 2, "bed": 1}
