"""The house under load: every set-up solved, worst of the ways its wiring might be."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from spreadload.derived.facts import Facts
from spreadload.derived.supply import feed_chain
from spreadload.electrical.behaviour import current_ratio, light_ratio
from spreadload.electrical.loadflow import Collapse, Flow, load_flow
from spreadload.electrical.neutral import LineCurrent, WaveKind, neutral_by_kind_a
from spreadload.electrical.tree import Wiring, build_tree
from spreadload.network.classes import Behaves, behaves
from spreadload.network.layout import THREE, Layout, Placed
from spreadload.network.records import Fixed, HouseVolts, Hung, UnitVolts
from spreadload.network.service import (
    BOARD,
    Service,
    best_read,
    estimates_by_point,
    has_loaded_readings,
    service_of,
)
from spreadload.network.wires import Wires

KEPT_SETUPS = 5_000
_WIRING = {1: Wiring.SINGLE_PHASE, 2: Wiring.SPLIT_PHASE, 3: Wiring.THREE_PHASE}


@dataclass(frozen=True, slots=True)
class Case:
    """Which figures to solve with.

    Attributes:
        service_ohm: Loop impedance in front of the board [Ω]; the likely one if None.
        bend: Which end of every load's figures counts.
        all_outlets: Tell the volts of every outlet whose circuit is known, used or not.
        starting: A motor to look at in the moment it starts, or "".
    """

    service_ohm: float | None = None
    bend: str = "worst"
    all_outlets: bool = False
    starting: str = ""


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
        """
        case = case or Case()
        key = (setup, tuple(hung), tuple(fixed), case)
        if key not in self._kept:
            if len(self._kept) >= KEPT_SETUPS:
                self._kept.clear()
            ways = [self._solve_one(setup, hung, fixed, (case, on)) for on in self._ways(hung)]
            self._kept[key] = worst_of(ways)
        return self._kept[key]

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

    def _solve_one(
        self,
        setup: str,
        hung: Sequence[Hung],
        fixed: Sequence[Fixed],
        which: tuple[Case, dict[str, str]],
    ) -> HouseVolts:
        case, on = which
        more: list[str] = []
        if case.all_outlets:
            more = [o for o in self.facts.job.outlets if o not in on and len(self._might(o)) == 1]
            on = on | {outlet: min(self._might(outlet)) for outlet in more}
        ohm = self.service.ohm if case.service_ohm is None else case.service_ohm
        layout = Layout(
            self.facts, self.wires, self.behaves, complex(ohm), on, case.bend, case.starting
        )
        layout.build(hung, fixed, more)
        tree = build_tree(_WIRING[len(self.facts.supply.phases)], layout.branches)
        flow = load_flow(tree, self.service.idle_v, [placed.flow for placed in layout.loads])
        if isinstance(flow, Collapse):
            return self._collapsed(setup, layout, flow)
        return self._settled(setup, layout, flow)

    def _settled(self, setup: str, layout: Layout, flow: Flow) -> HouseVolts:
        lines = range(len(self.facts.supply.phases))
        pairs = zip(layout.loads, flow.load_v, strict=True)
        units = tuple(self._unit(placed, float(volts)) for placed, volts in pairs)
        return HouseVolts(
            setup=setup,
            idle_v=self.service.idle_v,
            board_v=_lowest(flow, BOARD, lines),
            sub_boards_v={
                board: _lowest(flow, f"sub-board {board}", lines)
                for board in self.facts.feeds
                if f"sub-board {board}" in flow.tree.index
            },
            outlets_v={
                outlet: _lowest(flow, node, layout.lines_of[layout.on[outlet]])
                for outlet, node in layout.outlet_node.items()
            },
            units=units,
            line_a=tuple(flow.amps(BOARD, line) for line in lines),
            neutral_a=flow.neutral_amps(BOARD),
            neutral_triplen_a=self._with_triplens(layout.loads, units, flow),
            circuits_a={
                circuit: max(flow.amps(nodes[0], line) for line in layout.lines_of[circuit])
                for circuit, nodes in layout.circuit_nodes.items()
            },
            losses_w=flow.losses_w,
            taken_w=float(sum(flow.load_w)),
        )

    def _collapsed(self, setup: str, layout: Layout, flow: Collapse) -> HouseVolts:
        weakest = next(p for p in layout.loads if p.flow.name == flow.weakest.name)
        units = tuple(self._unit(placed, 0.0) for placed in layout.loads)
        name = self._name(weakest)
        return HouseVolts(
            setup=setup,
            idle_v=self.service.idle_v,
            board_v=0.0,
            sub_boards_v={},
            outlets_v={},
            units=units,
            line_a=tuple(0.0 for _ in self.facts.supply.phases),
            neutral_a=0.0,
            neutral_triplen_a=0.0,
            circuits_a={},
            losses_w=0.0,
            taken_w=0.0,
            collapse="the volts collapse: this is more than the supply and the cables can carry, "
            f"worst at {name}",
        )

    def _unit(self, placed: Placed, volts: float) -> UnitVolts:
        load = self.facts.loads[(placed.hung or placed.fixed).load]  # type: ignore[union-attr]
        behaves = self.behaves[load.id]
        across = placed.flow.rated_v / behaves.rated_v
        at_v = volts / across
        ratio = at_v / behaves.rated_v
        return UnitVolts(
            name=self._name(placed),
            load=load.id,
            unit=placed.hung.unit if placed.hung else 0,
            point=placed.hung.point if placed.hung else "",
            circuit=placed.circuit,
            volts=at_v,
            amps_ratio=self._amps_ratio(behaves, ratio),
            light_pct=100 * light_ratio(behaves.load_class, ratio) if ratio > 0 else 0.0,
            min_v=behaves.min_v,
            min_source=behaves.min_source,
            is_head=load.is_head,
            place=placed.hung.place if placed.hung else "",
        )

    def _amps_ratio(self, behaves: Behaves, ratio: float) -> float:
        if ratio <= 0:
            return float("inf")
        # The rules count watts at planning volts, whatever volts the plate is stated at.
        at_plate = self.facts.supply.planning_v / behaves.rated_v
        return at_plate * current_ratio(behaves.load_class, ratio)

    def _name(self, placed: Placed) -> str:
        if placed.hung is not None:
            return placed.hung.name
        fixed = placed.fixed
        return self.facts.loads[fixed.load].what if fixed is not None else ""

    def _with_triplens(
        self, loads: Sequence[Placed], units: Sequence[UnitVolts], flow: Flow
    ) -> float:
        """Return the neutral current with what third harmonics may add [A], on three phases."""
        lines = len(self.facts.supply.phases)
        if lines != THREE:
            return flow.neutral_amps(BOARD)
        sums: list[dict[WaveKind, complex]] = [{} for _ in range(lines)]
        for placed, unit in zip(loads, units, strict=True):
            if len(placed.flow.lines) == 1 and unit.volts > 0:
                wave = self.behaves[unit.load].wave
                amps_a = unit.amps_ratio * self.facts.unit_ma(unit.load, 1) / 1000
                amps_a *= placed.fixed.count if placed.fixed else 1
                phasor = LineCurrent(amps_a, placed.flow.pf).phasor_a
                line = sums[placed.flow.lines[0]]
                line[wave] = line.get(wave, 0j) + phasor
        return neutral_by_kind_a([_currents(line) for line in sums])


def _currents(line: Mapping[WaveKind, complex]) -> dict[WaveKind, LineCurrent]:
    return {
        wave: LineCurrent(
            abs(phasor), phasor.real / abs(phasor) if phasor else 1.0, leads=phasor.imag > 0
        )
        for wave, phasor in line.items()
    }


def _lowest(flow: Flow, node: str, lines: Iterable[int]) -> float:
    return min(flow.volts(node, line) for line in lines)


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


def _lowest_of(each: Sequence[Mapping[str, float]]) -> dict[str, float]:
    found: dict[str, float] = {}
    for volts in each:
        for name, value in volts.items():
            found[name] = min(value, found.get(name, value))
    return found
