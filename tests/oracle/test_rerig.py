"""Planning again with the day half gone, held to a search of every plan by the judge alone."""

from itertools import product
from random import Random

import pytest

from builders import amps, circuit, plan_of, put, setup, small_job
from small_houses import can_run, hungry_house
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.job.job import Job
from spreadload.plan import Placement, Plan
from spreadload.solver.engine.found import Found
from spreadload.solver.engine.limits import SolverConfig
from spreadload.solver.what_if.rerig import Question, Rerigged, rerig

CONFIG = SolverConfig(time_limit_s=20.0)
RUNNING = [h for h in map(hungry_house, map(Random, range(400, 460))) if can_run(h)]
HUNGRY = [h for h in map(hungry_house, map(Random, range(400, 460))) if not can_run(h)]


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
        plans.append(plan_of(*placements))
    return plans


def kept(drawn: Plan, other: Plan) -> int:
    """Return how many units stand where they were drawn."""
    was = {(p.load, p.point) for p in drawn.placements}
    return sum((p.load, p.point) in was for p in other.placements)


@pytest.mark.parametrize("number", range(min(len(RUNNING), 10)))
def test_no_plan_that_holds_keeps_more(number: int) -> None:
    """Of all plans that hold, none keeps more plugs than the one found, broken or not before."""
    job = RUNNING[number]
    facts = Facts.of(job)
    judge = Judge(facts)
    plans = every_plan(job)
    holding = [plan for plan in plans if judge.judge(plan).holds]
    for drawn in plans[:: max(len(plans) // 6, 1)]:
        found = rerig(Question(facts, drawn), CONFIG)
        assert isinstance(found, Rerigged)
        assert found.is_proven
        assert judge.judge(found.plan).holds
        best = max(kept(drawn, plan) for plan in holding)
        assert found.kept == kept(drawn, found.plan) == best


@pytest.mark.parametrize("number", range(min(len(HUNGRY), 8)))
def test_what_cannot_run_is_said_so(number: int) -> None:
    """Where no plan holds, that is proved, whatever was rigged."""
    job = HUNGRY[number]
    found = rerig(Question(Facts.of(job), every_plan(job)[0]), CONFIG)
    assert found is Found.NONE_EXISTS


def overfull() -> Job:
    """Return two circuits of 6 A for three heads of which two fit, and a cool-down to choose by."""
    return small_job(
        circuits={"P1": circuit(6.0), "P2": circuit(6.0)},
        heads={
            "lamp": amps(4.0, priority=1),
            "arc": amps(4.0, priority=1, kind="discharge", cool_down_min=10, ballast="electronic"),
            "rim": amps(4.0, priority=9),
        },
        setups=[setup("SU1", lamp="lounge", arc="bed", rim="bed")],
    )


def test_the_least_light_stays_dark() -> None:
    """With room for two of three, the head of least priority is left out and nothing else moves."""
    job = overfull()
    rigged = plan_of(
        put("lamp", "O1", place="lounge"),
        put("arc", "O2", place="bed"),
        put("rim", "O2", place="bed", socket=2),
    )
    facts = Facts.of(job)
    assert rerig(Question(facts, rigged), CONFIG) is Found.NONE_EXISTS
    found = rerig(Question(facts, rigged, may_leave_out=True), CONFIG)
    assert isinstance(found, Rerigged)
    assert [entry.load for entry in found.plan.left_out] == ["rim"]
    assert found.kept == 2
    assert found.is_proven


def test_of_two_heads_the_one_without_cool_down_moves() -> None:
    """One of two has to leave the full circuit; the discharge head stays."""
    job = overfull()
    pair = job.setups[0].model_copy(update={"heads": {"lamp": "bed", "arc": "bed"}})
    two = job.model_copy(update={"setups": (pair,)})
    rigged = plan_of(put("lamp", "O2", place="bed"), put("arc", "O2", place="bed", socket=2))
    found = rerig(Question(Facts.of(two), rigged), CONFIG)
    assert isinstance(found, Rerigged)
    assert {p.load: p.point for p in found.plan.placements} == {"arc": "O2", "lamp": "O1"}
