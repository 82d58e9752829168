"""A choice that is forced where the wiring is not known: the plan with it that fails least often.

Starts from the plan in hand with one unit put where it is asked for and kept there; the others may
move to make the best of it.
"""

from dataclasses import replace

import numpy as np

from spreadload.plan import Plan, Verdict
from spreadload.solver.engine.limits import Clock, SolverConfig
from spreadload.solver.model.request import Wish
from spreadload.solver.robust.hedging import Hedge, Unit, start_at, units_of
from spreadload.solver.robust.hold import Hold
from spreadload.solver.robust.least_risk import Robust, risk_table
from spreadload.solver.robust.model import Bounded, as_counts, failing, nearest_feasible
from spreadload.solver.robust.ranking import held_plan
from spreadload.solver.robust.risk_table import RiskTable

_KICKS = 2

Question = tuple[str, str, str]


def least_likely_with(
    robust: Robust, plan: Plan, question: Question, wish: Wish, config: SolverConfig
) -> tuple[Plan, Verdict] | None:
    """Return the plan found that fails least often with a unit at an outlet, or None.

    Args:
        robust: The search.
        plan: The plan in hand; it leaves no head dark.
        question: Set-up, load, outlet.
        wish: What puts the choice into a model.
        config: Time limit and seed.
    """
    clock = Clock(config.time_limit_s)
    table = risk_table(robust)
    kept = [
        found
        for wanted in _pinned(robust, table, plan, question)
        if (found := nearest_feasible(robust.facts, wanted, clock, config)) is not None
        and _is_there(robust, found, question)
    ]
    if not kept:
        return None
    risks = [table.maps.share(failing(table, found)) for found in kept]
    best = replace(kept[int(np.argmin(risks))], risk=min(risks))
    return held_plan(robust, Hold.of(table, best, robust.options), best, clock, (wish,))


def _pinned(robust: Robust, table: RiskTable, plan: Plan, question: Question) -> list[Bounded]:
    """Return what a local search makes of the plan with one unit kept there, place by place."""
    setup, load, _ = question
    off = frozenset((o.setup, o.load) for o in plan.switched_off)
    units = units_of(robust.options, table.setups, off)
    at = start_at(units, as_counts(table, plan).counts)
    asked = {u.demand: n for n, u in enumerate(units) if _asks(u, setup, load)}
    found = []
    for n in asked.values():
        there = tuple(o for o in units[n].options if _names(question, o.point.id, o.point.outlet))
        if there:
            one = [*units[:n], replace(units[n], options=there), *units[n + 1 :]]
            search = Hedge(table, one, table.base(off))
            search.start([*at[:n], 0, *at[n + 1 :]])
            risk = search.search(np.random.default_rng(robust.config.seed), kicks=_KICKS)
            found.append(Bounded(search.counts(), off, risk, 0.0))
    return found


def _asks(unit: Unit, setup: str, load: str) -> bool:
    return (unit.demand.setup, unit.demand.load) == (setup, load)


def _names(question: Question, point: str, outlet: str) -> bool:
    return question[2] in (point, outlet)


def _is_there(robust: Robust, found: Bounded, question: Question) -> bool:
    return any(
        (demand.setup, demand.load) == question[:2]
        and _names(question, point, robust.facts.points[point].outlet)
        for demand, point in found.counts
    )
