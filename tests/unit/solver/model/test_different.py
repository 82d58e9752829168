"""Other plans than the best one: what counts as another."""

from collections import Counter
from itertools import combinations
from pathlib import Path

from builders import amps, circuits, small_job
from spreadload.app.planning import load_job
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.derived.records import Exposure
from spreadload.job.job import Job
from spreadload.plan import Plan, Solved
from spreadload.solver.engine.limits import SolverConfig
from spreadload.solver.search.ranked_plans import find_plans

SCENARIOS = Path(__file__).resolve().parents[4] / "scenarios"
CONFIG = SolverConfig(time_limit_s=10.0, alternatives=3)
Spread = Counter[tuple[str, str, Exposure]]


def spreads(job: Job) -> list[Spread]:
    """Return of each ranked plan how many of each kind are on which circuits."""
    facts = Facts.of(job)
    outcome = find_plans(facts, Judge(facts), CONFIG)
    plans = [plan for plan, _ in outcome.plans] if isinstance(outcome, Solved) else []
    return [_spread(facts, plan) for plan in plans]


def _spread(facts: Facts, plan: Plan) -> Spread:
    return Counter((p.setup, p.load, facts.points[p.point].exposure) for p in plan.placements)


def test_no_two_plans_of_a_shipped_job_load_every_circuit_alike() -> None:
    """Both soft heads of the first job may be on either circuit, at either place."""
    found = spreads(load_job(SCENARIOS / "first_job"))
    assert len(found) == CONFIG.alternatives + 1
    for one, other in combinations(found, 2):
        assert one != other


def test_swapping_the_places_of_identical_heads_is_no_other_plan() -> None:
    """Two lamps at two places have three spreads over two circuits, not four."""
    lamps = {"lamp": amps(4.0, count=2)}
    asked = {"id": "SU1", "heads": {"lamp": ["lounge", "bed"]}}
    job = small_job(circuits=circuits(P1=10.0, P2=10.0), heads=lamps, setups=[asked])
    assert len(spreads(job)) == len({"both on P1", "one on each", "both on P2"})
