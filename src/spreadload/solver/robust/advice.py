"""What leaving an outlet alone would cost, which is often less than finding out about it."""

from typing import TYPE_CHECKING

import numpy as np

from spreadload.plan import Chance, Plan
from spreadload.solver.engine.limits import Clock
from spreadload.solver.robust.hedging import Hedge, start_at, units_of
from spreadload.solver.robust.model import Bounded, as_counts, failing, nearest_feasible
from spreadload.solver.robust.risk_table import RiskTable
from spreadload.units import FULL_PCT

if TYPE_CHECKING:
    from spreadload.solver.robust.least_risk import Robust

_ADVISED = 2
# Many times what it takes, so that a shared core does not change the advice.
_RIGGING_S = 3.0
ADVICE_S = _ADVISED * _RIGGING_S


def with_advice(
    robust: "Robust", table: RiskTable, plan: Plan, chance: Chance, clock: Clock
) -> Chance:
    """Return the chance with the plans that leave its worst outlets alone, where they fail less.

    Not using an outlet is often cheaper than finding out about it.
    """
    if chance.volts_pct:
        return chance  # what is looked for here knows nothing of volts
    drivers = list(chance.drivers)
    for n, driver in enumerate(drivers[:_ADVISED]):
        if clock.left_s <= 0:
            break
        free = _free_of(robust, table, plan, driver.outlet, clock)
        if free is None:
            continue
        share = fresh_risk(robust, free)
        if share * FULL_PCT < chance.fails_pct:
            drivers[n] = driver.model_copy(update={"avoided_pct": share * FULL_PCT})
    return chance.model_copy(update={"drivers": tuple(drivers)})


def _free_of(
    robust: "Robust", table: RiskTable, plan: Plan, outlet: str, clock: Clock
) -> Bounded | None:
    """Return the best plan found that leaves an outlet alone, or None when it cannot."""
    options = robust.options
    off = frozenset((o.setup, o.load) for o in plan.switched_off)
    units = units_of(options, table.setups, off)
    at = start_at(units, as_counts(table, plan).counts)
    for n, unit in enumerate(units):
        if unit.options[at[n]].point.outlet == outlet:
            other = [k for k, o in enumerate(unit.options) if o.point.outlet != outlet]
            if not other:
                return None
            at[n] = other[0]
    search = Hedge(table, units, table.base(off), frozenset({outlet}))
    search.start(at)
    risk = search.search(np.random.default_rng(robust.config.seed), kicks=2)
    wanted = Bounded(search.counts(), off, risk, 0.0)
    share = clock.part(_RIGGING_S)
    kept = nearest_feasible(robust.facts, wanted, share, robust.config)
    if kept is None or any(robust.facts.points[p].outlet == outlet for _, p in kept.counts):
        return None
    return kept


def fresh_risk(robust: "Robust", found: Bounded) -> float:
    """Return the weight of fresh maps on which a plan given as counts fails."""
    points = [robust.facts.points[p] for p in sorted({p for _, p in found.counts})]
    table = RiskTable.of(robust.facts, robust.fresh, points)
    return table.maps.share(failing(table, found))
