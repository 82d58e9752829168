"""One set-up solved for one way its wiring might be: the tree, its load flow, what each unit gets.

Apart from ``house`` because it alone needs the numerical libraries, which take long to load.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from spreadload.derived.facts import Facts
from spreadload.electrical.behaviour import current_ratio, light_ratio
from spreadload.electrical.dropouts import settle
from spreadload.electrical.loadflow import Collapse, Flow, FlowLoad, load_flow
from spreadload.electrical.neutral import LineCurrent, WaveKind, neutral_by_kind_a
from spreadload.electrical.tree import Tree, Wiring, build_tree
from spreadload.network.assumed import THREE
from spreadload.network.classes import Behaves
from spreadload.network.layout import Layout, Placed
from spreadload.network.records import BOARD, Case, DropOuts, Fixed, HouseVolts, Hung, UnitVolts
from spreadload.network.service import Service
from spreadload.network.wires import Wires
from spreadload.units import MILLI


@dataclass(frozen=True)
class OneWay:
    """A house on one supply, wired in one way.

    Attributes:
        on: The circuit of each outlet in use.
        more: Outlets not in use whose volts are told as well.
        alone: Outlets that share no cable of their circuit with others.
    """

    facts: Facts
    wires: Wires
    behaves: Mapping[str, Behaves]
    service: Service
    on: Mapping[str, str]
    more: tuple[str, ...] = ()
    alone: frozenset[str] = frozenset()

    def solve(
        self, setup: str, hung: Sequence[Hung], fixed: Sequence[Fixed], case: Case
    ) -> HouseVolts:
        """Return the volts and amps of one set-up; see ``House.solve``."""
        layout = self._laid_out(hung, fixed, case)
        flow = load_flow(_tree(layout), self.service.idle_v, [p.flow for p in layout.loads])
        if isinstance(flow, Collapse):
            return self._collapsed(setup, layout, flow)
        return self._settled(setup, layout, flow)

    def drop_outs(self, hung: Sequence[Hung], fixed: Sequence[Fixed], case: Case) -> DropOuts:
        """Return which heads go out as the volts fall; see ``House.drop_outs``."""
        layout = self._laid_out(hung, fixed, case)
        loads = [self._with_minimum(placed) for placed in layout.loads]
        settled = settle(_tree(layout), self.service.idle_v, loads)
        by_name = {placed.flow.name: placed for placed in layout.loads}
        gone = [by_name[name] for name in settled.dropped]
        return DropOuts(
            units=tuple(self._unit(placed, 0.0) for placed in gone),
            collapses=isinstance(settled.flow, Collapse),
        )

    def _with_minimum(self, placed: Placed) -> FlowLoad:
        """Return a load that drops out below what it works at, if it is a head."""
        load = placed.hung.load if placed.hung else ""
        if not load or not self.facts.loads[load].is_head:
            return placed.flow
        behaves = self.behaves[load]
        across = placed.flow.rated_v / behaves.rated_v
        return replace(placed.flow, min_v=behaves.min_v * across)

    def _laid_out(self, hung: Sequence[Hung], fixed: Sequence[Fixed], case: Case) -> Layout:
        ohm = self.service.ohm if case.service_ohm is None else case.service_ohm
        layout = Layout(
            self.facts,
            self.wires,
            self.behaves,
            complex(ohm),
            self.on,
            case.bend,
            case.starting,
            self.alone,
        )
        layout.build(hung, fixed, self.more)
        return layout

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
        load = self.facts.loads[placed.item.load]
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
        return self.facts.loads[placed.item.load].what

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
                amps_a = unit.amps_ratio * self.facts.unit_ma(unit.load, 1) / MILLI
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


def _tree(layout: Layout) -> Tree:
    return build_tree(Wiring.of_lines(len(layout.facts.supply.phases)), layout.branches)
