"""The solver against brute force, and against what cannot matter.

Source: every plan of a tiny job, tried with the judge alone (``brute_force.py``).
"""

import pytest

from oracle.brute_force import Best, TooLargeError, best_day, ranked
from oracle.random_jobs import random_job, with_random_rules
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.plan import Impossible, Solved
from spreadload.solver.engine.limits import SolverConfig
from spreadload.solver.search.ranked_plans import find_plans

CONFIG = SolverConfig(alternatives=0)
BATCHES = tuple(range(0, 160, 20))
LEAST_COMPARED = 8


def answer(facts: Facts) -> tuple[int, ...] | None:
    """Return the goal values of the best plan, or None when there is proved to be none."""
    outcome = find_plans(facts, Judge(facts), CONFIG)
    if isinstance(outcome, Impossible):
        return None
    assert isinstance(outcome, Solved)
    assert outcome.proven or "load flow" in outcome.gap
    return tuple(goal.value for goal in outcome.plans[0][1].goals)


def tried(facts: Facts) -> Best | None:
    """Return the best of all plans, or None when none is legal."""
    return best_day(facts, Judge(facts))


@pytest.mark.slow
@pytest.mark.parametrize("first", BATCHES)
def test_verdict_and_every_goal_are_those_of_brute_force(first: int) -> None:
    """Twenty random jobs: same verdict both ways, and the same value of every goal in order."""
    compared = 0
    for seed in range(first, first + 20):
        facts = Facts.of(random_job(seed))
        try:
            best = tried(facts)
        except TooLargeError:
            continue
        compared += 1
        expected = None if best is None else best.values
        assert answer(facts) == expected, f"random job {seed}"
    assert compared >= LEAST_COMPARED


@pytest.mark.slow
@pytest.mark.parametrize("first", range(0, 180, 60))
def test_the_fullest_plan_lights_what_brute_force_lights(first: int) -> None:
    """Sixty jobs in which the soft rules have any order: what cannot run leaves the least dark."""
    compared = 0
    for seed in range(first, first + 60):
        facts = Facts.of(with_random_rules(seed))
        judge = Judge(facts)
        outcome = find_plans(facts, judge, CONFIG)
        if not isinstance(outcome, Impossible):
            continue
        try:
            best = best_day(facts, judge, may_be_dark=True)
        except TooLargeError:
            continue
        compared += 1
        expected = None if best is None else best.values
        reduced = outcome.reduced
        found = None if reduced is None else ranked(reduced[1], may_be_dark=True)
        assert found == expected, f"random job {seed}"
    assert compared >= LEAST_COMPARED


def test_the_random_jobs_are_of_both_kinds() -> None:
    """Some can be done and some cannot, so that either verdict is really tested."""
    verdicts = {answer(Facts.of(random_job(seed))) is None for seed in range(12)}
    assert verdicts == {True, False}
