"""Boards that were only counted and cannot be dealt out: the search is put right, or made again.

Five heads of 4 A on two power boards of 10 A: 20 A are enough for all, and no board holds three.
"""

import pytest

from builders import amps, outlet, setup, small_job
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.job.job import Job
from spreadload.plan import Plan
from spreadload.solver.engine.found import Found
from spreadload.solver.engine.limits import Clock, SolverConfig
from spreadload.solver.model.request import Request
from spreadload.solver.search import proposal as proposal_module
from spreadload.solver.search.proposal import Proposal


def five_heads(**far: object) -> Job:
    """Return a job whose nearest outlet takes two boards, with a single socket far off."""
    near = outlet("P1", "lounge", at=[0, 0], plate_a=32)
    return small_job(
        region="EU",
        circuits={"P1": {"breaker_a": 32}, "P2": {"breaker_a": 32}},
        outlets={"O1": near, "O2": outlet("P1", "bed", at=[20, 0], sockets=1) | far},
        places={"mark": {"room": "lounge", "at": [1, 0]}},
        heads={"lamp": amps(4.0, cord_m=8.0, count=5)},
        power_boards=[{"ways": 4, "rating_a": 10, "count": 2}],
        leads=[{"length_m": 25, "size_mm2": 2.5, "count": 6}],
        setups=[setup(lamp={"mark": 5})],
    )


def proposed(job: Job) -> tuple[Found, Plan, dict[str, int]]:
    """Return how the search ended, its plan, and what the judge holds each goal to be worth."""
    facts, config = Facts.of(job), SolverConfig()
    found, plan = Proposal(facts, config, Clock(config.time_limit_s), Request()).find()
    assert plan is not None
    verdict = Judge(facts).judge(plan)
    assert verdict.holds
    return found, plan, {goal.goal: goal.value for goal in verdict.goals}


def by_outlet(plan: Plan) -> list[str]:
    """Return the points in use, one for each unit."""
    return sorted(placement.point for placement in plan.placements)


# Two boards at 2 m each, and a lead of 25 m at 2 m more: section "Soft rules" of DEVELOPERS.md. The
# second board is near with one head on the lead, or at the end of the lead with two.
CABLE_M = 2 * 2 + 25 + 2


def test_one_head_goes_elsewhere_where_the_boards_cannot_take_it() -> None:
    """No board takes a third head, so one goes far off on a lead; nothing is shorter."""
    found, plan, worth = proposed(five_heads())
    assert found is Found.BEST
    assert by_outlet(plan) == ["O1"] * 4 + ["O2"]
    assert worth["cable"] == CABLE_M


def test_what_is_put_right_says_how_much_shorter_the_counted_boards_were(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Without time to search again the mended plan stands, with the cable left open."""
    monkeypatch.setattr(proposal_module, "_AGAIN_TAKES", float("inf"))
    found, plan, worth = proposed(five_heads())
    assert found is Found.GOOD
    assert by_outlet(plan)[-1] == "O2"
    assert worth["cable"] == CABLE_M
    assert "27 m shorter" in plan.search.gap


def test_an_earlier_goal_gives_way_where_the_boards_leave_no_choice() -> None:
    """The far socket is a last resort, which counted boards would have spared."""
    found, plan, worth = proposed(five_heads(use="last resort"))
    assert found is Found.BEST
    assert by_outlet(plan) == ["O1"] * 4 + ["O2"]
    assert worth["last resort"] == 1
