"""What an offer says is what its plan does: last-resort outlets and what goes off by agreement."""

from typing import Any

import pytest

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


def salon(**changes: Any) -> Job:  # noqa: ANN401 - any entry of a job file
    """Return a salon of two dryers of 9 A on a way of 16 A, and an office of 10 A beside it."""
    stated = {
        "region": "EU",
        "supply": {"limit_a": 40.0, "limit_source": "fuses"},
        "circuits": {"P1": circuit(16.0), "P2": circuit(10.0)},
        "rooms": {"salon": {}, "office": {}},
        "outlets": {
            "O1": outlet("P1", "salon", sockets=3, plate_a=32.0),
            "O2": outlet("P2", "office", sockets=1),
        },
        "heads": {"lamp": amps(2.0)},
        "departments": {"dryer": amps(9.0, kind="heater", room="salon", count=2, by="hair")},
        "setups": [setup("one", lamp="salon", on={"dryer": 2})],
    }
    return small_job(**(stated | changes))


def test_of_several_alike_no_more_go_off_or_elsewhere_than_have_to() -> None:
    """18 A of dryers on 16 A: one of them off is half the hour, one of them next door is enough.

    Common practice, no source: nobody sends both dryers away because the second is too much.
    """
    offers = find_offers(salon(), QUICK).offers
    by_kind = {change.kind: (change, offer) for offer in offers for change in offer.changes}
    off, without = by_kind[ChangeKind.OFF]
    assert off.words == "1 of 2 dryer off in one"
    assert off.cost.minutes == salon().costs.off_min / 2
    assert len([p for p in without.plan.placements if p.load == "dryer"]) == 1
    moved, with_both = by_kind[ChangeKind.MOVE]
    assert moved.words == "1 of 2 dryer moves to O2 in office"
    at = sorted(p.point for p in with_both.plan.placements if p.load.startswith("dryer"))
    assert at == ["O1", "O2"]


def test_comfort_is_not_offered_where_a_contract_stays_as_full() -> None:
    """2.6 kW let one dryer and the lamp on, whether or not the lamp goes to the kitchen.

    By hand: 9 + 2 A at 230 V are 2,530 of 2,600 W, 98 %; of 12 A they are 92 %, and 75 without the
    lamp. A contract of 4 kW is 64 % used, and the kitchen is worth telling.
    """
    circuits = {"P1": circuit(12.0), "P2": circuit(10.0)}
    rooms = {"salon": {}, "office": {"use": "kitchen"}}

    def shown(contract_w: float) -> list[int]:
        supply = {"limit_a": 40.0, "limit_source": "fuses", "contract_w": contract_w}
        off = {"dryer": amps(9.0, kind="heater", outlet="O1", count=2, by="hair")}
        job = salon(supply=supply, circuits=circuits, rooms=rooms, departments=off)
        offers = find_offers(job, QUICK).offers
        only_off = [o for o in offers if not {c.kind for c in o.changes} & {ChangeKind.MOVE}]
        return [offer.used_pct(("one",)) for offer in only_off]

    assert shown(2600.0) == [98]
    assert shown(4000.0) == [92, 75]


def test_a_power_board_is_hired_where_sockets_are_short_and_none_is_listed() -> None:
    """Five lamps of 1 A and two sockets: a board of four ways in one of them makes five.

    With boards on the list the van's own count, and nothing is hired.
    """
    lamps = {
        "circuits": {"P1": circuit(16.0)},
        "outlets": {"O1": outlet("P1", "salon", sockets=2, plate_a=16.0)},
        "rooms": {"salon": {}},
        "heads": {"lamp": amps(1.0, count=5)},
        "departments": {},
        "setups": [setup("one", lamp={"salon": 5})],
    }
    (offer, *_) = find_offers(salon(**lamps), QUICK).offers
    assert [c.words for c in offer.changes] == [
        "a power board of 4 ways to hire, none being listed"
    ]
    assert offer.cost.money == salon().costs.lead
    assert len(offer.plan.placements) == 5
    listed = salon(**lamps, power_boards=[{"ways": 2}])
    words = [c.words for o in find_offers(listed, QUICK).offers for c in o.changes]
    assert words
    assert not [w for w in words if "power board" in w]


@pytest.mark.parametrize(
    ("plug", "words"),
    [
        # 910 W at the 0.6 of an uncorrected ballast are 12.7 A, at 0.95 or better 8 A or less.
        ("us-20", "head at O1 on a corrected ballast, plug us-15, to be hired in one"),
        ("us-15", "head at O1 on a corrected ballast, to be hired in one"),
        ("us-l5-20", None),
    ],
)
def test_a_hired_ballast_comes_with_the_usual_plug(plug: str, words: str | None) -> None:
    """The 20 A plug of the old ballast is no reason to leave the head dark on 15 A outlets.

    Common practice, no source; a plug that is not of the everyday family stays as it is.
    """
    job = small_job(
        region="US",
        supply={"limit_a": 100.0, "limit_source": "main breaker"},
        circuits={"P1": circuit(15.0)},
        outlets={"O1": outlet("P1", "lounge", plug="us-15")},
        heads={"head": {"kind": "discharge", "plate_w": 910, "corrected": False, "plug": plug}},
        setups=[setup("one", head="O1")],
    )
    found = [c for offer in find_offers(job, QUICK).offers for c in offer.changes]
    said = [c.words for c in found if c.kind is ChangeKind.BALLAST]
    assert said == ([words] if words else [])
