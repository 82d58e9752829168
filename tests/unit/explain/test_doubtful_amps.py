"""A no that rests on figures nobody read says which to read first.

That a ballast of unknown correction may take 1.6 times what a corrected one does: common practice,
no source; the rows are in practice/data.
"""

from typing import Any

from builders import outlet, setup, small_job
from spreadload.derived.facts import Facts
from spreadload.explain.doubtful_amps import doubtful_amps
from spreadload.solver.engine.limits import SolverConfig
from spreadload.solver.why_not.impossible import conflicts_of

OLD = {"what": "discharge head 1200 W", "kind": "discharge", "lamp_w": 1200.0, "count": 2}


def said(**head: Any) -> list[str]:  # noqa: ANN401 - any field of a head
    """Return what to read first where two heads are too much for two circuits of 8 A."""
    job = small_job(
        circuits={name: {"breaker_a": 6.0, "feeds": "outlets"} for name in ("P1", "P2")},
        outlets={"O1": outlet("P1", "lounge", plug="au-15"), "O2": outlet("P2", "lounge")},
        heads={"old": OLD | head},
        setups=[setup(old={"lounge": 2})],
    )
    facts = Facts.of(job)
    return list(doubtful_amps(facts, conflicts_of(facts, SolverConfig(), 20)))


def test_an_unread_ballast_is_the_first_thing_to_read() -> None:
    """The amps it is planned for and those it may turn out to take stand side by side."""
    (line,) = said()
    assert line.startswith("old counts as 10.5 A and may be 5.8 A (lamp 1200 W")
    assert line.endswith("read its plate or measure it first")


def test_a_plate_leaves_nothing_to_read() -> None:
    """What is stated is not doubted, however large."""
    assert said(lamp_w=None, plate_a=9.0) == []


def test_a_three_phase_head_is_told_by_the_phase() -> None:
    """Its figure is that of one of its three phases, as in the conflict itself."""
    job = small_job(
        supply={"system": "three-phase", "limit_a": 63.0},
        heads={"sun": OLD | {"lamp_w": 4000.0, "plug": "au-32-5pin", "count": 1}},
        setups=[setup(sun="lounge")],
    )
    facts = Facts.of(job)
    (conflict,) = conflicts_of(facts, SolverConfig(), 20)
    assert "11.6 A a phase; sun has the plug au-32-5pin" in conflict.headline
    (line,) = doubtful_amps(facts, (conflict,))
    assert line.startswith("sun counts as 11.6 A and may be 6.4 A")
