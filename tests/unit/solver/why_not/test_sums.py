"""Totals that are over in any split: the arithmetic is done by hand beside each."""

from typing import Any

import pytest

from builders import amps, circuit, outlet, setup, small_job
from spreadload.derived.facts import Facts
from spreadload.job.job import Job
from spreadload.solver.engine.limits import SolverConfig
from spreadload.solver.why_not.impossible import conflicts_of
from spreadload.solver.why_not.sums import sums_over


def rooms_behind(rcds: dict[str, Any], lamp: dict[str, Any], count: int) -> Job:
    """Return a house of as many outlets and 20 A circuits as RCDs, one each, and some lamps."""
    names = list(rcds)
    return small_job(
        rcds=rcds,
        circuits={f"P{n}": circuit(20.0, rcd=name) for n, name in enumerate(names)},
        outlets={f"O{n}": outlet(f"P{n}", "lounge", sockets=12) for n in range(len(names))},
        heads={"lamp": lamp | {"count": count}},
        setups=[setup(lamp={"lounge": count})],
    )


def said(job: Job) -> list[str]:
    """Return the totals of the only set-up that are over, as sentences."""
    return [f"{s.need}; {s.give}" for s in sums_over(Facts.of(job), "SU1")]


def test_rated_amps_of_all_rcds_are_a_limit_of_the_whole() -> None:
    """Six lamps of 4 A are 24 A; two circuits give 40 A, two RCDs of 10 A carry 20 A."""
    rated = {"R1": {"rating_a": 10}, "R2": {"rating_a": 10}}
    assert said(rooms_behind(rated, amps(4.0), 6)) == [
        "24.0 A; RCDs R1 and R2 together carry 20.0 A"
    ]
    assert said(rooms_behind(rated, amps(4.0), 5)) == []


def test_leakage_of_all_rcds_is_a_limit_of_the_whole() -> None:
    """Seven lamps of 5 mA leak 35 mA; two RCDs of 30 mA need hold 15 mA each (IEC 61008-1)."""
    plain: dict[str, Any] = {"R1": {}, "R2": {}}
    leaky = amps(1.0, leakage_ma=5.0)
    assert said(rooms_behind(plain, leaky, 7)) == [
        "room for 35.0 mA of standing leakage; RCDs R1 and R2 together may trip above 30.0 mA"
    ]
    assert said(rooms_behind(plain, leaky, 6)) == []


def test_a_way_past_the_rcds_makes_no_total() -> None:
    """One outlet behind no RCD: what goes there leaks nothing through them."""
    leaky = amps(1.0, leakage_ma=5.0)
    job = rooms_behind({"R1": {}}, leaky, 7)
    bare = {"P9": circuit(20.0)}, {"O9": outlet("P9", "lounge", sockets=12)}
    free = job.model_copy(
        update={
            "circuits": job.circuits | small_job(circuits=bare[0], outlets=bare[1]).circuits,
            "outlets": job.outlets | small_job(circuits=bare[0], outlets=bare[1]).outlets,
        }
    )
    assert len(said(job)) == 1
    assert said(free) == []


def test_the_feed_of_a_sub_board_is_a_limit_of_the_whole() -> None:
    """Five lamps of 4 A are 20 A; two circuits of 20 A hang on a feed of 16 A."""
    shed = {"sub_board": "SHED"}
    job = small_job(
        sub_boards={"SHED": {"feed_a": 16}},
        circuits={"P1": circuit(20.0, **shed), "P2": circuit(20.0, **shed)},
        outlets={f"O{n}": outlet(f"P{n}", "lounge", sockets=6) for n in (1, 2)},
        heads={"lamp": amps(4.0, count=5)},
        setups=[setup(lamp={"lounge": 5})],
    )
    assert said(job) == ["20.0 A; the feed of sub-board SHED gives 16.0 A"]


def test_an_rcd_counts_each_phase_on_its_own() -> None:
    """Rated amps are per phase: one RCD of 10 A in front of two phases carries 20 A."""
    job = small_job(
        supply={"system": "three-phase", "limit_a": 63.0, "limit_source": "fuse"},
        rcds={"R": {"rating_a": 10}},
        circuits={f"P{n}": circuit(20.0, phase=f"L{n}", rcd="R") for n in (1, 2)},
        outlets={f"O{n}": outlet(f"P{n}", "lounge", sockets=6) for n in (1, 2)},
        heads={"lamp": amps(4.0, count=6)},
        setups=[setup(lamp={"lounge": 6})],
    )
    assert said(job) == ["24.0 A; RCD R carries 10.0 A on each phase"]


LEAKS = (
    "SU1 needs room for 35.0 mA of standing leakage; RCDs R1 and R2 together may trip above 30.0 mA"
)


@pytest.mark.parametrize(
    ("lamp", "count", "headline"),
    [
        (amps(4.0), 6, "SU1 needs 24.0 A; RCDs R1 and R2 together carry 20.0 A"),
        (
            amps(1.0, leakage_ma=5.0),
            7,
            LEAKS,
        ),
    ],
)
def test_what_clashes_is_told_by_its_total(lamp: dict[str, Any], count: int, headline: str) -> None:
    """It would not fit in total, so it is not said to."""
    job = rooms_behind({"R1": {"rating_a": 10}, "R2": {"rating_a": 10}}, lamp, count)
    (conflict,) = conflicts_of(Facts.of(job), SolverConfig(), 20)
    assert conflict.headline == headline
    assert "would fit in total" not in conflict.remedy


def test_the_limit_of_the_total_is_among_what_clashes() -> None:
    """Nine lamps of 2 A are 18 A or 4140 W: over the contract and over the one circuit as well.

    A headline that tells of the contract beside a clash that names the circuit would leave a gaffer
    with the wrong one to cure.
    """
    job = small_job(
        supply={"limit_a": 63.0, "limit_source": "fuse", "contract_w": 3000, "planning_v": 230.0},
        circuits={"P1": circuit(16.0)},
        outlets={f"O{n}": outlet("P1", "lounge", sockets=9) for n in (1, 2)},
        heads={"lamp": amps(2.0, count=9)},
        setups=[setup(lamp={"lounge": 9})],
    )
    (found,) = conflicts_of(Facts.of(job), SolverConfig(), 20)
    assert found.headline == "SU1 needs 4140 W; the supply contract allows 3000 W"
    assert [m.words for m in found.members][1:] == ["the supply contract allows 3000 W"]


def test_a_three_phase_load_counts_on_every_phase_it_takes() -> None:
    """Three phases of 20 A give 60 A; a pump of 12 A a phase and five lamps of 5 A are 61 A."""
    phases = ["L1", "L2", "L3"]
    job = small_job(
        supply={"system": "three-phase", "limit_a": 20.0, "limit_source": "fuse"},
        circuits={f"P{n}": circuit(16.0, phase=f"L{n}") for n in (1, 2, 3)}
        | {"PU": {"label": "PUMP", "breaker_a": 16.0, "phase": phases, "feeds": "other"}},
        outlets={f"O{n}": outlet(f"P{n}", "lounge", sockets=6) for n in (1, 2, 3)},
        heads={"lamp": amps(5.0, count=5)},
        house={"pump": amps(12.0, circuit="PU", policy="must stay on")},
        setups=[setup(lamp={"lounge": 5})],
    )
    assert said(job) == ["61.0 A; the supply gives 60.0 A"]


def test_the_total_that_is_furthest_over_is_told_first() -> None:
    """Freeing what the circuit lacks would not do: 21 A of its 20, but 30 of the supply's 16.

    The boat's charger of 9 A is on a way of its own.
    """
    job = small_job(
        supply={"limit_a": 16.0, "limit_source": "bollard"},
        circuits={"P1": circuit(20.0), "CH": {"breaker_a": 10.0, "feeds": "other"}},
        outlets={"O1": outlet("P1", "lounge", sockets=12)},
        heads={"lamp": amps(7.0, count=3)},
        house={"charger": amps(9.0, circuit="CH", policy="must stay on")},
        setups=[setup(lamp={"lounge": 3})],
    )
    assert said(job) == ["30.0 A; the supply gives 16.0 A", "21.0 A; P1 gives 20.0 A"]


def test_a_feed_that_is_too_small_is_told_though_long_leads_would_reach_round_it() -> None:
    """Four lamps of 5 A in a barn fed with 16 A; the house with its free 20 A is 200 m away.

    Less has to be on: no lead on the van reaches the house, and the first thing told is the sum.
    """
    job = small_job(
        sub_boards={"B": {"label": "Barn", "feed_a": 16}},
        circuits={"H": circuit(20.0), "B1": circuit(20.0, sub_board="B")},
        rooms={"house": {}, "barn": {}},
        outlets={
            "O1": outlet("H", "house", at=(0.0, 0.0), sockets=6),
            "O2": outlet("B1", "barn", at=(200.0, 0.0), sockets=6),
        },
        places={"door": {"room": "barn", "at": (201.0, 2.0)}},
        heads={"lamp": amps(5.0, count=4)},
        setups=[setup(lamp={"door": 4})],
        leads=[{"length_m": 10.0, "size_mm2": 2.5, "count": 8}],
    )
    conflict = conflicts_of(Facts.of(job), SolverConfig(), 10.0)[0]
    assert conflict.kind == "arithmetic"
    assert conflict.headline == "SU1 needs 20.0 A; the feed of sub-board Barn gives 16.0 A"
    assert conflict.remedy.endswith("or leads that reach an outlet elsewhere")


def test_what_is_over_in_total_is_never_said_to_fit_in_total() -> None:
    """Five lamps of 3 A and a heater of 6 A are 21 of 20 A, though sockets run short as well."""
    job = small_job(
        circuits={"P1": circuit(10.0), "P2": circuit(10.0)},
        outlets={
            "O1": outlet("P1", "lounge", sockets=1),
            "O2": outlet("P2", "bed", sockets=1),
            "O3": {"room": "bath", "maybe_on": ["P1", "P2"], "sockets": 2},
        },
        rooms={"lounge": {}, "bed": {}, "bath": {}},
        heads={"lamp": amps(3.0, count=5)},
        departments={"heater": amps(6.0, kind="heater", outlet="O3")},
        setups=[setup(lamp={"lounge": 5}, on=["heater"])],
    )
    for unknown in ("every", "maps"):
        conflict = conflicts_of(Facts.of(job, unknown), SolverConfig(), 10.0)[0]
        assert conflict.headline == "SU1 needs 21.0 A; P1 and P2 together give 20.0 A"
        assert conflict.kind == "arithmetic"
