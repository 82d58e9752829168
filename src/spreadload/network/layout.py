"""One set-up as a tree of cables with loads at its ends, for one way the wiring might be.

A circuit is taken as one cable that passes its outlets in the order of their distance, so that what
one draws is felt by all behind it: no other order shares more.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from spreadload.derived.facts import Facts
from spreadload.electrical.behaviour import LoadClass
from spreadload.electrical.inrush import StartKind, start_row
from spreadload.electrical.rows import Figure
from spreadload.electrical.terminals import FlowLoad
from spreadload.electrical.tree import Branch
from spreadload.network.assumed import (
    LOCKED_ROTOR_PF,
    THREE,
    TWO,
    WIRING_NEUTRAL_SHARE,
    service_neutral_share,
)
from spreadload.network.classes import Behaves
from spreadload.network.records import BOARD, Fixed, Hung
from spreadload.network.wires import Wires

LEAST_PF = Figure(
    1e-3, source="power factor below which a load counts as purely reactive; our own choice"
)
Bend = str
SOURCE = "source"


@dataclass(frozen=True, slots=True)
class Placed:
    """A load of the tree and what it stands for.

    Attributes:
        flow: The load as the load flow sees it.
        item: The unit plugged in, or the units wired to a circuit.
        circuit: Circuit it is on here.
    """

    flow: FlowLoad
    item: Hung | Fixed
    circuit: str

    @property
    def hung(self) -> Hung | None:
        """The unit plugged in, or None for hard-wired ones."""
        return self.item if isinstance(self.item, Hung) else None

    @property
    def fixed(self) -> Fixed | None:
        """The hard-wired units, or None for one plugged in."""
        return self.item if isinstance(self.item, Fixed) else None


@dataclass
class Layout:
    """Branches and loads of one set-up.

    Attributes:
        service_ohm: Loop impedance in front of the board [Ω].
        on: The circuit of each outlet, in this way of wiring.
        bend: Which end of every load's figures counts: ``best``, ``likely`` or ``worst``.
        starting: A motor in the moment it starts, or "".
        alone: Outlets that share no cable of their circuit with others.
    """

    facts: Facts
    wires: Wires
    behaves: Mapping[str, Behaves]
    service_ohm: complex
    on: Mapping[str, str]
    bend: Bend
    starting: str = ""
    alone: frozenset[str] = frozenset()
    branches: list[Branch] = field(default_factory=list)
    loads: list[Placed] = field(default_factory=list)
    outlet_node: dict[str, str] = field(default_factory=dict)
    circuit_nodes: dict[str, list[str]] = field(default_factory=dict)
    lines_of: dict[str, tuple[int, ...]] = field(default_factory=dict)

    def build(
        self, hung: Sequence[Hung], fixed: Sequence[Fixed], outlets: Iterable[str] = ()
    ) -> None:
        """Lay out the service, the boards, every circuit in use and everything on it.

        Args:
            hung: What is plugged in.
            fixed: What is wired; without a circuit it hangs at the board itself.
            outlets: Outlets to lay out although nothing may hang on them.
        """
        share = service_neutral_share(len(self.facts.supply.phases))
        self._add(BOARD, SOURCE, self.service_ohm, share)
        used = {self.facts.points[unit.point].outlet for unit in hung} | set(outlets)
        ends = {item.circuit for item in fixed if item.circuit}
        for circuit in sorted({self.on[outlet] for outlet in used} | ends):
            there = sorted(outlet for outlet in used if self.on[outlet] == circuit)
            together = [outlet for outlet in there if outlet not in self.alone]
            self._lay_circuit(circuit, together, has_end=circuit in ends)
            for outlet in there:
                if outlet in self.alone:
                    self._lay_circuit(circuit, [outlet], has_end=False)
        self._set_lines(hung, fixed)
        for unit in hung:
            self._hang(unit)
        for item in fixed:
            self._wire_up(item)

    def _add(self, node: str, parent: str, loop: complex, neutral_share: float) -> None:
        line_ohm, neutral_ohm = loop * (1 - neutral_share), loop * neutral_share
        self.branches.append(Branch(node, parent, line_ohm, neutral_ohm))

    def _cable(self, node: str, parent: str, loop: complex) -> str:
        self._add(node, parent, loop, WIRING_NEUTRAL_SHARE.value)
        return node

    def _board_node(self, circuit: str) -> str:
        """Return the node a circuit starts from, laying out the feeds in front of it once."""
        laid = {branch.node for branch in self.branches}
        parent = BOARD
        for board in reversed(self.facts.circuits[circuit].feeds):
            node = f"sub-board {board}"
            if node not in laid:
                self._cable(node, parent, self.wires.to_sub_board(board).ohm)
            parent = node
        return parent

    def _lay_circuit(self, circuit: str, outlets: list[str], *, has_end: bool) -> None:
        runs = {f"outlet {outlet}": self.wires.to_outlet(circuit, outlet).ohm for outlet in outlets}
        if has_end:
            runs[f"end of {circuit}"] = self.wires.to_outlet(circuit, None).ohm
        self.outlet_node |= {outlet: f"outlet {outlet}" for outlet in outlets}
        parent, so_far = self._board_node(circuit), 0j
        for node in sorted(runs, key=lambda name: (runs[name].real, name)):
            piece = runs[node] - so_far
            self._cable(node, parent, complex(piece.real, max(0.0, piece.imag)))
            self.circuit_nodes.setdefault(circuit, []).append(node)
            parent, so_far = node, runs[node]

    def _set_lines(self, hung: Sequence[Hung], fixed: Sequence[Fixed]) -> None:
        """Give every circuit its lines; one of unknown phase joins the fullest."""
        phases = self.facts.supply.phases
        full = dict.fromkeys(range(len(phases)), 0)
        users = [(self.on[self.facts.points[u.point].outlet], u.load, 1) for u in hung]
        users += [(item.circuit, item.load, item.count) for item in fixed if item.circuit]
        for circuit_id, load, count in users:
            circuit = self.facts.circuits[circuit_id]
            if circuit.poles == len(circuit.phases):
                for phase in circuit.phases:
                    place = phases.index(phase) if phase in phases else 0
                    full[place] += count * self.facts.unit_ma(load, 1)
        fullest = max(full, key=lambda place: (full[place], -place))
        for circuit_id in {circuit for circuit, _, _ in users} | set(self.circuit_nodes):
            circuit = self.facts.circuits[circuit_id]
            known = circuit.poles == len(circuit.phases)
            named = [phases.index(phase) for phase in circuit.phases if phase in phases]
            self.lines_of[circuit_id] = tuple(named) if known and named else (fullest,)

    def _hang(self, unit: Hung) -> None:
        point = self.facts.points[unit.point]
        circuit = self.on[point.outlet]
        node = self.outlet_node[point.outlet]
        if unit.board_lead is not None:
            board = f"board at {unit.point} socket {unit.socket} on lead {unit.board_lead}"
            if all(branch.node != board for branch in self.branches):
                self._cable(board, node, complex(self.facts.leads[unit.board_lead].loop_ohm))
            node = board
        name = f"{unit.load} {unit.unit} at {unit.point} socket {unit.socket}"
        name = self._fresh(name)
        if unit.lead is not None:
            node = self._cable(name, node, complex(self.facts.leads[unit.lead].loop_ohm))
        lines = self._lines(unit.poles, circuit, point.box_phase)
        self.loads.append(Placed(self._flow(name, node, unit.load, 1, lines), unit, circuit))

    def _fresh(self, name: str) -> str:
        taken = sum(placed.flow.name.startswith(name) for placed in self.loads)
        return f"{name} ({taken + 1})" if taken else name

    def _wire_up(self, item: Fixed) -> None:
        lines = self.lines_of.get(item.circuit, (0,))
        node = f"end of {item.circuit}" if item.circuit else BOARD
        name = f"{item.load} on {item.circuit or BOARD}"
        flow = self._flow(name, node, item.load, item.count, lines)
        self.loads.append(Placed(flow, item, item.circuit))

    def _lines(self, poles: int, circuit: str, box_phase: str | None) -> tuple[int, ...]:
        own, phases = self.lines_of[circuit], self.facts.supply.phases
        if poles == 1:
            return (phases.index(box_phase),) if box_phase in phases else own[:1]
        return own if len(own) == poles else tuple(range(min(poles, len(phases))))

    def _flow(
        self, name: str, node: str, load: str, count: int, lines: tuple[int, ...]
    ) -> FlowLoad:
        behaves = self.behaves[load]
        factor = getattr(behaves.power_factor, self.bend)
        watts = getattr(behaves.apparent_va, self.bend) * factor * count
        across = 1.0
        if len(lines) > 1:
            across = self.facts.supply.line_to_line_v / self.facts.supply.planning_v
            if self.facts.loads[load].draw.stated_a is not None:
                # Stated amps flow in every pole, so the watts grow with the volts and the poles.
                watts *= across if len(lines) == TWO else THREE
        flow = FlowLoad(
            name=name,
            node=node,
            power_w=watts,
            rated_v=behaves.rated_v * across,
            lines=lines,
            load_class=behaves.load_class,
            pf=max(factor, LEAST_PF.value),
        )
        return locked(flow) if load == self.starting else flow


def locked(flow: FlowLoad) -> FlowLoad:
    """Return a motor with its rotor standing still: an impedance of many times its amps."""
    times = start_row(StartKind.MOTOR).high
    pf = LOCKED_ROTOR_PF.value
    watts = flow.power_w / flow.pf * times * pf
    return replace(flow, power_w=watts, pf=pf, load_class=LoadClass.CONSTANT_RESISTANCE)
