"""From units on circuits to units at outlets: the nearest outlet of the circuit with a socket left.

Units of one place that go to one circuit stay together, so that they can share a power board, and
in a further set-up they go where units like them already are. What is not ideal here is improved by
the rounds that follow; what found no circuit goes where it costs and overfills least.
"""

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from spreadload.derived.asked import Demand
from spreadload.derived.facts import Facts
from spreadload.derived.records import BoardFacts
from spreadload.solver.large.dive import Dealt
from spreadload.solver.large.shares import Bin, bin_of
from spreadload.solver.model.candidates import Candidate, Options
from spreadload.solver.model.nearness import rough_metres
from spreadload.solver.staged.calls import Split

# What a unit that keeps its point is worth, and an amp beyond the aim of its circuit [m].
_STAY_M = 50.0
_AMP_M = 20.0
_MILLI = 1000
# Of two outlets on the same lead the one with the shorter way to it is better.
_ROUTE_SHARE = 0.01


class Placed(NamedTuple):
    """Where every unit is, and which of them come by a power board that stands at their place.

    Attributes:
        split: Units of each demand at each point.
        boards: The units on each such board, with the point that feeds it.
    """

    split: Split
    boards: tuple[tuple[tuple[Demand, ...], str], ...]


@dataclass
class Placing:
    """Puts what was dealt out at outlets.

    Attributes:
        facts: The job, worked out.
        options: Everything each plugged-in demand may use.
        aims: How full the fullest device of each set-up may be [per cent].
    """

    facts: Facts
    options: Options
    aims: Mapping[str, int]
    split: Split = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Begin with empty outlets."""
        self._at = {
            (demand, option.point.id): option
            for demand, each in self.options.items()
            for option in each
        }
        self._seats: Counter[tuple[str, str]] = Counter()
        self._plates_ma: Counter[tuple[str, str]] = Counter()
        self._circuits_ma: Counter[Bin] = Counter()
        self._boards: Counter[str] = Counter()
        self._shared: list[tuple[tuple[Demand, ...], str]] = []
        self._units: dict[tuple[str, str], Counter[str]] = defaultdict(Counter)
        self._board = max(
            self.facts.boards, key=lambda b: (b.count > 0, b.ways, b.rating_ma), default=None
        )

    def place(self, dealt: Dealt, missing: Mapping[Demand, int], fixed: Split) -> Placed | None:
        """Return where every unit is, or None where one finds no socket.

        Args:
            dealt: Units of each demand on each circuit.
            missing: Units that found no circuit.
            fixed: Where the units of demands are that were not dealt out.
        """
        for (demand, point_id), units in fixed.items():
            for _ in range(units):
                self._put([demand], point_id)
        left = Counter(missing)
        here: dict[Bin, dict[str, list[Demand]]] = defaultdict(lambda: defaultdict(list))
        for (demand, where), units in dealt.items():
            here[where][demand.place or demand.load] += [demand] * units
        for where in sorted(here, key=lambda w: (-self._asked(w[0]), w)):
            for place in sorted(here[where]):
                for run in self._runs(here[where][place]):
                    left.update(self._put_at_best(run, where))
        return Placed(self.split, tuple(self._shared)) if self._put_rest(left) else None

    def _asked(self, setup_id: str) -> int:
        return sum(demand.count for demand in self.facts.demands[setup_id])

    def _runs(self, units: Sequence[Demand]) -> list[list[Demand]]:
        """Return units of one place in parts that a power board carries, the largest first."""
        parts: list[tuple[list[Demand], int]] = []
        for unit in sorted(units, key=lambda d: (-self._unit_ma(d), d)):
            unit_ma = self._unit_ma(unit)
            for n, (part, load_ma) in enumerate(parts):
                if self._fits(self._board, len(part) + 1, load_ma + unit_ma):
                    parts[n] = ([*part, unit], load_ma + unit_ma)
                    break
            else:
                parts.append(([unit], unit_ma))
        return [part for part, _ in parts]

    def _fits(self, board: BoardFacts | None, units: int, load_ma: int) -> bool:
        return board is not None and units <= board.ways and load_ma <= board.rating_ma

    def _unit_ma(self, demand: Demand) -> int:
        return min(option.unit_ma for option in self.options[demand])

    def _put_at_best(self, run: list[Demand], where: Bin) -> list[Demand]:
        """Put a run at outlets of its circuit; return the units that found no socket.

        It stays together where there is room, but for units that keep their point elsewhere.
        """
        found = [
            (self._price(run, point_id), point_id)
            for option in self.options[run[0]]
            if bin_of(option) == where and self._has_room(run, point_id := option.point.id)
        ]
        if not found:
            if len(run) == 1:
                return run
            return [left for unit in run for left in self._put_at_best([unit], where)]
        point_id = min(found)[1]
        staying = self._staying(run, point_id)
        if not staying or len(staying) == len(run):
            self._put(run, point_id)
            return []
        rest = list(run)
        for unit in staying:
            rest.remove(unit)
        self._put(staying, point_id)
        return self._put_at_best(rest, where)

    def _staying(self, run: list[Demand], point_id: str) -> list[Demand]:
        """Return the units of a run that keep their point there."""
        spare: Counter[str] = Counter()
        for other in self.facts.demands:
            if other != run[0].setup:
                spare |= self._spare(run[0], other, point_id)
        found = []
        for unit in run:
            if spare[unit.load] > 0:
                spare[unit.load] -= 1
                found.append(unit)
        return found

    def _has_room(self, run: list[Demand], point_id: str) -> bool:
        setup_id, point = run[0].setup, self.facts.points[point_id]
        each = [self._at.get((unit, point_id)) for unit in run]
        if any(option is None for option in each) or not self._may_share(each):
            return False
        load_ma = sum(option.unit_ma for option in each if option is not None)
        return (
            self._seats[setup_id, point_id] < point.sockets
            and load_ma <= point.socket_ma
            and self._plates_ma[setup_id, point_id] + load_ma <= point.plate_ma
        )

    def _may_share(self, each: Sequence[Candidate | None]) -> bool:
        """Whether units can come by one power board, or one unit straight."""
        if len(each) == 1:
            return each[0] is not None and each[0].straight is not None
        setups = {option.demand.setup for option in each if option is not None}
        in_use = max(self._boards[setup_id] for setup_id in setups)
        return (
            self._board is not None
            and in_use < self._board.count
            and all(option is not None and option.remote for option in each)
        )

    def _price(self, run: list[Demand], point_id: str) -> float:
        """Return about what a run costs at an outlet, less what staying plugged in is worth [m]."""
        options = [self._at[unit, point_id] for unit in run]
        metres = max(rough_metres(self.facts, option) for option in options)
        stays = 0
        for other in self.facts.demands:
            if other != run[0].setup:
                spare = self._spare(run[0], other, point_id)
                stays += (Counter(unit.load for unit in run) & spare).total()
        place, point = run[0].place, options[0].point
        route_m = 0.0 if place is None else self.facts.route_m(place, point)
        return metres + _ROUTE_SHARE * route_m - _STAY_M * stays

    def _spare(self, unit: Demand, other: str, point_id: str) -> Counter[str]:
        """Return units at an outlet in another set-up that none of this one has joined."""
        return self._units[other, point_id] - self._units[unit.setup, point_id]

    def _put(self, run: list[Demand], point_id: str) -> None:
        setup_id = run[0].setup
        self._seats[setup_id, point_id] += 1
        if len(run) > 1:
            self._boards[setup_id] += 1
            self._shared.append((tuple(run), point_id))
        for unit in run:
            option = self._at[unit, point_id]
            self.split[unit, point_id] = self.split.get((unit, point_id), 0) + 1
            self._units[setup_id, point_id][unit.load] += 1
            self._plates_ma[setup_id, point_id] += option.unit_ma
            self._circuits_ma[bin_of(option)] += option.counted_ma

    def _put_rest(self, left: Mapping[Demand, int]) -> bool:
        """Put units that found no circuit where they cost and overfill least."""
        rest = [unit for unit, units in left.items() for _ in range(units)]
        for unit in sorted(rest, key=lambda d: (-self._unit_ma(d), d)):
            found = [
                (self._price([unit], point_id) + self._beyond(option), point_id)
                for option in self.options[unit]
                if self._has_room([unit], point_id := option.point.id)
            ]
            if not found:
                return False
            self._put([unit], min(found)[1])
        return True

    def _beyond(self, option: Candidate) -> float:
        """Return what the amps beyond the aim of a circuit are worth [m], with one unit more."""
        where = bin_of(option)
        circuit = self.facts.circuits.get(where[1][0])
        if circuit is None:
            return 0.0
        aim_ma = circuit.cap_ma * self.aims[where[0]] // 100
        over_ma = max(self._circuits_ma[where] + option.counted_ma - aim_ma, 0)
        return _AMP_M * over_ma / _MILLI
