"""Rounds over neighbouring circuits: their units, and those that found none, are dealt out anew.

A dive takes nothing back; here a few circuits at a time are solved in whole units. First this finds
room for what is missing, then it shortens cable, until nothing gains or the work is done.
"""

from collections import Counter, defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from random import Random

import numpy as np

from spreadload.solver.engine.calls import Effort, Status, solve
from spreadload.solver.engine.cp import cp_model
from spreadload.solver.engine.excerpt import Flags
from spreadload.solver.engine.limits import Clock
from spreadload.solver.large.dive import Dealt
from spreadload.solver.large.shares import Bin, Shares
from spreadload.solver.large.terms import Terms
from spreadload.solver.model.variables import Linear, total, weighted

# In thousandths of a metre: a milliamp without a circuit, a unit that changes its point where none
# may or where some may, and a milliamp too much on a device above circuits. What is missing counts
# by its amps: a large unit finds room nowhere, but where small ones leave for it, each of these
# finds room sooner. None counts for less than one that changes its point.
_LEAST_MISSING = 100_000
_MISSING_MA = 150
_MOVE = 90_000
_ALLOWED_MOVE = 50_000
_OVER = 400
_METRE = 1_000
_ROUND_DETERMINISTIC = 0.06
# What a round takes however small it is [s].
_ROUND_S = 0.015
_FIRST_CIRCUITS = 4.0
_LEAST_CIRCUITS = 3.0
_GROWTH = 1.1
# So many rounds without gain, at most so many for each circuit, and nothing more is to be had.
PATIENCE = 60
_PATIENCE_EACH = 4

_Pole = tuple[str, str]


@dataclass
class Mending:
    """Whole units on circuits, improved piece by piece.

    Attributes:
        terms: What is dealt out, and what has to hold.
        barred: Per bin, whether each demand must not be dealt to it.
        dealt: Units of each demand on each circuit.
        on: Units on each circuit by the number of their demand.
        missing: Units that found no circuit.
    """

    terms: Terms
    barred: Mapping[Bin, Flags]
    dealt: Dealt
    on: dict[Bin, Counter[int]] = field(default_factory=dict)
    missing: Counter[int] = field(default_factory=Counter)

    def run(self, effort: Effort, clock: Clock, *, until_whole: bool = False) -> Dealt:
        """Return units on circuits with less missing, and less cable.

        Args:
            effort: Seed and workers.
            clock: The clock of these rounds alone.
            until_whole: End as soon as nothing is missing and no unit has to move too much.
        """
        if not self.on:
            self._read()
        random = Random(effort.seed)  # noqa: S311 - a search order, not a secret
        near = self._neighbours()
        waiting: list[_Pole] = []
        size, idle = _FIRST_CIRCUITS, 0
        patience = min(PATIENCE, _PATIENCE_EACH * len(near))
        while idle < patience and clock.left_s and clock.work_left_s:
            if not waiting:
                waiting = sorted(near)
                random.shuffle(waiting)
            if until_whole and self.is_whole:
                break
            wanting = self._wanting()
            seed = random.choice(wanting) if wanting and idle % 2 == 0 else waiting.pop()
            poles = near[seed][: round(size)]
            gained, was_decided = self._round(poles, effort, clock)
            if was_decided and len(poles) == len(near):
                break  # every smaller piece is part of this one
            size = max(size * _GROWTH if was_decided else size / _GROWTH, _LEAST_CIRCUITS)
            size = min(size, float(len(near)))
            idle = 0 if gained else idle + 1
        return self._written()

    @property
    def is_whole(self) -> bool:
        """Whether every unit has a circuit, and none is on another than before without need."""
        if any(units > 0 for units in self.missing.values()):
            return False
        return sum(map(self.moved, {pole for _, pole in self.on})) <= self.terms.most_moves

    def _read(self) -> None:
        numbers = {demand: k for k, demand in enumerate(self.terms.what.demands)}
        self.on = {where: Counter() for where in self.terms.bins}
        self.missing = Counter(dict(enumerate(self.terms.counts.tolist())))
        for (demand, where), units in self.dealt.items():
            self.on[where][numbers[demand]] += units
            self.missing[numbers[demand]] -= units

    def _written(self) -> Dealt:
        demands = self.terms.what.demands
        return {
            (demands[k], where): units
            for where, on in self.on.items()
            for k, units in on.items()
            if units
        }

    def _neighbours(self) -> dict[_Pole, list[_Pole]]:
        """Return every circuit pole with all others, those first that serve the same places."""
        cost: dict[_Pole, dict[int, int]] = defaultdict(dict)
        for (_, pole), each in self.terms.what.bins.items():
            for shares in each:
                key = int(shares.demands[0])
                cost[pole][key] = min(int(shares.metres.min()), cost[pole].get(key, 1 << 30))
        near: dict[_Pole, list[_Pole]] = {}
        for pole, own in cost.items():
            apart = {
                other: -sum(1.0 / (1 + own[key] + its[key]) ** 2 for key in own.keys() & its.keys())
                for other, its in cost.items()
            }
            near[pole] = [
                pole,
                *sorted((o for o in cost if o != pole), key=lambda o: (apart[o], o)),
            ]
        return near

    def _wanting(self) -> list[_Pole]:
        """Return circuits near which units are missing, or leave their point."""
        lacking = {k for k, units in self.missing.items() if units > 0}
        found = {
            pole
            for (_, pole), each in self.terms.what.bins.items()
            for shares in each
            if lacking.intersection(shares.demands.tolist())
        }
        return sorted(found) or self._leaving()

    def _leaving(self) -> list[_Pole]:
        return sorted({pole for pole in {p for _, p in self.on} if self.moved(pole)})

    def moved(self, pole: _Pole) -> int:
        """Return units that are not on a circuit pole in the set-up before."""
        moved = 0
        for before, after in self.terms.stays_on(pole):
            was = sum(self.on[b][k] for b, k in before)
            now = sum(self.on[b][k] for b, k in after)
            moved += max(now - was, 0)
        return moved

    def _round(self, poles: list[_Pole], effort: Effort, clock: Clock) -> tuple[bool, bool]:
        """Deal out the units of some circuits anew; return whether it gained and was decided."""
        piece = _Piece(self, [w for w in self.terms.bins if w[1] in poles], poles)
        effort = replace(
            effort, deterministic=_ROUND_DETERMINISTIC, wall_s=clock.left_s, linearization=2
        )
        found = solve(piece.model, effort, clock)
        clock.spend_s(_ROUND_S)
        was_decided = found.status in (Status.BEST, Status.NONE_EXISTS)
        if not found.values or found.best >= piece.now:
            return False, was_decided
        piece.take(found.values)
        return True, was_decided


class _Piece:
    """The units of some circuits as a model of its own.

    Attributes:
        model: The model.
        now: What the units as they are cost, in thousandths of a metre.
    """

    def __init__(self, mending: Mending, bins: list[Bin], poles: list[_Pole]) -> None:
        self._mending, self._bins = mending, bins
        self.model = cp_model.CpModel()
        self.now = 0
        terms = mending.terms
        self._there = Counter({k: n for k, n in mending.missing.items() if n > 0})
        for where in bins:
            self._there.update(mending.on[where])
        self._units: dict[Bin, dict[int, list[tuple[int, cp_model.IntVar]]]] = {}
        self._cost: list[tuple[int, Linear]] = []
        for where in bins:
            self._fill(where)
        self._carry()
        move = _ALLOWED_MOVE if terms.most_moves else _MOVE
        for pole in poles:
            for before, after in terms.stays_on(pole):
                moved = self.model.new_int_var(0, 1000, "")
                self.model.add(moved >= self._sum(after) - self._sum(before))
                self._cost.append((move, moved))
            self.now += move * mending.moved(pole)
        self._hold_above()
        self.model.minimize(weighted(self._cost))

    def _fill(self, where: Bin) -> None:
        """Let a circuit carry a share of every place."""
        terms, on = self._mending.terms, self._mending.on[where]
        barred = self._mending.barred[where]
        self._units[where] = defaultdict(list)
        amps: list[tuple[int, Linear]] = []
        big: list[tuple[int, Linear]] = []
        for shares in terms.what.bins[where]:
            most = np.array([0 if barred[k] else self._there[k] for k in shares.demands.tolist()])
            here = np.array([on[k] for k in shares.demands.tolist()])
            rows = np.flatnonzero((shares.units <= most).all(axis=1))
            if not len(rows):
                continue
            ways = [self.model.new_bool_var("") for _ in rows]
            self.model.add_at_most_one(ways)
            for way, n in zip(ways, rows.tolist(), strict=True):
                is_now = bool((shares.units[n] == here).all())
                self.model.add_hint(way, is_now)
                self._put(shares, n, where, way)
                amps.append((int(shares.amps_ma[n]), way))
                big.append((int(shares.big[n]), way))
                self.now += _METRE * int(shares.metres[n]) if is_now else 0
        room_ma = terms.room_ma(where, terms.held.percents[where[0]])
        self.model.add(weighted(amps) <= max(room_ma, 0))
        if terms.held.one_big:
            self.model.add(weighted(big) <= 1)

    def _put(self, shares: Shares, n: int, where: Bin, way: cp_model.IntVar) -> None:
        self._cost.append((_METRE * int(shares.metres[n]), way))
        for k, count in zip(shares.demands.tolist(), shares.units[n].tolist(), strict=True):
            if count:
                self._units[where][k].append((count, way))

    def _sum(self, of: list[tuple[Bin, int]]) -> Linear:
        return weighted(
            pair for where, k in of if where in self._units for pair in self._units[where][k]
        )

    def _carry(self) -> None:
        """Carry every unit once, or leave it missing."""
        for k, count in self._there.items():
            if not count:
                continue
            missing = self.model.new_int_var(0, count, "")
            carried = self._sum([(where, k) for where in self._bins])
            self.model.add(carried + missing == count)
            price = max(_MISSING_MA * int(self._mending.terms.units_ma[k]), _LEAST_MISSING)
            self._cost.append((price, missing))
            self.now += price * max(self._mending.missing[k], 0)

    def _hold_above(self) -> None:
        """Hold devices above circuits, or pay for what is too much."""
        mine = set(self._bins)
        for takes, room_ma in self._mending.terms.level_above():
            if not mine & takes.keys():
                continue
            rest_ma = sum(
                int(takes[where][k]) * units
                for where, on in self._mending.on.items()
                if where in takes and where not in mine
                for k, units in on.items()
            )
            load = total(
                int(takes[where][k]) * count * way
                for where in self._bins
                if where in takes
                for k, ways in self._units[where].items()
                for count, way in ways
            )
            now_ma = rest_ma + sum(
                int(takes[where][k]) * units
                for where in self._bins
                if where in takes
                for k, units in self._mending.on[where].items()
            )
            over = self.model.new_int_var(0, 1 << 30, "")
            self.model.add(load - over <= room_ma - rest_ma)
            self._cost.append((_OVER, over))
            self.now += _OVER * max(now_ma - room_ma, 0)

    def take(self, values: tuple[int, ...]) -> None:
        """Put the units where a solution has them."""
        for k, count in self._there.items():
            self._mending.missing[k] = count
        for where in self._bins:
            on: Counter[int] = Counter()
            for k, ways in self._units[where].items():
                units = sum(count * values[way.index] for count, way in ways)
                if units:
                    on[k] = units
                self._mending.missing[k] -= units
            self._mending.on[where] = on
