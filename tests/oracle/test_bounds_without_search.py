"""What is proved of circuits and of cable without a search is never above the truth.

Source: every plan of a tiny job, tried with the judge alone (``brute_force.py``), with the goal in
question first in order, so that nothing stands before it.
"""

import pytest

from oracle.brute_force import TooLargeError, best_day
from oracle.random_jobs import random_job
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.job.job import Job
from spreadload.job.preferences import Goal
from spreadload.solver.engine.limits import Clock
from spreadload.solver.large.cable_bound import cable_bound
from spreadload.solver.large.held import Held
from spreadload.solver.large.near_dealt import NearDealt
from spreadload.solver.large.percent_bound import percent_bounds
from spreadload.solver.large.proof import Range
from spreadload.solver.large.shares import sharing
from spreadload.solver.model.candidates import all_candidates

LEAST_COMPARED = 20
BATCHES = tuple(range(0, 120, 40))


def first(job: Job, goal: Goal) -> Facts:
    """Return the facts of a job that asks for one goal before all others."""
    order = (goal, *(other for other in Goal if other is not goal))
    rules = job.rules.model_copy(update={"order": order})
    return Facts.of(job.model_copy(update={"rules": rules}))


@pytest.mark.slow
@pytest.mark.parametrize("begin", BATCHES)
def test_no_plan_is_below_the_bound_of_its_circuits(begin: int) -> None:
    """Forty random jobs: the best there is keeps the bound, and mostly is the bound."""
    compared, exact = 0, 0
    for seed in range(begin, begin + 40):
        job = random_job(seed)
        for goal, together in ((Goal.TIGHTEST, max), (Goal.EACH_SETUP, sum)):
            facts = first(job, goal)
            try:
                best = best_day(facts, Judge(facts))
            except TooLargeError:
                continue
            if best is None or (goal is Goal.EACH_SETUP and len(facts.demands) == 1):
                continue
            bound = together(percent_bounds(facts, all_candidates(facts)).values())
            compared += 1
            exact += best.values[0] == bound
            assert best.values[0] >= bound, f"random job {seed}, {goal}"
    assert compared >= LEAST_COMPARED
    assert exact >= compared // 3


@pytest.mark.slow
@pytest.mark.parametrize("begin", BATCHES)
def test_no_plan_has_less_cable_than_the_bound(begin: int) -> None:
    """Forty random jobs: the shortest cable there is keeps the bound, and often is the bound."""
    compared, exact, above = 0, 0, 0
    for seed in range(begin, begin + 40):
        facts = first(random_job(seed), Goal.CABLE)
        try:
            best = best_day(facts, Judge(facts))
        except TooLargeError:
            continue
        if best is not None:
            bound = cable_bound(facts, all_candidates(facts))
            compared += 1
            above += bound > 0
            exact += best.values[0] == bound
            assert best.values[0] >= bound, f"random job {seed}"
    assert compared >= LEAST_COMPARED // 2
    assert above > 0
    assert exact >= compared // 3


@pytest.mark.slow
@pytest.mark.parametrize("begin", [*BATCHES, 120, 160, 200])
def test_no_plan_that_holds_earlier_goals_has_less_cable_than_dealing_proves(begin: int) -> None:
    """Forty random jobs, goals in their usual order: the best plan keeps the bound by prices."""
    compared, exact = 0, 0
    for seed in range(begin, begin + 40):
        facts = Facts.of(random_job(seed))
        goals = facts.job.rules.goals
        try:
            best = best_day(facts, Judge(facts))
        except TooLargeError:
            continue
        if best is None:
            continue
        options = all_candidates(facts)
        worth = dict(zip(goals, best.values, strict=True))
        reached = {goal: worth[goal] for goal in goals[: goals.index(Goal.CABLE)]}
        bounds = percent_bounds(facts, options)
        full = Range.of(bounds, reached).most
        held = Held.of(full, reached)
        near = NearDealt(facts, options, sharing(facts, options), held, Clock(60.0))
        bound = near.proved_m(held, Range.of(bounds, reached))
        assert worth[Goal.CABLE] >= bound, f"random job {seed}"
        compared += 1
        exact += worth[Goal.CABLE] == bound
    assert compared >= LEAST_COMPARED // 2
    assert exact >= compared // 4
