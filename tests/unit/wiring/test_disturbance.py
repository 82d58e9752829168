"""What a test darkens, and what the owner's leave allows."""

import pytest

from builders import amps, circuit, outlet, small_job
from spreadload.job.job import Job
from spreadload.wiring.disturbance import Disturbance, disturbance, may_switch
from spreadload.wiring.maps import listed_maps
from spreadload.wiring.model import WiringModel
from spreadload.wiring.trials import SWITCH_MIN, WALK_MIN, Trial, TrialKind


def house(**changes: object) -> Job:
    """Return a house with an open outlet, a pump that must stay on, and a computer."""
    stated: dict[str, object] = {
        "circuits": {
            "P1": circuit(10.0, rcd="R1"),
            "P2": circuit(10.0, rcd="R1"),
            "P3": circuit(10.0),
        },
        "rcds": {"R1": {"trips_at_ma": 30.0}},
        "outlets": {"O1": outlet("P1", "lounge"), "O2": outlet(None, "bed")},
        "house": {
            "pump": amps(1.0, outlet="O1", policy="must stay on"),
            "computer": amps(1.0, room="bed", kind="electronics"),
        },
    }
    return small_job(**(stated | changes))


def told(job: Job, trial: Trial) -> Disturbance:
    """Return what a test disturbs in a house, every wiring counted."""
    return disturbance(job, listed_maps(WiringModel.of(job)), trial)


def off(*circuits: str) -> Trial:
    """Return the test of switching breakers off."""
    return Trial(TrialKind.BREAKER, off=circuits)


def test_what_must_stay_on_is_asked_about_where_nothing_is_said() -> None:
    """The pump is on P1 for sure; the computer may be on any circuit."""
    assert told(house(), off("P1")) == Disturbance(
        is_allowed=True, ask_leave=("pump",), shut_down=("computer",), dark_min=SWITCH_MIN.value
    )
    assert told(house(), off("P2")).ask_leave == ()
    assert told(house(), off("P2")).shut_down == ("computer",)


@pytest.mark.parametrize(("minutes", "is_allowed"), [(0, False), (0.5, False), (5, True)])
def test_a_load_may_lose_power_for_as_long_as_was_said(minutes: float, *, is_allowed: bool) -> None:
    """Less than the test takes forbids it; more allows it and needs no question."""
    job = house(leave={"may_lose_min": {"pump": minutes}})
    found = told(job, off("P1"))
    assert found.is_allowed is is_allowed
    assert found.ask_leave == ()
    assert told(job, off("P2")).is_allowed


def test_one_person_leaves_it_dark_for_the_walk() -> None:
    """Leave for two minutes covers two people, not one who has to walk round."""
    job = house(leave={"may_lose_min": {"pump": 2}})
    button = Trial(TrialKind.RCD, off=("P1", "P2"), rcd="R1")
    alone = Trial(TrialKind.RCD, off=("P1", "P2"), rcd="R1", walks=True)
    assert told(job, button).is_allowed
    assert not told(job, alone).is_allowed
    assert alone.dark_min == SWITCH_MIN.value + WALK_MIN.value


def test_leave_for_some_breakers_is_no_leave_for_others() -> None:
    """Only those named, an RCD when it or all behind it are named; none without switching."""
    button = Trial(TrialKind.RCD, off=("P1", "P2"), rcd="R1")
    some = house(leave={"breakers": ["P2", "P3"]})
    assert [told(some, off(c)).is_allowed for c in ("P1", "P2", "P3")] == [False, True, True]
    assert told(some, off("P2", "P3")).is_allowed
    assert not told(some, off("P1", "P2")).is_allowed
    assert not told(some, button).is_allowed
    assert told(house(leave={"breakers": ["P1", "P2"]}), button).is_allowed
    assert told(house(leave={"breakers": ["R1"]}), button).is_allowed
    none = house(leave={"switching": False})
    assert not told(none, off("P3")).is_allowed
    assert not told(none, button).is_allowed


def test_circuits_that_may_be_switched() -> None:
    """In the order of the board; without leave none."""
    job = house(leave={"breakers": ["P3", "P2"]})
    assert may_switch(job, listed_maps(WiringModel.of(job))) == ("P2", "P3")
    none = house(leave={"switching": False})
    assert may_switch(none, listed_maps(WiringModel.of(none))) == ()


def test_what_darkens_nothing_needs_no_leave() -> None:
    """Asking and a load step are allowed where switching is not."""
    job = house(leave={"switching": False})
    for kind in (TrialKind.ASK, TrialKind.LOAD_STEP):
        assert told(job, Trial(kind, lamps=("O1", "O2"))) == Disturbance(is_allowed=True)


def test_a_load_of_no_stated_place_may_be_on_anything() -> None:
    """Hard-wired counts on its circuit alone; nothing said counts everywhere; off is left out."""
    loads = {
        "sump": amps(1.0, circuit="P3", policy="must stay on"),
        "alarm": amps(1.0, policy="must stay on"),
        "boiler": amps(1.0, circuit="P2", policy="must be off"),
    }
    job = house(house=loads)
    assert told(job, off("P3")).ask_leave == ("sump", "alarm")
    assert told(job, off("P2")).ask_leave == ("alarm",)


def test_a_departments_load_counts_when_it_may_never_go_dark() -> None:
    """What comes on the day is not there yet, unless it must stay on."""
    departments = {
        "server": amps(1.0, outlet="O1", policy="must stay on"),
        "kettle": amps(8.0, outlet="O1", kind="electronics"),
    }
    found = told(house(departments=departments, house={}), off("P1"))
    assert found.ask_leave == ("server",)
    assert found.shut_down == ()
