"""Holding what a robust plan survives while other goals are improved.

Every group of outlets that keeps its limit, and is part of some map that does not fail anyway, has
to go on keeping it. Equal groups of different maps are one row, and a group inside a larger one on
the same device needs none. Rows that are far from their limit are put in only when a plan breaks
them: few rows make a quick model, and a plan that breaks none of the others is best under all.
"""

from collections import defaultdict
from collections.abc import Collection, Iterable
from dataclasses import dataclass, field
from itertools import product

import numpy as np
from numpy.typing import NDArray

from spreadload.solver.model.candidates import all_candidates
from spreadload.solver.model.devices import Stake, stakes
from spreadload.solver.model.variables import Linear, Variables, total, weighted
from spreadload.solver.robust.model import Bounded, carried_by
from spreadload.solver.robust.risk_table import TINY, Bools, Options, RiskTable

_NEAR = 0.6

Row = tuple[int, int]
Column = tuple[str, int, int]


@dataclass
class GroupSums:
    """Load of some groups as short sums, over one variable for each column in any of them.

    Attributes:
        rows: The groups, each in a set-up.
        columns: Load per kind of amount, column and set-up.
        fixed: What does not depend on plugs, per device and set-up.
    """

    v: Variables
    table: RiskTable
    rows: Collection[Row]
    columns: dict[Column, Linear] = field(default_factory=dict)
    fixed: dict[tuple[int, int], Linear] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Make the column variables."""
        index = {c: n for n, c in enumerate(self.table.columns)}
        asked = {(self._amount(g), int(e), s) for g, s in self.rows for e in self._columns(g)}
        for s, setup in enumerate(self.table.setups):
            there: dict[int, list[Stake]] = defaultdict(list)
            for stake in stakes(self.v, setup):
                if stake.demand.circuit is None and stake.exposure in index:
                    there[index[stake.exposure]].append(stake)
            for kind, e in product(self.table.amounts, there):
                if (kind, e, s) in asked:
                    self.columns[kind, e, s] = self._added_up((kind, e, s), there[e])

    def load(self, group: int, s: int) -> Linear:
        """Return the load of a group in a set-up."""
        kind = self._amount(group)
        named = ((kind, e, s) for e in self._columns(group))
        parts = [self.columns[name] for name in named if name in self.columns]
        return total([*parts, self._wired(int(self.table.device_of[group]), s)])

    def _amount(self, group: int) -> str:
        return self.table.devices[int(self.table.device_of[group])].amount

    def _columns(self, group: int) -> list[int]:
        found: list[int] = np.flatnonzero(self.table.group[group]).tolist()
        return found

    def _added_up(self, column: Column, there: list[Stake]) -> Linear:
        kind, e, s = column
        setup = self.table.setups[s]
        parts = [
            (self.table.amount(kind, setup, stake.demand.load, self._poles(stake)), stake.units)
            for stake in there
        ]
        most = sum(a for a, _ in parts) * max(d.count for d in self.v.plugged(setup))
        load = self.v.model.new_int_var(0, max(most, 0), f"{kind} of column {e} in {setup}")
        self.v.model.add(load == weighted(parts))
        return load

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


@dataclass
class Hold:
    """A wish that no map a plan survives is lost; called with a model, it puts its rows in.

    Attributes:
        rows: Per device, set-up and group: every limit that has to be kept.
        taken: Those that are put into a model.
    """

    table: RiskTable
    rows: tuple[Row, ...]
    taken: set[Row]

    @classmethod
    def of(cls, table: RiskTable, found: Bounded, options: Options, share: float = 1.0) -> "Hold":
        """Return what holds the maps that a plan given as counts survives.

        Args:
            table: Every map.
            found: The plan.
            options: What each demand may use.
            share: Hold so much of the weight only, the heaviest maps first.
        """
        carried = carried_by(table, found)
        base = table.base(found.off)
        fails = table.fails(table.violated(carried, base))
        held = table.maps.weights.cumsum() <= share + TINY
        alive = np.unique(table.of_map[held & ~fails].ravel())
        rows = tuple(_largest(table, alive[table.group[alive].any(axis=1)], options))
        loads = table.loads(carried, base)
        near = {(g, s) for g, s in rows if loads[g, s] > _NEAR * table.limit[g]}
        return cls(table, rows, near)

    def __call__(self, v: Variables) -> None:
        """Put the rows taken into a model."""
        sums = GroupSums(v, self.table, self.taken)
        for g, s in sorted(self.taken):
            v.model.add(sums.load(g, s) <= int(self.table.limit[g]))

    def learn(self, found: Bounded) -> bool:
        """Take the rows that a plan breaks; whether there were any."""
        loads = self.table.loads(carried_by(self.table, found), self.table.base(found.off))
        broken = {(g, s) for g, s in self.rows if loads[g, s] > self.table.limit[g] + TINY}
        self.taken |= broken
        return bool(broken)

    def take_all(self) -> None:
        """Take every row."""
        self.taken = set(self.rows)


def hold(table: RiskTable, found: Bounded) -> Hold:
    """Return the wish with every row from the start, for who does not ask again."""
    wish = Hold.of(table, found, all_candidates(table.facts))
    wish.take_all()
    return wish


def _largest(table: RiskTable, alive: NDArray[np.intp], options: Options) -> Iterable[Row]:
    """Yield, per device and set-up, the groups that could pass their limit and are in no other."""
    most = table.most(options)
    usable = _usable(table, options)
    for s in range(len(table.setups)):
        for device in np.unique(table.device_of[alive]):
            own = alive[(table.device_of[alive] == device) & (most[alive, s] > table.limit[alive])]
            inside = table.group[own] & usable[s]
            rows, first = np.unique(inside, axis=0, return_index=True)
            whole = rows.astype(int)
            size = whole.sum(axis=1)
            covered = ((whole @ whole.T) == size[:, None]) & (size[None, :] > size[:, None])
            yield from ((int(own[first[i]]), s) for i in np.flatnonzero(~covered.any(axis=1)))


def _usable(table: RiskTable, options: Options) -> Bools:
    """Return per set-up and column whether anything may be plugged in there."""
    column = {c: n for n, c in enumerate(table.columns)}
    found = np.zeros((len(table.setups), len(table.columns)), dtype=bool)
    for demand, some in options.items():
        found[table.setups.index(demand.setup), [column[o.point.exposure] for o in some]] = True
    return found
