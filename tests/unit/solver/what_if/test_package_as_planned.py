"""What an offer says is what its plan does: last-resort outlets and what goes off by agreement."""

from typing import Any

from builders import amps, circuit, outlet, setup, small_job
from spreadload.changes import ChangeKind
from spreadload.derived.facts import Facts
from spreadload.job.job import Job
from spreadload.report.offers_text import offers_text
from spreadload.report.style import Style
from spreadload.solver.engine.limits import SolverConfig
from spreadload.solver.what_if.offers import find_offers

QUICK = SolverConfig(time_limit_s=10.0)


def two_legs(**changes: Any) -> Job:  # noqa: ANN401 - any entry of a job file
    """Return a house whose lounge is on the leg of the water heater, and its kitchen on the other.

    By hand: lamp 9 A and heater 12 A make 21 A of 20 A on leg A. Either the heater goes off, one
    minute, or the lamp goes to the kitchen, twelve. Nothing here carries the 30 A of ``big``.
    """
    stated = {
        "region": "CA",
        "supply": {"system": "split-phase", "limit_a": 20.0, "limit_source": "fuses"},
        "circuits": {
            "P1": circuit(15.0, phase="A"),
            "K1": circuit(15.0, phase="B"),
            "W1": circuit(15.0, phase="A", feeds="water"),
        },
        "rooms": {"lounge": {"use": "living"}, "galley": {"use": "kitchen"}},
        "outlets": {
            "O1": outlet("P1", "lounge", plug="us-15"),
            "O2": outlet("K1", "galley", plug="us-15"),
        },
        "heads": {
            "lamp": amps(9.0, plug="us-15", priority=1),
            "big": amps(30.0, plug="us-15", priority=9),
        },
        "house": {
            "heater": amps(12.0, circuit="W1", policy="may be off", starts_by_itself=True),
        },
        "setups": [setup("one", lamp="lounge", big="lounge")],
    }
    return small_job(**(stated | changes))


def test_a_plan_uses_no_last_resort_that_its_offer_does_not_name() -> None:
    """Every offer that leaves ``big`` dark says where the lamp is and whether the heater is off."""
    job = two_legs()
    offers = find_offers(job, QUICK).offers
    assert offers
    for offer in offers:
        in_kitchen = [p for p in offer.plan.placements if p.point == "O2" and p.load == "lamp"]
        named = [c.words for c in offer.changes if c.kind is ChangeKind.LAST_RESORT]
        assert bool(in_kitchen) == bool(named)
    (off,) = (c for c in offers[0].changes if c.kind is ChangeKind.AGREED_OFF)
    assert off.words == "heater off in one, as agreed it may be"
    assert [(e.setup, e.load) for e in offers[0].plan.switched_off] == [("one", "heater")]


def test_what_is_fuller_than_every_circuit_is_told_with_an_offer() -> None:
    """A fixed load and a lamp on two circuits of one leg fill the leg more than either circuit.

    By hand: 9 A and a clock of 1 A, for hours, count as 12.5 of 15 A, 84 %; with 9 A wired to a
    third circuit they are 19 of 20 A on the leg, 95 %. The clock may be on either of two circuits,
    counts on both of them, and is said to be a maybe: 1.25 of 15 A, 9 %.
    """
    job = two_legs(
        circuits={n: circuit(15.0, phase="A") for n in ("P1", "P2", "K1")},
        outlets={
            "O1": outlet("P1", "lounge", plug="us-15"),
            "O2": outlet("K1", "galley", plug="us-15"),
            "O3": outlet(None, "lounge", sockets=1, plug="us-15", maybe_on=["P1", "P2"]),
        },
        house={"pump": amps(9.0, circuit="K1"), "clock": amps(1.0, outlet="O3")},
        setups=[setup("one", lamp="lounge", big="lounge", on=["pump", "clock"])],
    )
    offers = find_offers(job, QUICK)
    said = offers_text(Facts.of(job), offers, (), lambda _: "", Style(width=80))
    assert "  one leg A 95 %\n" in said
    assert "  one P1 “PLUGS” 84 %: maybe clock (O3), lamp (O1)\n" in said
    assert "  one P2 “PLUGS”, 9 % at most: maybe clock (O3)\n" in said
