"""What holds the maps a robust plan survives, and the plans made from it."""

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from spreadload.io.job_file import load_job
from spreadload.plan import Plan
from spreadload.solver.engine.limits import Clock, SolverConfig
from spreadload.solver.model.variables import Variables
from spreadload.solver.robust.hold import GroupSums, Hold
from spreadload.solver.robust.least_risk import Robust, base_plan, fit, risk_table
from spreadload.solver.robust.model import Bounded, as_counts, failing
from spreadload.solver.robust.ranking import held_plan, others_like
from spreadload.solver.robust.risk_table import RiskTable
from spreadload.wiring.model import WiringModel

pytestmark = pytest.mark.slow

HOUSE = Path(__file__).parents[4] / "scenarios" / "family_house"


@cache
def fitted() -> tuple[Robust, RiskTable, Plan, Bounded]:
    """Return the family house's main set-up with the first plan and the one of least risk."""
    job = load_job(HOUSE)
    job = job.model_copy(update={"setups": tuple(s for s in job.setups if s.id == "SU2")})
    robust = Robust.of(WiringModel.of(job), SolverConfig(time_limit_s=10.0, alternatives=2))
    base, _ = base_plan(robust, Clock(10.0))
    assert base is not None
    table = risk_table(robust)
    return robust, table, base[0], fit(robust, table, base[0], Clock(10.0))


def test_ranked_plans_lose_no_map_the_best_one_survives() -> None:
    """Whatever the other goals do to a plan, it fails on no map on which least risk holds."""
    robust, table, _, best = fitted()
    clock = Clock(10.0)
    hold = Hold.of(table, best, robust.options)
    first = held_plan(robust, hold, best, clock)
    assert first is not None
    ranked = [first, *others_like(robust, hold, first, clock)]
    assert len(ranked) > 1
    for plan, verdict in ranked:
        assert verdict.holds
        lost = failing(table, as_counts(table, plan)) & ~failing(table, best)
        assert not lost.any()


def test_a_plan_that_breaks_a_row_far_from_its_limit_teaches_it() -> None:
    """The first plan fails where the best one holds: its rows are taken once, then known."""
    robust, table, first, best = fitted()
    hold = Hold.of(table, best, robust.options)
    hold.taken.clear()
    assert hold.learn(as_counts(table, first))
    loads = {row for row in hold.rows if row in hold.taken}
    assert loads == hold.taken
    assert not hold.learn(best)


def test_held_rows_cover_every_group_of_a_map_that_holds() -> None:
    """A plan that keeps all rows fails on no map on which the held plan holds."""
    robust, table, first, best = fitted()
    hold = Hold.of(table, best, robust.options)
    hold.taken.clear()
    keeps_all = not hold.learn(as_counts(table, first))
    loses = (failing(table, as_counts(table, first)) & ~failing(table, best)).any()
    assert keeps_all == (not loses)


def test_only_outlets_in_a_row_that_was_taken_are_added_up() -> None:
    """One row asks for the outlets of its group in its set-up, and for nothing else."""
    robust, table, _, best = fitted()
    group, s = min(Hold.of(table, best, robust.options).taken)
    sums = GroupSums(Variables.of(robust.facts, options=robust.options), table, {(group, s)})
    in_group = set(np.flatnonzero(table.group[group]).tolist())
    assert sums.columns
    assert {(e in in_group, at) for _, e, at in sums.columns} == {(True, s)}
