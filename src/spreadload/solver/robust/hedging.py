"""A quick local search for a plan that few maps break: move a unit, or swap two, while it helps.

Works on whole units at points with the main physical limits (sockets, power boards, plates); what
it leaves out (stock of leads and boards) is put right by the exact model that follows. Counts
steps, never seconds, so the same input gives the same answer.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from spreadload.derived.asked import Demand
from spreadload.derived.facts import Facts
from spreadload.derived.records import Point
from spreadload.solver.model.candidates import Candidate
from spreadload.solver.robust.many_states import any_of_each
from spreadload.solver.robust.risk_table import Bools, Floats, RiskTable
from spreadload.wiring.ties import evened

Counts = dict[tuple[Demand, str], int]
Singles = NDArray[np.float32]
Moves = tuple[tuple[int, int], ...]

_KICKS = 12
_KICKED = 4
_SWEEPS = 10
_GUIDE = 1e-3
_BETTER = 1e-9
_AT_ONCE = 64


@dataclass(frozen=True)
class Unit:
    """One unit to be plugged in: its set-up and the options it has."""

    setup: int
    demand: Demand
    options: tuple[Candidate, ...]


@dataclass
class Hedge:
    """A state of the search: where every unit is, and what that loads.

    Attributes:
        at: Per unit, the number of its option.
        loads: Load of every group in every set-up.
    """

    table: RiskTable
    units: Sequence[Unit]
    base: Floats
    banned: frozenset[str] = frozenset()
    at: list[int] = field(default_factory=list)
    loads: Singles = field(default_factory=lambda: np.zeros((0, 0), dtype=np.float32))

    def __post_init__(self) -> None:
        """Look up once what never changes during a search."""
        column = {c: n for n, c in enumerate(self.table.columns)}
        self._column = {
            o.point.id: column[o.point.exposure] for unit in self.units for o in unit.options
        }
        self._inside = self.table.group.astype(np.float32)  # whole mA below 2^24: exact
        self._limit = self.table.limit.astype(np.float32)
        self._scale = _GUIDE * self.table.group_weight / np.maximum(self.table.limit, 1.0)
        self._number = [{o.point.id: k for k, o in enumerate(u.options)} for u in self.units]
        self._group_of_map = np.ascontiguousarray(self.table.of_map.T)
        self._adds = np.array([self._per_group(unit) for unit in self.units], dtype=np.float32)
        numbers: dict[Demand, int] = {}
        self._demand = [numbers.setdefault(unit.demand, len(numbers)) for unit in self.units]
        self._fitting: dict[tuple[str, tuple[int, ...]], bool] = {}
        self._leads = {lead.index: lead.count for lead in self.table.facts.leads}
        self._state = 0
        self._settled: dict[tuple[int, ...], int] = {}

    def start(self, at: Sequence[int]) -> None:
        """Take a state as the place to start from."""
        self.at = list(at)
        self._state += 1
        self.loads = self.base[self.table.device_of].astype(np.float32)
        self._there: dict[tuple[int, str], list[int]] = defaultdict(list)
        self._in_setup: dict[int, list[int]] = defaultdict(list)
        for n, unit in enumerate(self.units):
            point = unit.options[at[n]].point.id
            self.loads[:, unit.setup] += self._adds[n] * self._inside[:, self._column[point]]
            self._there[unit.setup, point].append(n)
            self._in_setup[unit.setup].append(n)

    def search(self, rng: np.random.Generator, kicks: int = _KICKS) -> float:
        """Improve the state as far as it goes and return its risk."""
        best, best_at = self._descend(), list(self.at)
        for _ in range(kicks):
            if self.risk() <= _BETTER:
                break
            self._kick(rng)
            reached = self._descend()
            if reached < best - _BETTER:
                best, best_at = reached, list(self.at)
            else:
                self.start(best_at)
        return self.risk()

    def risk(self) -> float:
        """Return the weight of maps that fail."""
        return self.table.maps.share(self.table.fails(self.loads > self._limit[:, None]))

    def counts(self) -> Counts:
        """Return how many units of each demand are at each point."""
        found: Counts = defaultdict(int)
        for unit, at in zip(self.units, self.at, strict=True):
            found[unit.demand, unit.options[at].point.id] += 1
        return dict(found)

    # Steps.

    def _descend(self) -> float:
        """Move units while it helps, then swap; set-up by set-up, since a move touches only one."""
        value = 0.0
        for _ in range(_SWEEPS):
            before = self._worth(self.loads)
            for s in self._in_setup:
                self._settle(s)
            value = self._worth(self.loads)
            if value > before - _BETTER:
                break
        return value

    def _settle(self, s: int) -> None:
        elsewhere = self._fails_elsewhere(s)
        value = self._values(self.loads[:, [s]], elsewhere)[0]
        for _ in range(_SWEEPS):
            before = value
            for n in self._in_setup[s]:
                value = self._move_best(n, value, elsewhere)
            if value > before - _BETTER:
                value = self._swap_some(s, value, elsewhere)
            if value > before - _BETTER:
                return

    def _move_best(self, n: int, value: float, elsewhere: Bools) -> float:
        if self._was_tried(n):
            return value
        self._settled[n,] = self._state
        places = self._places(n)
        if not places:
            return value
        columns = [self._column[self.units[n].options[k].point.id] for k in places]
        here = self._column[self._point(n)]
        shift = self._inside[:, columns] - self._inside[:, [here]]
        after = self.loads[:, [self.units[n].setup]] + self._adds[n][:, None] * shift
        values = self._values(after, elsewhere)
        for k in np.argsort(values, kind="stable"):
            if values[k] >= value - _BETTER:
                return value
            if self._try(((n, places[k]),)):
                return float(values[k])
        return value

    def _swap_some(self, s: int, value: float, elsewhere: Bools) -> float:
        """Make every swap that helps in the order of the units; many are weighed at once."""
        pairs = self._pairs(s)
        done = 0
        while done < len(pairs):
            swaps, after = self._swaps(pairs, done)
            if not swaps:
                break
            reached = self._values(self._swapped(s, swaps), elsewhere)
            done = after
            for (number, moves), worth in zip(swaps, reached.tolist(), strict=True):
                self._settled[pairs[number]] = self._state
                if worth < value - _BETTER and self._try(moves):
                    value, done = worth, number + 1
                    break
        return value

    def _swaps(
        self, pairs: Sequence[tuple[int, int]], first: int
    ) -> tuple[list[tuple[int, Moves]], int]:
        """Return some swaps not tried in this state, by number of the pair, and where to go on."""
        found: list[tuple[int, Moves]] = []
        for number in range(first, len(pairs)):
            a, b = pairs[number]
            at_a, at_b = self._point(a), self._point(b)
            if self._column[at_a] == self._column[at_b] or self._was_tried(a, b):
                continue
            to_a, to_b = self._option_at(a, at_b), self._option_at(b, at_a)
            if to_a is None or to_b is None:
                continue
            found.append((number, ((a, to_a), (b, to_b))))
            if len(found) == _AT_ONCE:
                return found, number + 1
        return found, len(pairs)

    def _swapped(self, s: int, swaps: Iterable[tuple[int, Moves]]) -> Singles:
        """Return the loads of a set-up after each of some swaps, one per column."""
        a, b = np.array([[a, b] for _, ((a, _), (b, _)) in swaps]).T
        here = np.array([self._column[self._point(n)] for n in range(len(self.units))])
        shift = self._inside[:, here[b]] - self._inside[:, here[a]]
        loads: Singles = self.loads[:, [s]] + (self._adds[a] - self._adds[b]).T * shift
        return loads

    def _was_tried(self, *moved: int) -> bool:
        """Whether moving these was looked at in this very state, so that it cannot help now."""
        return self._settled.get(moved) == self._state

    def _kick(self, rng: np.random.Generator) -> None:
        for n in rng.choice(len(self.units), size=min(_KICKED, len(self.units)), replace=False):
            places = self._places(int(n))
            if places:
                self._try(((int(n), places[int(rng.integers(len(places)))]),))

    def _pairs(self, s: int) -> list[tuple[int, int]]:
        return [
            (a, b)
            for a, b in combinations(self._in_setup[s], 2)
            if self._demand[a] != self._demand[b]
        ]

    def _try(self, moves: Moves) -> bool:
        """Make moves of one set-up if all their points and the leads allow it."""
        was = [(n, self.at[n]) for n, _ in moves]
        for n, k in moves:
            self._put(n, k)
        s = self.units[moves[0][0]].setup
        points = {self._point(n) for n, _ in moves}
        if all(self._is_full_enough(s, point) for point in points) and self._has_leads(s):
            self._state += 1
            return True
        for n, k in was:
            self._put(n, k)
        return False

    # What a step is worth.

    def _worth(self, loads: Singles) -> float:
        over = loads > self._limit[:, None]
        excess = np.maximum(loads - self._limit[:, None], np.float32(0.0)).sum(axis=1)
        weights = self.table.maps.weights
        return evened(float(weights @ self.table.fails(over) + self._scale @ excess))

    def _values(self, loads: Singles, elsewhere: Bools) -> Floats:
        """Return the worth of several states of one set-up, one per column of ``loads``."""
        excess = loads - self._limit[:, None]
        fails = any_of_each(excess > 0, self._group_of_map) | elsewhere[:, None]
        np.maximum(excess, 0, out=excess)
        return evened(self.table.maps.weights @ fails + self._scale @ excess)

    def _fails_elsewhere(self, s: int) -> Bools:
        return self.table.fails(np.delete(self.loads, s, axis=1) > self._limit[:, None])

    def _per_group(self, unit: Unit) -> Singles:
        """Return what a unit adds to each group it is in; the same wherever it is plugged in."""
        poles = unit.options[0].poles if unit.options else 1
        kinds = {
            kind: self.table.amount(kind, unit.demand.setup, unit.demand.load, poles)
            for kind in self.table.amounts
        }
        of_device = np.array([kinds[d.amount] for d in self.table.devices], dtype=np.float32)
        per_group: Singles = of_device[self.table.device_of]
        return per_group

    # Where things are.

    def _places(self, n: int) -> list[int]:
        """Return one option per column other than its own, the first with room standing for it."""
        unit = self.units[n]
        here = self._column[self._point(n)]
        found: dict[int, int] = {}
        for k, option in enumerate(unit.options):
            column = self._column[option.point.id]
            if column == here or column in found or option.point.outlet in self.banned:
                continue
            if self._fits(option.point, (n, *self._there[unit.setup, option.point.id])):
                found[column] = k
        return list(found.values())

    def _option(self, n: int) -> Candidate:
        return self.units[n].options[self.at[n]]

    def _point(self, n: int) -> str:
        return self._option(n).point.id

    def _option_at(self, n: int, point: str) -> int | None:
        return self._number[n].get(point)

    def _put(self, n: int, k: int) -> None:
        unit = self.units[n]
        old, new = self._point(n), unit.options[k].point.id
        shift = self._inside[:, self._column[new]] - self._inside[:, self._column[old]]
        self.loads[:, unit.setup] += self._adds[n] * shift
        self._there[unit.setup, old].remove(n)
        self._there[unit.setup, new].append(n)
        self.at[n] = k

    def _is_full_enough(self, s: int, point: str) -> bool:
        there = self._there[s, point]
        return not there or self._fits(self._option(there[0]).point, there)

    def _fits(self, point: Point, units: Sequence[int]) -> bool:
        """Whether a point has room for some units; the same question comes again and again."""
        key = (point.id, tuple(self._demand[n] for n in units))
        if key not in self._fitting:
            options = [self.units[n].options[self._number[n][point.id]] for n in units]
            self._fitting[key] = fits(self.table.facts, point, options)
        return self._fitting[key]

    def _has_leads(self, s: int) -> bool:
        """Whether the leads on the van go round, the choosiest run served first."""
        left = dict(self._leads)
        runs = [lead for n in self._in_setup[s] if (lead := _leads(self._option(n)))]
        for leads in sorted(runs, key=len):
            index = next((i for i in leads if left[i] > 0), None)
            if index is None:
                return False
            left[index] -= 1
        return True


def _leads(option: Candidate) -> tuple[int, ...]:
    straight = option.straight
    return straight.leads if straight is not None else option.board_leads


def fits(facts: Facts, point: Point, options: Sequence[Candidate]) -> bool:
    """Whether units fit the sockets, power boards and plate of one point (largest first)."""
    if sum(o.unit_ma for o in options) > point.plate_ma:
        return False
    if len(options) <= point.sockets and all(o.straight is not None for o in options):
        return True
    ways = max((b.ways for b in facts.boards), default=0)
    rating_ma = min(max((b.rating_ma for b in facts.boards), default=0), point.socket_ma)
    sockets = 0
    boards: list[list[int]] = []
    for option in sorted(options, key=lambda o: -o.unit_ma):
        if not option.can_board:
            sockets += 1
            continue
        room = next((b for b in boards if b[0] + option.unit_ma <= rating_ma and b[1] < ways), None)
        if room is None:
            boards.append([option.unit_ma, 1])
        else:
            room[0] += option.unit_ma
            room[1] += 1
    return sockets + len(boards) <= point.sockets


def units_of(
    options: Mapping[Demand, tuple[Candidate, ...]],
    setups: Sequence[str],
    off: frozenset[tuple[str, str]],
) -> list[Unit]:
    """Return every unit to plug in, demand by demand, those switched off left out."""
    index = {setup: n for n, setup in enumerate(setups)}
    return [
        Unit(index[demand.setup], demand, some)
        for demand, some in options.items()
        if (demand.setup, demand.load) not in off
        for _ in range(demand.count)
    ]


def start_at(units: Sequence[Unit], counts: Counts) -> list[int]:
    """Return a state from a plan's counts."""
    left = dict(counts)
    found = []
    for unit in units:
        for k, option in enumerate(unit.options):
            key = (unit.demand, option.point.id)
            if left.get(key, 0) > 0:
                left[key] -= 1
                found.append(k)
                break
        else:
            found.append(0)
    return found
