"""Brings the fullest device of every set-up down, a few circuits at a time, and evens the phases.

How full the fullest device is makes a poor guide: as long as a second one is as full, no small
change gains anything. So an aim one per cent lower is set, and what all devices carry beyond it is
added up and brought to nothing, circuit by circuit.
"""

from collections import Counter, defaultdict
from dataclasses import dataclass, replace
from itertools import pairwise
from random import Random
from typing import NamedTuple

import numpy as np

from spreadload.derived.asked import Demand
from spreadload.derived.records import Exposure
from spreadload.job.preferences import Goal
from spreadload.solver.engine.calls import Effort, Status, solve
from spreadload.solver.engine.cp import cp_model
from spreadload.solver.engine.excerpt import Ints, Source
from spreadload.solver.engine.limits import Clock
from spreadload.solver.model import devices
from spreadload.solver.model.goals import BALANCE_STEP_A
from spreadload.solver.model.variables import Linear, Variables, total, weighted
from spreadload.solver.pieces.freed import Freed, Where
from spreadload.units import FULL_PCT, MILLI

# Guides, not prices: a milliamp beyond an aim is worth any cable, and so is one between phases.
_EXCESS_WORTH = 10_000
_APART_WORTH = 1_000
_ROUND_DETERMINISTIC = 0.05
_FIRST_CIRCUITS = 4.0
_LEAST_CIRCUITS = 3.0
# A piece grows by this factor when its round was decided, and shrinks by it when it was not.
_GROWTH = 1.15
# So many rounds without gain, or such a share of the work, and an aim is given up.
_PATIENCE = 40
_AIM_SHARE = 0.3
# For each circuit of a piece so many are drawn, of which the emptiest are taken.
_DRAWN = 3

EVEN_GOALS = frozenset({Goal.TIGHTEST, Goal.EACH_SETUP, Goal.BALANCE})


@dataclass(frozen=True)
class _Row:
    """One device with what it carries beyond the aim of its set-up [mA]."""

    setup: str
    limit: int
    decisions: Ints
    amounts: Ints
    wired: int
    excess: cp_model.IntVar
    row: cp_model.Constraint

    def load(self, values: Ints) -> int:
        """Return what it carries."""
        return int(self.amounts @ values[self.decisions]) + self.wired

    def percent(self, values: Ints) -> int:
        """Return how full it is, rounded up."""
        return -(-FULL_PCT * self.load(values) // self.limit) if self.limit else 0

    def aim_at(self, percent: int, source: Source) -> None:
        """Count what is beyond so many per cent."""
        source.keep_below(self.row.index, percent * self.limit - FULL_PCT * self.wired)

    def beyond(self, values: Ints, percent: int) -> int:
        """Return what it carries beyond so many per cent."""
        return max(-(-(FULL_PCT * self.load(values) - percent * self.limit) // FULL_PCT), 0)


class _Units(NamedTuple):
    """Units of one demand at one exposure: the decision that counts them, and amps of one [mA]."""

    demand: Demand
    decision: int
    unit_ma: int


class Levelling:
    """Moves units between circuits until no device of a set-up is above an aim.

    Attributes:
        aim: What is minimised: all that is beyond the aims, then what is to be small besides.
    """

    def __init__(
        self,
        v: Variables,
        bounds: dict[str, int],
        goals: frozenset[Goal],
        beside: Linear,
        aims: dict[str, int] | None = None,
    ) -> None:
        """Put what is beyond the aims into the model.

        Args:
            v: The decisions.
            bounds: What the fullest device of a set-up is never below [per cent].
            goals: Which of the goals on devices count.
            beside: What to keep small besides.
            aims: How full the fullest device of each set-up may be to begin with [per cent].
        """
        self._bounds = bounds
        begin = dict.fromkeys(v.setups(), FULL_PCT) | (aims or {})
        self._rows = [_row(v, device, begin[device.setup]) for device in devices.breakers(v)]
        self._apart = _apart(v) if Goal.BALANCE in goals else []
        self._is_levelled = bool(goals & {Goal.TIGHTEST, Goal.EACH_SETUP})
        excess = total(row.excess for row in self._rows) if self._is_levelled else 0
        apart = total(self._apart)
        self.aim = weighted([(_EXCESS_WORTH, excess), (_APART_WORTH, apart), (1, beside)])
        self._v = v
        self._size = _FIRST_CIRCUITS
        self._points: dict[Exposure, list[Where]] = defaultdict(list)
        self._units: dict[Exposure, list[_Units]] = defaultdict(list)
        for demand, options in v.options.items():
            here = {option.point.exposure: option.unit_ma for option in options}
            for option in options:
                self._points[option.point.exposure].append((demand, option.point.id))
            for exposure, unit_ma in here.items():
                count = v.spread[demand, exposure]
                self._units[exposure].append(_Units(demand, count.index, unit_ma))

    def run(self, values: Ints, effort: Effort, clock: Clock, most_s: float | None = None) -> Ints:
        """Return values in which every set-up is as level as could be found.

        The fullest set-up comes first, one per cent at a time, until it does not come down. When
        none does, each is tried once more with twice the work.

        Args:
            values: The plan in hand, with a value for every decision.
            effort: Seed and workers.
            clock: The clock of these rounds alone.
            most_s: What they might do if nothing came after: a share of it is for each aim [s].
        """
        self._begin(effort)
        step_s = (clock.work_left_s if most_s is None else most_s) * _AIM_SHARE
        waiting = self._waiting(values) if self._is_levelled else []
        is_again = False
        while waiting and clock.left_s and clock.work_left_s:
            setup_id = waiting[0]
            full = self._full(values)
            full[setup_id] -= 1
            lower = self._lower(full, values, effort, clock.part(step_s))
            if self._excess(lower):
                waiting.remove(setup_id)
                if not waiting and not is_again:
                    is_again, step_s = True, step_s * 2
                    waiting = self._waiting(values)
                continue
            values = lower
            waiting = [each for each in self._waiting(values) if each in waiting]
        full = self._full(values)
        return self._lower(full, values, effort, clock.part(step_s), even=True)

    def bring_to(self, aims: dict[str, int], values: Ints, effort: Effort, clock: Clock) -> Ints:
        """Return values with as little beyond an aim for each set-up as could be found.

        Args:
            aims: How full the fullest device of each set-up may be [per cent].
            values: The plan in hand, with a value for every decision.
            effort: Seed and workers.
            clock: The clock of these rounds alone.
        """
        self._begin(effort)
        return self._lower(aims, values, effort, clock, even=bool(self._apart))

    def is_level(self, values: Ints) -> bool:
        """Return whether nothing is beyond the aims, or between phases more than counts as even."""
        return not self._beyond(values, even=True)

    def _begin(self, effort: Effort) -> None:
        self._random = Random(effort.seed)  # noqa: S311 - a search order, not a secret
        self._source = Source(self._v.model)
        self._freed = Freed(self._v, self._source)

    def keep_plugged(self, values: Ints, effort: Effort, clock: Clock) -> Ints:
        """Return values in which more units keep their point from one set-up to the next.

        It comes after ``run``, and no set-up becomes fuller.

        Args:
            values: What levelling came to.
            effort: Seed and workers.
            clock: The clock of these rounds alone.
        """
        idle, worth = 0, self._source.worth(values)
        while idle < _PATIENCE and clock.left_s and clock.work_left_s:
            moves = self.moves(values)
            if not moves:
                break
            piece = self._around(self._random.choice(moves), None, values)
            values = self._round(values, piece, effort, clock)
            before, worth = worth, self._source.worth(values)
            idle = 0 if worth < before else idle + 1
        return values

    def moves(self, values: Ints) -> list[list[Exposure]]:
        """Return from where and to where units of a load go between two of its set-ups."""
        on: dict[str, dict[str, Counter[str]]] = defaultdict(lambda: defaultdict(Counter))
        for (demand, point_id), x in self._v.at.items():
            if values[x.index]:
                on[demand.load][demand.setup][point_id] += int(values[x.index])
        found: list[list[Exposure]] = []
        points = self._v.facts.points
        for setups in on.values():
            for before, after in pairwise(setups.values()):
                left, taken = before - after, after - before
                found += [
                    list(dict.fromkeys((points[was].exposure, points[now].exposure)))
                    for was, now in zip(left.elements(), taken.elements(), strict=False)
                ]
        return found

    def _full(self, values: Ints) -> dict[str, int]:
        return {setup_id: self.fullest(values, setup_id) for setup_id in self._bounds}

    def _waiting(self, values: Ints) -> list[str]:
        """Return the set-ups above their bound, the fullest first."""
        full = self._full(values)
        above = [setup_id for setup_id in sorted(full) if full[setup_id] > self._bounds[setup_id]]
        return sorted(above, key=lambda setup_id: -full[setup_id])

    def fullest(self, values: Ints, setup_id: str) -> int:
        """Return the per cent used of the fullest device of a set-up."""
        return max((row.percent(values) for row in self._rows if row.setup == setup_id), default=0)

    def _lower(
        self,
        aims: dict[str, int],
        values: Ints,
        effort: Effort,
        clock: Clock,
        *,
        even: bool = False,
    ) -> Ints:
        """Return values with as little beyond the aims, or between even phases, as was found."""
        values = np.array(values)
        for row in self._rows:
            row.aim_at(aims[row.setup], self._source)
            values[row.excess.index] = row.beyond(values, aims[row.setup])
        idle, beyond = 0, self._beyond(values, even=even)
        while beyond and idle < _PATIENCE and clock.left_s and clock.work_left_s:
            values = self._round(
                values, self._around(*self._too_full(values), values), effort, clock
            )
            before, beyond = beyond, self._beyond(values, even=even)
            idle = 0 if beyond < before else idle + 1
        return values

    def _excess(self, values: Ints) -> int:
        """Return what is beyond the aims [mA]."""
        return sum(int(values[row.excess.index]) for row in self._rows)

    def _beyond(self, values: Ints, *, even: bool) -> int:
        """Return what is beyond the aims, with amps between phases if these count."""
        apart = sum(int(values[x.index]) for x in self._apart) if even else 0
        return _EXCESS_WORTH * self._excess(values) + _APART_WORTH * apart

    def _round(self, values: Ints, piece: list[Where], effort: Effort, clock: Clock) -> Ints:
        """Return values with less of the sum, the units of a piece elsewhere, or the same ones."""
        part = self._source.excerpt(
            values, self._freed.with_units(piece), self._source.worth(values)
        )
        effort = replace(
            effort, deterministic=_ROUND_DETERMINISTIC, linearization=1, wall_s=clock.left_s
        )
        found = solve(part.model, effort, clock)
        was_decided = found.status in (Status.BEST, Status.NONE_EXISTS)
        size = self._size * _GROWTH if was_decided else self._size / _GROWTH
        self._size = min(max(size, _LEAST_CIRCUITS), float(len(self._points)))
        return part.whole(values, found.values) if found.values else values

    def _around(self, hot: list[Exposure], setup_id: str | None, values: Ints) -> list[Where]:
        """Return the units on some circuits, and on others with room within their reach.

        Args:
            hot: The circuits.
            setup_id: The set-up in which the others are to have room; any when None.
            values: The plan in hand.
        """
        more = max(round(self._size) - len(hot), 1)
        here = {unit.demand for each in hot for unit in self._units[each] if values[unit.decision]}
        reach = [
            exposure
            for exposure, units in self._units.items()
            if exposure not in hot and any(unit.demand in here for unit in units)
        ]
        self._random.shuffle(reach)
        drawn = sorted(reach[: _DRAWN * more], key=lambda e: self._load(e, values, setup_id))
        empty = drawn[: (more + 1) // 2]
        others = [exposure for exposure in reach if exposure not in empty]
        chosen = [*hot, *empty, *others[: more - len(empty)]]
        moving = {u.demand for each in chosen for u in self._units[each] if values[u.decision]}
        return [where for each in chosen for where in self._points[each] if where[0] in moving]

    def _too_full(self, values: Ints) -> tuple[list[Exposure], str | None]:
        """Return what to take units from, and the set-up in which that is too full."""
        full = [row for row in self._rows if values[row.excess.index]]
        if not full:
            return [self._random.choice(list(self._points))], None
        row = self._random.choice(full)
        on = set(row.decisions.tolist())
        loaded = [
            exposure
            for exposure, units in self._units.items()
            if any(unit.decision in on and values[unit.decision] for unit in units)
        ]
        return [self._random.choice(loaded or list(self._points))], row.setup

    def _load(self, exposure: Exposure, values: Ints, setup_id: str | None) -> int:
        """Return the amps at one exposure in a set-up [mA], of all set-ups when None."""
        return sum(
            int(values[unit.decision]) * unit.unit_ma
            for unit in self._units[exposure]
            if setup_id in (None, unit.demand.setup)
        )


def _row(v: Variables, device: devices.Device, aim: int) -> _Row:
    flat = cp_model.FlatIntExpr(device.load)
    excess = v.model.new_int_var(0, device.limit, "")
    row = v.model.add(FULL_PCT * (device.load - excess) <= aim * device.limit)
    decisions = np.array([x.index for x in flat.vars], dtype=np.int64)
    amounts = np.array(flat.coeffs, dtype=np.int64)
    wired = int(flat.offset)
    return _Row(device.setup, device.limit, decisions, amounts, wired, excess, row)


def _apart(v: Variables) -> list[cp_model.IntVar]:
    """Return, per set-up, amps between two phases beyond what counts as even [mA]."""
    by_setup: dict[str, list[Linear]] = defaultdict(list)
    for device in devices.phases(v):
        by_setup[device.setup].append(device.load)
    found: list[cp_model.IntVar] = []
    for loads in by_setup.values():
        if len(loads) < len(v.facts.supply.phases):
            loads.append(0)  # nothing could ever be on one of them
        apart = v.model.new_int_var(0, v.facts.supply.cap_ma, "")
        for n, fuller in enumerate(loads):
            for m, emptier in enumerate(loads):
                if n != m:
                    v.model.add(apart >= fuller - emptier - (BALANCE_STEP_A * MILLI - 1))
        found.append(apart)
    return found
