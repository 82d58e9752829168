"""Plans given as counts: what they carry, on which maps they fail, and what keeps every rule."""

from dataclasses import dataclass

import numpy as np

from spreadload.derived.facts import Facts
from spreadload.plan import Plan
from spreadload.solver.engine.calls import limited, rows_of
from spreadload.solver.engine.cp import cp_model
from spreadload.solver.engine.limits import Clock, SolverConfig
from spreadload.solver.model.candidates import all_candidates
from spreadload.solver.model.rules import RULES
from spreadload.solver.model.variables import Variables, evaluate, weighted
from spreadload.solver.robust.hedging import Counts
from spreadload.solver.robust.risk_table import Bools, Floats, RiskTable

_LEAST_S = 0.2
_KEPT_SHARE = 0.2


@dataclass(frozen=True)
class Bounded:
    """What the exact model found.

    Attributes:
        counts: Units of each demand at each point.
        off: What is switched off.
        risk: Weight of failing maps.
        bound: No plan has less.
    """

    counts: Counts
    off: frozenset[tuple[str, str]]
    risk: float
    bound: float


def as_counts(table: RiskTable, plan: Plan) -> Bounded:
    """Return a plan as counts, with its risk on the maps of a table."""
    asked = {(d.setup, d.load, d.place): d for some in table.facts.demands.values() for d in some}
    counts: Counts = {}
    for p in plan.placements:
        key = (asked[p.setup, p.load, p.place], p.point)
        counts[key] = counts.get(key, 0) + 1
    off = frozenset((o.setup, o.load) for o in plan.switched_off)
    return Bounded(counts, off, table.risk(plan), 0.0)


def carried_by(table: RiskTable, found: Bounded) -> Floats:
    """Return what a plan given as counts carries, per kind of amount, exposure and set-up."""
    index = {c: n for n, c in enumerate(table.columns)}
    carried = np.zeros((len(table.amounts), len(table.columns), len(table.setups)))
    for (demand, point_id), count in found.counts.items():
        point = table.facts.points[point_id]
        poles = table.facts.poles_at(demand.load, point)
        s = table.setups.index(demand.setup)
        for k, kind in enumerate(table.amounts):
            amount = table.amount(kind, demand.setup, demand.load, poles)
            carried[k, index[point.exposure], s] += count * amount
    return carried


def failing(table: RiskTable, found: Bounded) -> Bools:
    """Return per map whether a plan given as counts fails on it."""
    return table.fails(table.violated(carried_by(table, found), table.base(found.off)))


def _hint(v: Variables, found: Bounded) -> None:
    for demand, options in v.options.items():
        for option in options:
            count = found.counts.get((demand, option.point.id), 0)
            v.model.add_hint(v.at[demand, option.point.id], count)


def counts_of(v: Variables, values: list[int]) -> Counts:
    """Return the value of every decision as units of each demand at each point."""
    found: Counts = {}
    for demand, options in v.options.items():
        for option in options:
            count = evaluate(v.units_at(demand, option.point.id), values)
            if count:
                found[demand, option.point.id] = count
    return found


def nearest_feasible(
    facts: Facts, wanted: Bounded, clock: Clock, config: SolverConfig
) -> Bounded | None:
    """Return a plan that keeps every rule with the wanted counts, or strays least from them."""
    return _kept(facts, wanted, clock, config, is_exact=True) or _kept(
        facts, wanted, clock, config, is_exact=False
    )


def keeps_every_rule(facts: Facts, wanted: Bounded, clock: Clock, config: SolverConfig) -> bool:
    """Whether the exact model can rig a plan given as counts."""
    return _kept(facts, wanted, clock, config, is_exact=True) is not None


def _kept(
    facts: Facts, wanted: Bounded, clock: Clock, config: SolverConfig, *, is_exact: bool
) -> Bounded | None:
    usable = all_candidates(facts)
    if is_exact:
        usable = {
            demand: tuple(o for o in some if (demand, o.point.id) in wanted.counts)
            for demand, some in usable.items()
        }
    v = Variables.of(facts, options=usable)
    for rule in RULES:
        rule(v)
    for key, off in v.off.items():
        v.model.add(off == int(key in wanted.off))
    kept = []
    for demand, options in v.options.items():
        for option in options:
            count = wanted.counts.get((demand, option.point.id), 0)
            units = v.units_at(demand, option.point.id)
            if is_exact:
                v.model.add(units == count)
            elif count:
                there = v.model.new_int_var(0, count, f"kept {demand.load} at {option.point.id}")
                v.model.add(there <= units)
                kept.append((v.facts.unit_ma(demand.load, option.poles), there))
    v.model.maximize(weighted(kept))
    _hint(v, wanted)
    solver = limited(clock, max(clock.work_left_s * _KEPT_SHARE, _LEAST_S))
    solver.parameters.random_seed = config.seed
    status = solver.solve(v.model)
    clock.spend(solver.response_proto.deterministic_time, rows_of(v.model))
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    return Bounded(counts_of(v, list(solver.response_proto.solution)), wanted.off, 1.0, 0.0)
