"""What the time did not settle, told in crew words."""

from pathlib import Path

import pytest

from builders import amps, outlet, setup, small_job
from spreadload.app import planning
from spreadload.check.judge import Judge
from spreadload.derived.facts import Facts
from spreadload.job.preferences import Goal
from spreadload.plan import Search, Solved
from spreadload.solver.engine.found import Found
from spreadload.solver.engine.limits import Clock, SolverConfig
from spreadload.solver.model.request import Request
from spreadload.solver.search.gap_words import search_of
from spreadload.solver.search.greedy import Greedy
from spreadload.solver.search.proposal import Proposal
from spreadload.solver.search.ranked_plans import find_one, find_plans

FIRST_JOB = Path(__file__).parents[4] / "scenarios/first_job"
RANCH_HOUSE = FIRST_JOB.with_name("ranch_house")


def told(job: Path, unproven: dict[Goal, tuple[int, int]]) -> Search:
    """Return how a plan for a job was found, with some goals left open."""
    return search_of(Facts.of(planning.load_job(job)), SolverConfig(), unproven)


@pytest.mark.parametrize(
    ("goal", "best", "bound", "words"),
    [
        (Goal.CABLE, 606, 586, "the leads could perhaps be 20 m shorter"),
        (Goal.CABLE, 606, 0, "shorter leads are not ruled out"),
        (Goal.REPLUGS, 41, 0, "fewer or quicker re-plugs are not ruled out"),
        (Goal.TIGHTEST, 96, 94, "the tightest circuit could perhaps be at 94 % instead of 96 %"),
        (Goal.BALANCE, 10, 5, "the phases could perhaps be 5 A closer together"),
        (Goal.EACH_SETUP, 68, 67, "the set-ups could perhaps be 1 % looser, added up"),
        (Goal.LIGHT_STAYS, 3, 1, "“light stays” could perhaps be 1 instead of 3"),
        (Goal.CABLE, -1, 0, "no time was left for “cable”"),
    ],
)
def test_open_goal_is_told_in_crew_words(goal: Goal, best: int, bound: int, words: str) -> None:
    """An open goal says in its own unit how much better it might be."""
    search = search_of(
        Facts.of(planning.load_job(FIRST_JOB)), SolverConfig(), {goal: (best, bound)}
    )

    assert (search.gap, search.proven) == (words, False)


def test_open_goal_speaks_the_language_of_the_region() -> None:
    """Feet and legs on a split-phase supply: 20 m are 65.6 ft, rounded up."""
    search = told(RANCH_HOUSE, {Goal.BALANCE: (10, 5), Goal.CABLE: (606, 586)})

    assert search.gap == (
        "the legs could perhaps be 5 A closer together; the leads could perhaps be 66 ft shorter"
    )


def test_goal_at_its_bound_is_settled() -> None:
    """A value that reached its proved bound leaves nothing open."""
    search = search_of(
        Facts.of(planning.load_job(FIRST_JOB)), SolverConfig(), {Goal.CABLE: (353, 353)}
    )

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
    told_open = proposal.gaps_of(plan, verdict).search
    proposal.unproven = {Goal.TIGHTEST: (100, tightest)}
    settled = proposal.gaps_of(plan, verdict).search

    assert told_open is not None
    assert told_open.gap == f"the tightest circuit could perhaps be at 40 % instead of {tightest} %"
    assert settled is not None
    assert settled.proven


def test_a_search_cut_short_has_a_plan_where_no_list_of_largest_first_fits() -> None:
    """In a quarter of the usual time the hall gets a plan that holds, and is told it is a first."""
    facts = Facts.of(planning.load_job(FIRST_JOB.with_name("community_hall")))
    assert Greedy(facts).plan() is None

    best, found = find_one(facts, Judge(facts), SolverConfig(time_limit_s=5.0), Clock(5.0))

    assert found is Found.GOOD
    assert best is not None
    assert best[1].holds


def test_a_first_look_proves_that_nothing_fits() -> None:
    """Where not even what is lit can be settled, no more is looked for."""
    facts = Facts.of(planning.load_job(FIRST_JOB.with_name("bungalow")))
    asked = Request(goals=(Goal.CABLE,))

    assert Proposal(facts, SolverConfig(), Clock(10.0), asked).find() == (Found.NONE_EXISTS, None)


@pytest.mark.parametrize(("use", "point"), [("bathroom", "B"), ("bedroom", "A")])
def test_a_bathroom_outlet_is_used_last(use: str, point: str) -> None:
    """A head goes four metres further to an outlet that is not in a wet room."""
    job = small_job(
        rooms={"near": {"use": use}, "far": {"use": "living"}},
        outlets={
            "A": outlet("P1", "near", at=[0.0, 0.0]),
            "B": outlet("P1", "far", at=[4.0, 0.0]),
        },
        places={"spot": {"at": [0.5, 0.0]}},
        heads={"lamp": amps(4.0, cord_m=3.0)},
        setups=[setup(lamp="spot")],
        leads=[{"length_m": 10.0, "size_mm2": 1.5}],
    )
    facts = Facts.of(job)
    outcome = find_plans(facts, Judge(facts), SolverConfig(time_limit_s=5.0, alternatives=0))
    assert isinstance(outcome, Solved)
    assert [p.point for p in outcome.plans[0][0].placements] == [point]
