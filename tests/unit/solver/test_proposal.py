"""What the time did not settle, told in crew words."""

from pathlib import Path

import pytest

from spreadload.app import planning
from spreadload.check.judge import Judge
from spreadload.derived.facts import Facts
from spreadload.job.preferences import Goal
from spreadload.solver.limits import Clock, SolverConfig
from spreadload.solver.proposal import Proposal, search_of
from spreadload.solver.request import Request

FIRST_JOB = Path(__file__).parents[3] / "scenarios/first_job"


@pytest.mark.parametrize(
    ("goal", "best", "bound", "words"),
    [
        (Goal.CABLE, 606, 586, "the leads could perhaps be 20 m shorter"),
        (Goal.CABLE, 606, 0, "shorter leads are not ruled out"),
        (Goal.REPLUGS, 41, 0, "fewer or quicker re-plugs are not ruled out"),
        (Goal.TIGHTEST, 96, 94, "the tightest circuit could perhaps be at 94 % instead of 96 %"),
        (Goal.BALANCE, 10, 5, "the phases could perhaps be 5 A closer together"),
        (Goal.LIGHT_STAYS, 3, 1, "“light stays” could perhaps be 1 instead of 3"),
        (Goal.CABLE, -1, 0, "no time was left for “cable”"),
    ],
)
def test_open_goal_is_told_in_crew_words(goal: Goal, best: int, bound: int, words: str) -> None:
    """An open goal says in its own unit how much better it might be."""
    search = search_of(SolverConfig(), {goal: (best, bound)})

    assert (search.gap, search.proven) == (words, False)


def test_goal_at_its_bound_is_settled() -> None:
    """A value that reached its proved bound leaves nothing open."""
    search = search_of(SolverConfig(), {Goal.CABLE: (353, 353)})

    assert (search.gap, search.proven) == ("", True)


def test_a_gap_is_told_from_what_the_plan_is_worth() -> None:
    """A search cut short may hold its percentage at 100 while the plan has its own."""
    facts = Facts.of(planning.load_job(FIRST_JOB))
    proposal = Proposal(facts, SolverConfig(), Clock(10.0), Request())
    _, plan = proposal.find()
    assert plan is not None
    verdict = Judge(facts).judge(plan)
    tightest = next(goal.value for goal in verdict.goals if goal.goal == Goal.TIGHTEST.value)

    proposal.unproven = {Goal.TIGHTEST: (100, 40)}
    told = proposal.gaps_of(plan, verdict).search
    proposal.unproven = {Goal.TIGHTEST: (100, tightest)}
    settled = proposal.gaps_of(plan, verdict).search

    assert told is not None
    assert told.gap == f"the tightest circuit could perhaps be at 40 % instead of {tightest} %"
    assert settled is not None
    assert settled.proven
