"""Plans for a house whose wiring is partly known: a certain one first, then the least risk."""

import pytest

from builders import amps, circuit, job_of, outlet, setup, small_data
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.plan import Outcome, Solved
from spreadload.solver.engine.limits import Clock, SolverConfig
from spreadload.solver.robust import least_risk
from spreadload.solver.search.ranked_plans import find_plans
from spreadload.wiring.model import WiringModel

LIMIT_S = 4.0


def test_what_finding_a_certain_plan_left_over_goes_into_a_good_one(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """With a certain plan in sight, nothing else is worth time: the best certain plan gets it."""
    spent_s = []

    def recorded(facts: Facts, judge: Judge, config: SolverConfig, clock: Clock) -> Outcome:
        spent_s.append(clock.limit_s)
        return find_plans(facts, judge, config, clock)

    monkeypatch.setattr(least_risk, "find_plans", recorded)
    job = job_of(
        small_data(
            circuits={"P1": circuit(20.0), "P2": circuit(20.0)},
            outlets={"O1": outlet("P1", "lounge"), "O2": {"room": "lounge", "at": [4.0, 0.0]}},
            heads={"lamp": amps(3.0)},
            setups=[setup("SU1", lamp={"lounge": 1})],
        )
    )
    whole = Clock(LIMIT_S)

    outcome = least_risk.certificate(WiringModel.of(job), SolverConfig(time_limit_s=LIMIT_S), whole)

    assert isinstance(outcome, Solved)
    assert [chance.certificate for chance in outcome.chances] == [True] * len(outcome.plans)
    assert spent_s == [pytest.approx(0.7 * LIMIT_S, rel=0.01)]
