"""The hall as first drawn: it fits in total, but one phase is over its breaker.

Two plugs moved put it right, or the urns off, as the hall's table made before the program says.
"""

from collections.abc import Iterator
from functools import cache
from pathlib import Path

from spreadload.changes.edits import without_load
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.io.job_file import load_job
from spreadload.io.plan_file import load_plan
from spreadload.job.job import Job
from spreadload.plan import Placement, Plan
from spreadload.solver.engine.limits import SolverConfig
from spreadload.solver.what_if.fewest_moves import fewest_moves

TESTS = Path(__file__).parents[2]
LARGEST_UNIT_A = 12.2
URNS_A = 20.9
SETUP = "SU2"


@cache
def hall() -> Job:
    """Return the shipped hall."""
    return load_job(TESTS.parent / "scenarios" / "community_hall")


def second_phase_a(judge: Judge, plan: Plan) -> float:
    """Return what the second phase carries in the wide shot [A]."""
    usages = judge.judge(plan).usages
    return next(u.current_a for u in usages if (u.kind, u.id, u.setup) == ("phase", "L2", SETUP))


def moved(plan: Plan, place: int, point: str, socket: int) -> Plan:
    """Return a plan with one unit in another socket, on the lead it has."""
    placements = list(plan.placements)
    placements[place] = placements[place].model_copy(update={"point": point, "socket": socket})
    return plan.model_copy(update={"placements": tuple(placements)})


def ways_onto_the_second_phase(facts: Facts, plan: Plan) -> Iterator[Plan]:
    """Yield the plan with one head more on the second phase, the largest heads first."""
    order = sorted(
        range(len(plan.placements)), key=lambda n: -facts.unit_ma(plan.placements[n].load, 1)
    )
    for place in order:
        here: Placement = plan.placements[place]
        on_it = facts.points[here.point].exposure.phases == frozenset({"L2"})
        if here.load not in facts.job.heads or here.board is not None or on_it:
            continue
        for point in facts.points.values():
            if point.exposure.phases == frozenset({"L2"}):
                for socket in range(1, point.sockets + 1):
                    yield moved(plan, place, point.id, socket)


@cache
def as_drawn() -> Plan:
    """Return the wide shot with heads put onto the second phase until two have to go again.

    Nothing but the phase is over its limit, and no single unit is large enough to help.
    """
    facts = Facts.of(hall()).only([SETUP])
    judge = Judge(facts)
    kept = load_plan(TESTS / "browser" / "plans" / "community_hall.json", hall()).plan
    plan = Plan(placements=tuple(p for p in kept.placements if p.setup == SETUP))
    assert judge.judge(plan).holds
    limit_a = facts.supply.cap_ma / 1000
    while second_phase_a(judge, plan) <= limit_a + LARGEST_UNIT_A + 0.1:
        plan = next(
            way
            for way in ways_onto_the_second_phase(facts, plan)
            if {v.rule for v in judge.judge(way).violations} <= {"phase"}
            and second_phase_a(judge, way) <= limit_a + URNS_A
        )
    return plan


def test_as_drawn_one_phase_is_over_although_the_total_fits() -> None:
    """Three phases give 300 A and 262.5 A are asked; the second phase alone breaks the plan."""
    facts = Facts.of(hall()).only([SETUP])
    violations = Judge(facts).judge(as_drawn()).violations
    assert {(v.rule, v.where) for v in violations} == {("phase", "L2")}


def test_two_plugs_moved_put_it_right() -> None:
    """No single plug is large enough; two moved make it hold, and no more than two are named."""
    facts = Facts.of(hall()).only([SETUP])
    (moves,) = fewest_moves(facts, as_drawn(), SolverConfig(time_limit_s=30.0))
    assert moves.plan is not None
    assert moves.moved == 2
    assert moves.is_proven
    assert Judge(facts).judge(moves.plan).holds


def test_the_hall_holds_as_drawn_without_the_urns() -> None:
    """Without the two urns the plan holds as it was drawn."""
    job = without_load(hall(), SETUP, "urn")
    plan = as_drawn()
    left = tuple(p for p in plan.placements if p.load != "urn")
    facts = Facts.of(job).only([SETUP])
    assert Judge(facts).judge(plan.model_copy(update={"placements": left})).holds
