"""A first split for tight jobs: ways to fill a circuit, and a choice that leaves nothing over.

Where circuits have to be 98 % full, a search that places unit after unit rarely comes out even. So
every way of filling one circuit nearly to its limit is listed, and so many ways are chosen as there
are circuits, until every unit has a place: the pattern formulation of cutting stock (P. C. Gilmore
and R. E. Gomory, Operations Research 9 (1961) 849). Only circuits are looked at; whether outlets,
phases and leads follow is for the model to say.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from ortools.math_opt.python import mathopt

from spreadload.derived.asked import Demand
from spreadload.derived.records import Exposure
from spreadload.solver.cable.linear import first_values
from spreadload.solver.engine.cp import cp_model
from spreadload.solver.engine.limits import Clock
from spreadload.solver.model import devices
from spreadload.solver.model.variables import Variables

Filling = dict[tuple[Demand, Exposure], int]

_MOST_STEPS = 100_000
_S_PER_PATTERN = 25e-6
_WIDER = 2
_SHARE = 0.8


class _Item(NamedTuple):
    """Units that count alike on the same circuits."""

    counted_ma: int
    circuits: frozenset[str]


@dataclass(frozen=True)
class _Alike:
    """Circuits that take the same items in the same amount."""

    room_ma: int
    seats: int
    items: tuple[_Item, ...]
    names: tuple[str, ...]


Pattern = tuple[int, ...]


def filled(v: Variables, clock: Clock) -> Filling | None:
    """Return how many units of each demand go where, or None when no choice was found.

    Args:
        v: The decisions, without any unit left out.
        clock: The clock of the search; a share of its work is used for each set-up.
    """
    found: Filling = {}
    for setup_id in v.setups():
        here = _Setup(v, setup_id).fill(clock)
        if here is None:
            return None
        found |= here
    return found


class _Setup:
    """One set-up."""

    def __init__(self, v: Variables, setup_id: str) -> None:
        """Read what may be on which circuit."""
        self._exposure: dict[tuple[Demand, str], Exposure] = {}
        counted: dict[Demand, int] = {}
        on: dict[Demand, set[str]] = {d: set() for d in v.plugged(setup_id)}
        sockets: dict[str, set[tuple[str, int]]] = defaultdict(set)
        for demand in v.plugged(setup_id):
            for option in v.options[demand]:
                if len(option.point.exposure.circuits) == 1:
                    ((name, _),) = option.point.exposure.circuits
                    self._exposure.setdefault((demand, name), option.point.exposure)
                    counted[demand] = max(counted.get(demand, 0), option.counted_ma)
                    on[demand].add(name)
                    sockets[name].add((option.point.id, option.point.sockets))
        ways = max((board.ways for board in v.facts.boards), default=1)
        self._demands: dict[_Item, list[Demand]] = defaultdict(list)
        for demand, names in on.items():
            self._demands[_Item(counted.get(demand, 0), frozenset(names))].append(demand)
        self._need = {i: sum(d.count for d in each) for i, each in self._demands.items()}
        rooms = _rooms(v, setup_id)
        seats = {name: ways * sum(n for _, n in points) for name, points in sockets.items()}
        self._alike = self._group(rooms, seats)

    def _group(self, rooms: dict[str, int], seats: dict[str, int]) -> list[_Alike]:
        alike: dict[tuple[int, int, tuple[_Item, ...]], list[str]] = defaultdict(list)
        for name in sorted(seats):
            items = tuple(sorted((i for i in self._need if name in i.circuits), key=_largest))
            alike[rooms[name], seats[name], items].append(name)
        return [_Alike(*key, tuple(names)) for key, names in alike.items()]

    def fill(self, clock: Clock) -> Filling | None:
        """Return a choice of fillings that leaves no unit over."""
        room_ma = sum(a.room_ma * len(a.names) for a in self._alike)
        spare_ma = room_ma - sum(i.counted_ma * need for i, need in self._need.items())
        if spare_ma < 0 or any(not i.circuits for i in self._need):
            return None
        slack_ma = max(spare_ma // max(sum(len(a.names) for a in self._alike), 1), 1)
        before = -1
        while clock.left_s and slack_ma <= _WIDER * max(a.room_ma for a in self._alike):
            ways = [self._ways(alike, slack_ma) for alike in self._alike]
            some = [each for each in ways if each is not None]
            clock.spend_s(sum(len(each) for each in some) * _S_PER_PATTERN)
            if len(some) < len(ways):
                return None  # so many ways to fill a circuit: it is not tight
            count = sum(len(each) for each in some)
            chosen = self._choice(some, clock) if count > before else None
            if chosen is not None:
                return self._dealt(chosen)
            before, slack_ma = count, slack_ma * _WIDER
        return None

    def _ways(self, alike: _Alike, slack_ma: int) -> list[Pattern] | None:
        sizes = [item.counted_ma for item in alike.items]
        most = [self._need[item] for item in alike.items]
        return patterns(sizes, most, alike.room_ma, alike.seats, slack_ma)

    def _choice(
        self, ways: list[list[Pattern]], clock: Clock
    ) -> list[tuple[_Alike, Pattern, int]] | None:
        """Return how often each pattern is used, or None when that does not come out."""
        model = mathopt.Model()
        uses = [
            [model.add_integer_variable(lb=0, ub=len(alike.names)) for _ in each]
            for alike, each in zip(self._alike, ways, strict=True)
        ]
        taken: dict[_Item, list[mathopt.LinearExpression]] = defaultdict(list)
        for alike, each, used in zip(self._alike, ways, uses, strict=True):
            model.add_linear_constraint(mathopt.fast_sum(used) <= len(alike.names))
            for pattern, use in zip(each, used, strict=True):
                for item, units in zip(alike.items, pattern, strict=True):
                    if units:
                        taken[item].append(units * use)
        for item, need in self._need.items():
            model.add_linear_constraint(mathopt.fast_sum(taken[item]) >= need)
        terms = sum(len(each) for each in taken.values())
        values = first_values(model, terms, clock.work_left_s * _SHARE, clock)
        if values is None:
            return None
        return [
            (alike, pattern, round(values[use]))
            for alike, each, used in zip(self._alike, ways, uses, strict=True)
            for pattern, use in zip(each, used, strict=True)
            if round(values[use])
        ]

    def _dealt(self, chosen: list[tuple[_Alike, Pattern, int]]) -> Filling:
        """Return the patterns dealt out over circuits that are alike, without what is too much."""
        free = {alike: list(alike.names) for alike in self._alike}
        left = {d: d.count for each in self._demands.values() for d in each}
        found: Filling = defaultdict(int)
        for alike, pattern, times in chosen:
            for _ in range(times):
                name = free[alike].pop(0)
                for item, units in zip(alike.items, pattern, strict=True):
                    wanted = units
                    for demand in self._demands[item]:
                        some = min(wanted, left[demand])
                        if some:
                            found[demand, self._exposure[demand, name]] += some
                            left[demand] -= some
                            wanted -= some
        return dict(found)


def _rooms(v: Variables, setup_id: str) -> dict[str, int]:
    """Return what each circuit may take besides what is wired to it [mA]."""
    rooms: dict[str, int] = {}
    for device in devices.circuits(v):
        if device.setup == setup_id and isinstance(device.name, tuple):
            flat = cp_model.FlatIntExpr(device.load)
            room_ma = device.limit - int(flat.offset)
            name = str(device.name[0])
            rooms[name] = min(rooms.get(name, room_ma), room_ma)
    return rooms


def _largest(item: _Item) -> tuple[int, list[str]]:
    return -item.counted_ma, sorted(item.circuits)


def patterns(
    sizes: Sequence[int], most: Sequence[int], room: int, seats: int, slack: int
) -> list[Pattern] | None:
    """Return every way to fill some room to within a slack, or None when they are too many.

    Args:
        sizes: What one of each kind takes.
        most: How many of each kind there are.
        room: What all together may take.
        seats: How many fit in.
        slack: How much may stay free.
    """
    reach = [1]  # bit n: the kinds from here on can take n together
    for size, count in zip(reversed(sizes), reversed(most), strict=True):
        sums = reach[-1]
        for _ in range(min(count, room // size if size else 0)):
            sums |= (sums << size) & ((2 << room) - 1)
        reach.append(sums)
    reach.reverse()
    found: list[Pattern] = []
    stack: list[tuple[int, int, int, Pattern]] = [(0, room, seats, ())]
    for _ in range(_MOST_STEPS):
        if not stack:
            return found
        n, left, free, chosen = stack.pop()
        if n == len(sizes):
            found.append(chosen)
            continue
        for units in range(min(most[n], free, left // sizes[n] if sizes[n] else free) + 1):
            rest = left - units * sizes[n]
            lowest = max(rest - slack, 0)
            if (reach[n + 1] >> lowest) & ((2 << (rest - lowest)) - 1):
                stack.append((n + 1, rest, free - units, (*chosen, units)))
    return None
