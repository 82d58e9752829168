"""From counts to plans that keep every rule, and holding what a robust plan survives.

Equal groups of different maps are one row of the table; a group inside a larger one on the same
device needs no row of its own.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

import numpy as np
from ortools.sat.python import cp_model

from spreadload.derived.facts import Facts
from spreadload.derived.records import Exposure
from spreadload.solver.devices import Stake, stakes
from spreadload.solver.hedging import Counts
from spreadload.solver.limits import Clock, SolverConfig
from spreadload.solver.risk_table import Bools, Floats, RiskTable
from spreadload.solver.rules import RULES
from spreadload.solver.stages import evaluate
from spreadload.solver.variables import Linear, Variables, total, weighted

_LEAST_S = 0.2
_KEPT_SHARE = 0.2


@dataclass
class GroupSums:
    """Load of any group in any set-up as a short sum over one variable per column."""

    v: Variables
    table: RiskTable
    columns: dict[tuple[str, int, int], Linear] = field(default_factory=dict)
    fixed: dict[tuple[int, int], Linear] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Make the column variables."""
        index = {c: n for n, c in enumerate(self.table.columns)}
        for s, setup in enumerate(self.table.setups):
            found = list(stakes(self.v, setup))
            for kind in self.table.amounts:
                self._column_loads(kind, s, found, index)

    def load(self, group: int, s: int) -> Linear:
        """Return the load of a group in a set-up."""
        device = self.table.devices[int(self.table.device_of[group])]
        parts = [
            self.columns[device.amount, int(e), s]
            for e in np.flatnonzero(self.table.group[group])
            if (device.amount, int(e), s) in self.columns
        ]
        return total([*parts, self._wired(int(self.table.device_of[group]), s)])

    def _column_loads(
        self, kind: str, s: int, found: Iterable[Stake], index: dict[Exposure, int]
    ) -> None:
        setup = self.table.setups[s]
        terms: dict[int, list[tuple[int, Linear]]] = {}
        for stake in found:
            if stake.demand.circuit is not None or stake.exposure not in index:
                continue
            poles = self._poles(stake)
            amount = self.table.amount(kind, setup, stake.demand.load, poles)
            terms.setdefault(index[stake.exposure], []).append((amount, stake.units))
        for e, parts in terms.items():
            most = sum(a for a, _ in parts) * max(d.count for d in self.v.plugged(setup))
            name = f"{kind} of column {e} in {setup}"
            load = self.v.model.new_int_var(0, max(most, 0), name)
            self.v.model.add(load == weighted(parts))
            self.columns[kind, e, s] = load

    def _poles(self, stake: Stake) -> int:
        return next(
            o.poles for o in self.v.options[stake.demand] if o.point.exposure == stake.exposure
        )

    def _wired(self, device: int, s: int) -> Linear:
        if (device, s) not in self.fixed:
            setup = self.table.setups[s]
            always = self.table.base(frozenset(self.v.off))[device, s]
            parts: list[Linear] = [int(always)]
            for key, off in self.v.off.items():
                if key[0] == setup:
                    rest = frozenset(self.v.off) - {key}
                    more = int(self.table.base(rest)[device, s] - always)
                    if more:
                        parts.append(more * (1 - off))
            self.fixed[device, s] = total(parts)
        return self.fixed[device, s]


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
    v = Variables.of(facts)
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
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = max(clock.left_s * _KEPT_SHARE, _LEAST_S)
    solver.parameters.random_seed = config.seed
    solver.parameters.num_workers = 1
    status = solver.solve(v.model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    return Bounded(counts_of(v, list(solver.response_proto.solution)), wanted.off, 1.0, 0.0)


def hold(table: RiskTable, found: Bounded) -> Callable[[Variables], None]:
    """Return a wish that no map the plan survives is lost.

    Every group that keeps its limit, and is part of some map that does not fail anyway, goes on
    keeping it; groups inside a larger one on the same device follow from that.
    """
    carried = carried_by(table, found)
    over = table.violated(carried, table.base(found.off))
    fails = table.fails(over)
    alive = sorted({int(g) for g in table.of_map[~fails].ravel()})
    largest = _largest(table, alive)

    def wish(v: Variables) -> None:
        sums = GroupSums(v, table)
        _hint(v, found)
        most = table.most(v.options)
        for g in (g for g in largest if table.group[g].any()):
            limit = int(table.limit[g])
            for s in range(len(table.setups)):
                if most[g, s] > limit:
                    v.model.add(sums.load(g, s) <= limit)

    return wish


def _largest(table: RiskTable, groups: list[int]) -> list[int]:
    kept: list[int] = []
    by_device: dict[int, list[int]] = {}
    for g in groups:
        by_device.setdefault(int(table.device_of[g]), []).append(g)
    for own in by_device.values():
        rows = table.group[own].astype(int)
        size = rows.sum(axis=1)
        inside = ((rows @ rows.T) == size[:, None]) & (size[None, :] > size[:, None])
        kept += [g for i, g in enumerate(own) if not inside[i].any()]
    return kept
