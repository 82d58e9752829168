"""A pool of good plans, each good on some part of the wirings still possible.

What a test is worth depends on the best plan after each of its outcomes. Planning anew for every
outcome of every test would take minutes; instead plans found for some outcomes are kept, and every
outcome takes the best of all of them. More plans can only lower the figures.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from spreadload.derived.asked import Demand
from spreadload.derived.records import Point
from spreadload.plan import Plan
from spreadload.solver.engine.limits import Clock
from spreadload.solver.model.candidates import Candidate, all_candidates
from spreadload.solver.robust.hedging import Counts, Hedge, Unit, start_at, units_of
from spreadload.solver.robust.least_risk import Robust, base_plan, fit, risk_table
from spreadload.solver.robust.model import Bounded, failing, keeps_every_rule
from spreadload.solver.robust.risk_table import RiskTable
from spreadload.wiring.maps import Maps
from spreadload.wiring.ties import evened

if TYPE_CHECKING:
    from spreadload.solver.engine.found import Found

_KICKS = 3
_FIRST_SHARE = 0.3
_LOST_SEARCHES = 3
_ON_MAPS = 300
_LEAST_RISK = 0.001

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]


@dataclass
class Pool:
    """Plans as states of the local search, and on which maps each trips.

    Plans are looked for and chosen on one table of maps and measured on another that they were not
    fitted to: a plan chosen because it does well on some maps does better there than it should.

    Attributes:
        robust: The search it belongs to.
        table: Every group of the maps that plans are chosen on.
        fresh: The same for the maps they are measured on.
        fails: Per plan and map of ``table``, whether it trips.
        fresh_fails: Per plan and map of ``fresh``, whether it trips.
        is_lost: Per map of ``table``, whether a search for it alone found no plan either.
    """

    robust: Robust
    table: RiskTable
    fresh: RiskTable
    options: dict[Demand, tuple[Candidate, ...]]
    units: Sequence[Unit]
    off: frozenset[tuple[str, str]]
    states: list[list[int]] = field(default_factory=list)
    fails: Bools = field(default_factory=lambda: np.zeros((0, 0), dtype=bool))
    fresh_fails: Bools = field(default_factory=lambda: np.zeros((0, 0), dtype=bool))
    is_lost: Bools = field(default_factory=lambda: np.zeros(0, dtype=bool))

    @classmethod
    def of(cls, robust: Robust, clock: Clock) -> "Pool | Found":
        """Start a pool with the plan that ``plan`` would find, or say why there is none."""
        base, how = base_plan(robust, clock)
        if base is None:
            return how
        options = all_candidates(robust.facts)
        points = _points(options)
        table = RiskTable.of(robust.facts, robust.fitted, points)
        fresh = RiskTable.of(robust.facts, robust.fresh, points)
        off = frozenset((o.setup, o.load) for o in base[0].switched_off)
        pool = cls(robust, table, fresh, options, units_of(options, table.setups, off), off)
        pool.add(start_at(pool.units, pool.counts(base[0])))
        pool.is_lost = np.zeros(len(table.maps), dtype=bool)
        best = fit(robust, risk_table(robust), base[0], Clock(clock.left_s * _FIRST_SHARE))
        pool.add(start_at(pool.units, best.counts))
        return pool

    def give_up_what_is_lost(self) -> None:
        """Search for the maps on which every plan trips; stop trying where that finds none.

        Some houses overload a breaker however it is rigged, because what must be plugged in where
        is on one circuit there. Without this every outcome would be searched for them in vain.
        """
        for _ in range(_LOST_SEARCHES):
            dead = self.fails.all(axis=0)
            if not dead.any():
                return
            self.grow(np.where(dead, self.maps.weights, 0.0))
            if self.fails.all(axis=0).sum() == dead.sum():
                break
        self.is_lost = np.asarray(self.fails.all(axis=0), dtype=np.bool_)

    @property
    def maps(self) -> Maps:
        """The maps that plans are chosen on: outlets that something may use."""
        return self.table.maps

    @property
    def best(self) -> int:
        """Number of the best plan as things stand."""
        return int(np.argmin(evened(self.fails @ self.maps.weights)))

    def risk_of(self, plan: Plan) -> float:
        """Return the chance that a plan trips."""
        found = Bounded(self.counts(plan), self.off, 0.0, 0.0)
        return self.fresh.maps.share(failing(self.fresh, found))

    def counts(self, plan: Plan) -> Counts:
        """Return a plan as counts; what it places but nothing asks for is left away."""
        asked = {(d.setup, d.load, d.place): d for d in self.options}
        found: Counts = {}
        for p in plan.placements:
            demand = asked.get((p.setup, p.load, p.place))
            if demand is not None and p.point in self.robust.facts.points:
                found[demand, p.point] = found.get((demand, p.point), 0) + 1
        return found

    def grow(self, weights: Floats, *, banned: frozenset[str] = frozenset()) -> bool:
        """Look for a plan for one part of the maps and add it; False where none is needed.

        Args:
            weights: Per map, not scaled; 0 for maps that an outcome rules out.
            banned: Outlets not to use.
        """
        best = int(np.argmin(evened(self.fails @ weights)))
        left = float((self.fails[best] & ~self.is_lost) @ weights)
        if not banned and left <= _LEAST_RISK:
            return False
        part = self._part(weights)
        table = RiskTable.of(self.robust.facts, part, _points(self.options), self.options)
        search = Hedge(table, self.units, table.base(self.off), banned)
        search.start(self._without(self.states[best], banned))
        search.search(np.random.default_rng(self.robust.config.seed), kicks=_KICKS)
        return self.add(list(search.at))

    def add(self, state: list[int]) -> bool:
        """Keep a plan; False where the pool has it."""
        if state in self.states:
            return False
        found = Bounded(self._counts_of(state), self.off, 0.0, 0.0)
        self.states.append(state)
        self.fails = _with_row(self.fails, failing(self.table, found))
        self.fresh_fails = _with_row(self.fresh_fails, failing(self.fresh, found))
        return True

    def drop_what_breaks_a_rule(self, plans: Iterable[int], clock: Clock) -> bool:
        """Count plans that leads, boards or sockets do not allow as failing everywhere.

        The local search knows only the main limits; before a plan is spoken of, the exact model
        has to be able to rig it.

        Returns:
            Whether any was dropped.
        """
        dropped = False
        for n in plans:
            counts = self._counts_of(self.states[n])
            found = Bounded(counts, self.off, 0.0, 0.0)
            if n and not keeps_every_rule(self.robust.facts, found, clock, self.robust.config):
                self.fails[n], self.fresh_fails[n], dropped = True, True, True
        return dropped

    def outlets(self, plan: int) -> frozenset[str]:
        """Return the outlets that a plan of the pool uses."""
        used = zip(self.units, self.states[plan], strict=True)
        return frozenset(unit.options[at].point.outlet for unit, at in used)

    def _counts_of(self, state: list[int]) -> Counts:
        counts: Counts = {}
        for unit, at in zip(self.units, state, strict=True):
            key = (unit.demand, unit.options[at].point.id)
            counts[key] = counts.get(key, 0) + 1
        return counts

    def _part(self, weights: Floats) -> Maps:
        """Return the heaviest maps of an outcome; more would slow the search and find little."""
        on = np.flatnonzero(weights > 0)
        on = on[np.argsort(-evened(weights[on]), kind="stable")][:_ON_MAPS]
        whole = self.maps
        return Maps(
            whole.outlets,
            whole.circuits,
            whole.on[on],
            weights[on] / weights[on].sum(),
            is_exact=False,
            effective=whole.effective,
            seed=whole.seed,
        )

    def _without(self, state: list[int], banned: frozenset[str]) -> list[int]:
        """Return a state with what is at a banned outlet put somewhere else, where it can be."""
        found = list(state)
        for n, unit in enumerate(self.units):
            if unit.options[found[n]].point.outlet in banned:
                other = [k for k, o in enumerate(unit.options) if o.point.outlet not in banned]
                found[n] = other[0] if other else found[n]
        return found


def _with_row(table: Bools, row: Bools) -> Bools:
    return np.concatenate([table, row[None, :]]) if table.size else row[None, :]


def _points(options: dict[Demand, tuple[Candidate, ...]]) -> list[Point]:
    return [option.point for some in options.values() for option in some]
