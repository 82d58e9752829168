"""The house under load: every set-up solved, worst of the ways its wiring might be."""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from spreadload.derived.facts import Facts
from spreadload.derived.supply import feed_chain
from spreadload.network.classes import Behaves, behaves
from spreadload.network.records import Case, Fixed, HouseVolts, Hung
from spreadload.network.service import (
    Service,
    best_read,
    estimates_by_point,
    has_loaded_readings,
    service_of,
)
from spreadload.network.wires import Wires

if TYPE_CHECKING:
    from spreadload.electrical.neutral import WaveKind

KEPT_SETUPS = 5_000


class House:
    """A job as a network. Build it once; it keeps what it has solved."""

    def __init__(self, facts: Facts) -> None:
        """Read the readings and look up what every load does."""
        self.facts = facts
        estimates = estimates_by_point(facts)
        self.wires = Wires(facts, estimates)
        self.has_readings = has_loaded_readings(facts)
        self.service: Service = service_of(facts, estimates, self._wiring_to(best_read(estimates)))
        self.behaves: dict[str, Behaves] = {load: behaves(facts, load) for load in facts.loads}
        self.waves: dict[str, WaveKind] = {load: b.wave for load, b in self.behaves.items()}
        self._kept: dict[object, HouseVolts] = {}

    def solve(
        self,
        setup: str,
        hung: Sequence[Hung],
        fixed: Sequence[Fixed],
        case: Case | None = None,
    ) -> HouseVolts:
        """Return the volts and amps of one set-up.

        Args:
            setup: Set-up id.
            hung: What is plugged in.
            fixed: What is wired and on.
            case: Which figures to solve with; worst draws on the likely supply if None.

        Where an outlet may be on several circuits the worst counts; where that is left to the
        wiring maps the best does, so that only what fails on every map is refused.
        """
        case = case or Case()
        key = (setup, tuple(hung), tuple(fixed), case)
        if key not in self._kept:
            if len(self._kept) >= KEPT_SETUPS:
                self._kept.clear()
            ways = [self._solve(setup, hung, fixed, (case, on)) for on in self._ways(hung)]
            is_open = any(unit.is_left_to_maps for unit in hung)
            is_best = is_open and not case.worst_wiring
            self._kept[key] = best_of(ways) if is_best else worst_of(ways)
        return self._kept[key]

    def at_the_board(self, setup: str, loads: Sequence[tuple[str, int]]) -> HouseVolts:
        """Return a set-up as if everything hung at the main board: no wiring can give more volts.

        Args:
            setup: Set-up id.
            loads: Load ids with how many of each are on; a supply of one line only.
        """
        from spreadload.network.solved import OneWay  # noqa: PLC0415 - loads numpy

        one_way = OneWay(self.facts, self.wires, self.behaves, self.service, {})
        return one_way.solve(setup, (), [Fixed(load, n, "") for load, n in loads], Case())

    def shared_ohm(self, one: tuple[str, str | None], other: tuple[str, str | None]) -> float:
        """Return the resistance that two loads both draw through [Ω].

        Args:
            one: Circuit and outlet of a load; outlet None for the end of the circuit.
            other: The same of the other load.
        """
        same_line = set(self._phases(one[0])) & set(self._phases(other[0]))
        if not same_line:
            return 0.0
        ohm = self.service.ohm
        feeds = set(self.facts.circuits[one[0]].feeds) & set(self.facts.circuits[other[0]].feeds)
        ohm += sum(self.wires.to_sub_board(board).ohm.real for board in feeds)
        if one[0] == other[0]:
            runs = (self.wires.to_outlet(*each).ohm.real for each in (one, other))
            ohm += min(runs)
        return ohm

    def _phases(self, circuit: str) -> tuple[str, ...]:
        """Return the line a one-pole circuit is surely on; nothing where that is not so simple."""
        phases = self.facts.circuits[circuit].phases
        return phases if len(phases) == 1 else ()

    def _wiring_to(self, at: str | None) -> float:
        """Return the resistance of the wiring from the board to a point with readings [Ω]."""
        if at is None:
            return 0.0
        job = self.facts.job
        if at in job.sub_boards:
            chain, ohm = list(feed_chain(job, at)), 0.0
        else:
            circuits = sorted(self.facts.points[at].exposure.might_be_on)
            circuit = circuits[0]
            chain = list(self.facts.circuits[circuit].feeds)
            ohm = self.wires.estimated(circuit, at).ohm.real
        return ohm + sum(self.wires.to_sub_board(board).ohm.real for board in chain)

    def _ways(self, hung: Sequence[Hung]) -> list[dict[str, str]]:
        """Return the ways of wiring to try: everything that might be on a circuit is on it."""
        might: dict[str, frozenset[str]] = {}
        for unit in hung:
            outlet = self.facts.points[unit.point].outlet
            might[outlet] = unit.circuits or self._might(outlet)
        open_to = sorted({c for circuits in might.values() if len(circuits) > 1 for c in circuits})
        return [
            {outlet: full if full in them else min(them) for outlet, them in might.items()}
            for full in (open_to or [""])
        ]

    def _might(self, outlet: str) -> frozenset[str]:
        return self.facts.points[outlet].exposure.might_be_on or frozenset(
            [next(iter(self.facts.circuits))]
        )

    def _solve(
        self,
        setup: str,
        hung: Sequence[Hung],
        fixed: Sequence[Fixed],
        which: tuple[Case, dict[str, str]],
    ) -> HouseVolts:
        from spreadload.network.solved import OneWay  # noqa: PLC0415 - loads numpy

        case, on = which
        more: tuple[str, ...] = ()
        if case.all_outlets:
            outlets = self.facts.job.outlets
            more = tuple(o for o in outlets if o not in on and len(self._might(o)) == 1)
            on = on | {outlet: min(self._might(outlet)) for outlet in more}
        one_way = OneWay(self.facts, self.wires, self.behaves, self.service, on, more)
        return one_way.solve(setup, hung, fixed, case)


def worst_of(ways: Sequence[HouseVolts]) -> HouseVolts:
    """Return the worst figure of each kind over several ways the house might be wired."""
    if len(ways) == 1:
        return ways[0]
    collapsed = next((way for way in ways if way.collapse), None)
    if collapsed is not None:
        return collapsed
    units = [
        min(same, key=lambda unit: unit.volts)
        for same in zip(*(w.units for w in ways), strict=True)
    ]
    return HouseVolts(
        setup=ways[0].setup,
        idle_v=ways[0].idle_v,
        board_v=min(way.board_v for way in ways),
        sub_boards_v=_lowest_of([way.sub_boards_v for way in ways]),
        outlets_v=_lowest_of([way.outlets_v for way in ways]),
        units=tuple(units),
        line_a=tuple(max(amps) for amps in zip(*(way.line_a for way in ways), strict=True)),
        neutral_a=max(way.neutral_a for way in ways),
        neutral_triplen_a=max(way.neutral_triplen_a for way in ways),
        circuits_a={
            circuit: max(way.circuits_a.get(circuit, 0.0) for way in ways)
            for circuit in dict.fromkeys(c for way in ways for c in way.circuits_a)
        },
        losses_w=max(way.losses_w for way in ways),
        taken_w=max(way.taken_w for way in ways),
    )


def best_of(ways: Sequence[HouseVolts]) -> HouseVolts:
    """Return the way the house might be wired in which the lowest head has the most volts."""
    settled = [way for way in ways if not way.collapse]
    if not settled:
        return ways[0]
    return max(settled, key=lambda way: (-len(way.short), way.lowest.volts if way.lowest else 0.0))


def _lowest_of(each: Sequence[Mapping[str, float]]) -> dict[str, float]:
    found: dict[str, float] = {}
    for volts in each:
        for name, value in volts.items():
            found[name] = min(value, found.get(name, value))
    return found
