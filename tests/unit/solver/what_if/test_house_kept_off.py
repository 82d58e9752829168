"""What the house runs on wires of its own may be offered off, as far as nobody ruled that out."""

import pytest

from builders import Entry, amps, circuit, setup, small_job
from spreadload.changes import ChangeKind
from spreadload.check import judge
from spreadload.derived.facts import Facts
from spreadload.job.job import Job
from spreadload.report.offers_text import offers_text
from spreadload.report.style import Style
from spreadload.solver.engine.limits import SolverConfig
from spreadload.solver.what_if.offers import find_offers

QUICK = SolverConfig(time_limit_s=10)


def house_with_a_pump(also: Entry | None = None, **pump: str) -> Job:
    """Return 7 A and 5 A of lamps and a wired pump of 6 A behind a fuse of 15 A, in two set-ups.

    7 + 5 + 6 = 18 A pass the fuse in SU1; 7 + 6 = 13 A in SU2 do not.
    """
    wired: Entry = amps(6.0, circuit="PUMP", kind="motor") | pump
    return small_job(
        supply={"limit_a": 15.0, "limit_source": "fuse", "planning_v": 230.0},
        circuits={
            "P1": circuit(10.0),
            "P2": circuit(10.0),
            "PUMP": {"breaker_a": 16.0},
            "OVEN": {"breaker_a": 32.0},
        },
        heads={"key": amps(7.0), "fill": amps(5.0)},
        house={"pump": wired | {"starts_by_itself": True}} | (also or {}),
        setups=[setup(key="lounge", fill="bed"), setup("SU2", key="lounge")],
    )


def test_the_owner_may_be_asked_to_keep_the_pump_off() -> None:
    """One question to the owner, 30 min at the usual price, is less than a head in the dark."""
    found = find_offers(house_with_a_pump(), QUICK)
    (first, *_) = found.offers
    assert [change.kind for change in first.changes] == [ChangeKind.ASKED_OFF]
    assert first.changes[0].words == "pump kept off in SU1, if the owner agrees"
    assert first.changes[0].agrees == ("owner",)
    assert first.cost.minutes == 30
    assert judge(first.job, first.plan).holds
    running = {s.id for s in first.job.setups if "pump" in s.on}
    assert running == {"SU2"}


@pytest.mark.parametrize("policy", ["must stay on", "may be off"])
def test_what_was_agreed_is_not_asked_again(policy: str) -> None:
    """A pump that must stay on is never offered off; one that may be off is just switched off."""
    found = find_offers(house_with_a_pump(policy=policy), QUICK)
    kinds = {change.kind for offer in found.offers for change in offer.changes}
    assert ChangeKind.ASKED_OFF not in kinds


def test_the_owner_is_named_once() -> None:
    """Who is asked about the pump and has agreed about the tank is one person.

    7 + 5 + 2 A of an oven that must stay on fill 14 of 15 A: pump and tank both have to be off.
    """
    house = {
        "oven": amps(2.0, circuit="OVEN", policy="must stay on"),
        "tank": amps(2.0, circuit="PUMP", kind="heater", policy="may be off")
        | {"starts_by_itself": True},
    }
    job = house_with_a_pump(also=house)
    found = find_offers(job, QUICK)
    kinds = {change.kind for change in found.offers[0].changes}
    assert kinds == {ChangeKind.ASKED_OFF, ChangeKind.AGREED_OFF}
    text = offers_text(Facts.of(job), found, (), lambda _: "", Style())
    assert "Must agree: owner." in text


def test_departments_that_take_turns_are_asked_by_name() -> None:
    """An urn and a dryer of 8 A each pass a fuse of 15 A together: both have to agree to turns."""
    job = small_job(
        supply={"limit_a": 15.0, "limit_source": "fuse", "planning_v": 230.0},
        circuits={"P1": circuit(10.0), "P2": circuit(10.0)},
        heads={"key": amps(1.0)},
        departments={
            "dryer": amps(8.0, kind="heater", intermittent=True, by="hair and make-up"),
            "urn": amps(8.0, kind="heater", intermittent=True, by="catering"),
        },
        setups=[setup(key="lounge") | {"on": ["dryer", "urn"]}],
    )
    found = find_offers(job, QUICK)
    assert {change.kind for change in found.offers[0].changes} == {ChangeKind.TURNS}
    text = offers_text(Facts.of(job), found, (), lambda _: "", Style())
    assert "Must agree: hair and make-up, catering." in text
