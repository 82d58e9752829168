"""Why-not answers on unknown wiring: the price is a chance, not a count on every circuit.

The house is the worked example of ``test_unknown_wiring_family_house``: there, moving the biggest
head off the rear outlets is what takes the nearest-outlet plan from 93 % failing to 36 %.
"""

from functools import cache

import pytest

from family_house import main_setup
from spreadload.app.planning import plan_job, why_not
from spreadload.explain.why_not import Why
from spreadload.plan import Plan, Solved
from spreadload.solver.engine.limits import SolverConfig
from spreadload.solver.robust.least_risk import Robust, chances
from spreadload.wiring.model import WiringModel

pytestmark = [pytest.mark.slow, pytest.mark.reference]

CONFIG = SolverConfig(time_limit_s=10.0, alternatives=0)


@cache
def best() -> Plan:
    """Return our plan, made once."""
    outcome = plan_job(main_setup(), CONFIG, reasons=False).outcome
    assert isinstance(outcome, Solved)
    return outcome.plans[0][0]


def test_the_price_of_a_crowded_circuit_is_told_as_a_chance() -> None:
    """The big head on the rear circuit that DH1200 is on costs chance, and that is said first."""
    answer = why_not(main_setup(), "LED1200", "B7", plan=best(), config=CONFIG).answers[0]
    assert answer.says is Why.WORSE
    assert "possible wirings" in answer.costs[0].text
    assert answer.forced is not None
    forced, verdict = answer.forced
    assert verdict.holds
    assert any(p.load == "LED1200" and p.point == "B7" for p in forced.placements)


def test_the_forced_plan_makes_the_best_of_it() -> None:
    """Forcing one choice re-plans the rest: far fewer failures than the planner blind to wiring."""
    answer = why_not(main_setup(), "LED1200", "B7", plan=best(), config=CONFIG).answers[0]
    assert answer.forced is not None
    robust = Robust.of(WiringModel.of(main_setup()), CONFIG)
    ours, forced = chances(robust, [best(), answer.forced[0]])
    assert ours.fails_pct < forced.fails_pct
    assert forced.fails_pct < 15.0
