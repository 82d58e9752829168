"""The fewest plugs to move, held to a search of every plan."""

from itertools import product
from pathlib import Path
from random import Random

import pytest

from small_houses import can_run, hungry_house
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.io.job_file import load_job
from spreadload.job.job import Job
from spreadload.plan import Placement, Plan
from spreadload.solver.engine.limits import SolverConfig
from spreadload.solver.search.ranked_plans import find_plans
from spreadload.solver.what_if.fewest_moves import fewest_moves

HOUSES = [h for h in map(hungry_house, map(Random, range(200, 260))) if can_run(h)]


def every_plan(job: Job) -> list[Plan]:
    """Return a plan for every choice of an outlet per unit."""
    units = [d for d in Facts.of(job).demands["SU1"] for _ in range(d.count)]
    plans = []
    for outlets in product(sorted(job.outlets), repeat=len(units)):
        placements = [
            Placement(
                setup="SU1",
                load=unit.load,
                unit=1,
                place=unit.place,
                point=point,
                socket=1 + outlets[:index].count(point),
            )
            for index, (unit, point) in enumerate(zip(units, outlets, strict=True))
        ]
        plans.append(Plan(placements=tuple(placements)))
    return plans


def moved(drawn: Plan, other: Plan) -> int:
    """Return how many units stand at another point."""
    pairs = zip(drawn.placements, other.placements, strict=True)
    return sum(a.point != b.point for a, b in pairs)


@pytest.mark.parametrize("number", range(min(len(HOUSES), 12)))
def test_no_plan_that_holds_is_nearer(number: int) -> None:
    """Of all plans that hold, none moves fewer plugs than the one found."""
    job = HOUSES[number]
    facts = Facts.of(job)
    judge = Judge(facts)
    plans = every_plan(job)
    holding = [plan for plan in plans if judge.judge(plan).holds]
    broken = [plan for plan in plans if not judge.judge(plan).holds]
    for drawn in broken[:4]:
        (found,) = fewest_moves(facts, drawn)
        assert found.is_proven
        assert found.plan is not None
        assert judge.judge(found.plan).holds
        assert found.moved == min(moved(drawn, plan) for plan in holding)


@pytest.mark.slow
def test_hall_is_put_right_by_few_plugs() -> None:
    """All four 2500 W heads drawn on one phase: no more need to move than were put there."""
    job = load_job(Path(__file__).parents[2] / "scenarios" / "community_hall")
    facts = Facts.of(job).only(["SU2"])
    outcome = find_plans(facts, Judge(facts), SolverConfig(time_limit_s=40, alternatives=0))
    plan = outcome.plans[0][0]  # type: ignore[union-attr]
    used: dict[str, int] = {}
    drawn = []
    for placement in plan.placements:
        if placement.load == "DH2500":
            point = f"{placement.point.rpartition('/')[0]}/L2"
            if used.get(point, 0) == 2:
                point = point.replace("F5", "F6") if "F5" in point else point.replace("F6", "F5")
            used[point] = used.get(point, 0) + 1
            change = {"point": point, "socket": used[point]}
            drawn.append(placement.model_copy(update=change))
        else:
            drawn.append(placement)
    put = Plan(placements=tuple(drawn))
    assert "phase" in {v.rule for v in Judge(facts).judge(put).violations}
    (found,) = fewest_moves(facts, put, SolverConfig(time_limit_s=60))
    assert found.plan is not None
    assert found.is_proven
    pairs = zip(plan.placements, drawn, strict=True)
    assert 1 <= found.moved <= sum(a.point != b.point for a, b in pairs)
