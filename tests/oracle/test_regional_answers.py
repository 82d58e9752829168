"""The solver finds, house by house, the answer worked out by hand at the head of the job file.

Source: splitting by hand; each file shows the arithmetic of the best split and of the next one.
"""

from pathlib import Path

import pytest

from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.io.job_file import load_job
from spreadload.plan import Impossible, Outcome, Solved, chance_shown
from spreadload.solver.any_wiring import look_for_plans
from spreadload.solver.engine.limits import SolverConfig
from spreadload.solver.search.ranked_plans import find_plans

JOBS = Path(__file__).parents[1] / "jobs"
TIGHTEST_PCT = {
    "au_ripple_night": 84,
    "au_two_rcd_groups": 79,
    "ca_split_kitchen": 84,
    "eu_contract": 71,
    "eu_contract_night": 73,
    "it_three_kilowatts": 85,
    "jp_contract_amps": 75,
    "nz_garage_sub_board": 79,
    "nz_rewireable_fuses": 72,
    "uk_pulled_in_site": 41,
    "uk_ring": 75,
    "us_split_phase": 65,
}
# How often the best plan fails [of 100], and how many wirings there are.
FAILS = {"terrace_not_traced": (31, 729)}
LEFT_OUT = {
    "ca_basement_studio": {("day", "L12")},
    "it_contract_too_small": {("A", "T6")},
    "us_loft_wye": {("take", "fresnel")},
    "us_two_storey": {("1", "D18"), ("1", "L12"), ("2", "L12")},
}


def outcome_of(name: str) -> Outcome:
    """Return what the solver says of one regional job."""
    facts = Facts.of(load_job(JOBS / f"{name}.yaml"))
    return find_plans(facts, Judge(facts), SolverConfig(time_limit_s=60, alternatives=0))


@pytest.mark.parametrize("name", TIGHTEST_PCT)
def test_the_tightest_limit_is_as_worked_by_hand(name: str) -> None:
    """The best plan is proven, lights every head and is as tight as the file says."""
    outcome = outcome_of(name)
    assert isinstance(outcome, Solved)
    plan, verdict = outcome.plans[0]
    assert outcome.proven
    assert not plan.left_out
    assert max(usage.used_pct for usage in verdict.usages) == TIGHTEST_PCT[name]


@pytest.mark.parametrize("name", LEFT_OUT)
def test_what_cannot_fit_is_proven_and_the_least_head_goes(name: str) -> None:
    """No plan exists, and the fullest legal one leaves out the head the file names."""
    outcome = outcome_of(name)
    assert isinstance(outcome, Impossible)
    assert outcome.reduced is not None
    plan, verdict = outcome.reduced
    assert verdict.holds
    assert {(left.setup, left.load) for left in plan.left_out} == LEFT_OUT[name]


def test_only_the_kettle_is_switched_off_for_the_contract() -> None:
    """4950 W fit into 5750 W; the kettle's 2000 W do not."""
    outcome = outcome_of("eu_contract")
    assert isinstance(outcome, Solved)
    assert [off.load for off in outcome.plans[0][0].switched_off] == ["kettle"]


@pytest.mark.parametrize("name", sorted(FAILS))
def test_what_nobody_traced_has_a_chance(name: str) -> None:
    """Where circuits are not known, every wiring is counted and the chance is that of the head."""
    _, outcome = look_for_plans(load_job(JOBS / f"{name}.yaml"), SolverConfig(alternatives=0))
    chance = chance_shown(outcome)
    assert chance is not None
    assert chance.is_exact
    assert (round(chance.fails_pct), chance.maps) == FAILS[name]


def test_every_job_has_an_answer_here() -> None:
    """A new regional job cannot be added without its answer."""
    assert {path.stem for path in JOBS.glob("*.yaml")} == (
        TIGHTEST_PCT.keys() | LEFT_OUT.keys() | FAILS.keys()
    )
