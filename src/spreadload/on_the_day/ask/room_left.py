"""How many more amps a socket has for one more plug: every limit on the way to the street.

Arithmetic on what the judge says a plan carries; imports nothing of the solver.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from spreadload.check.words import circuit_name
from spreadload.derived.facts import Facts
from spreadload.derived.records import Point
from spreadload.plan import Placement, Usage, Verdict
from spreadload.units import MILLI


@dataclass(frozen=True)
class Link:
    """One limit between a socket and the street.

    Attributes:
        name: The limit in crew words.
        room_ma: Amps it still has for one more load, counted as that load counts [mA].
        limit_ma: What it allows in all [mA].
        setup: Set-up in which this is so.
    """

    name: str
    room_ma: int
    limit_ma: int
    setup: str


@dataclass(frozen=True)
class Carries:
    """What a plan has on already.

    Attributes:
        facts: The job, with what is asked for.
        usages: Amps on every device, by (kind, id, pole or phase), per set-up.
        plugged: Placements of every set-up.
    """

    facts: Facts
    usages: Mapping[str, tuple[Usage, ...]]
    plugged: Mapping[str, tuple[Placement, ...]]

    @classmethod
    def of(cls, facts: Facts, verdict: Verdict, placements: tuple[Placement, ...]) -> "Carries":
        """Sort what is on by set-up."""
        known = [
            p
            for p in placements
            if p.setup in facts.demands and p.load in facts.loads and p.point in facts.points
        ]
        return cls(
            facts,
            {s: tuple(u for u in verdict.usages if u.setup == s) for s in facts.demands},
            {s: tuple(p for p in known if p.setup == s) for s in facts.demands},
        )

    def at(self, point_id: str, setup: str) -> tuple[Placement, ...]:
        """Return what is plugged in at a point in a set-up."""
        return tuple(p for p in self.plugged[setup] if p.point == point_id)

    def plate_ma(self, outlet_id: str, setup: str) -> int:
        """Return what a plate carries in a set-up, boxes on it by their fullest phase [mA]."""
        own = 0
        boxed: dict[str | None, int] = {}
        for placement in self.plugged[setup]:
            point = self.facts.points[placement.point]
            if point.outlet != outlet_id:
                continue
            unit_ma = self.facts.unit_ma(placement.load, self.facts.poles_at(placement.load, point))
            if point.box is None:
                own += unit_ma
            else:
                boxed[point.box_phase] = boxed.get(point.box_phase, 0) + unit_ma
        return own + max(boxed.values(), default=0)


def links(carries: Carries, point: Point, setup: str, load: str, factor: float) -> tuple[Link, ...]:
    """Return every limit on amps from a socket to the street, nearest first.

    Args:
        carries: What is on already.
        point: Where the plug would go.
        setup: Set-up id.
        load: What would be plugged in.
        factor: What one more amp counts against breakers; above 1 for a continuous load.
    """
    return (
        *_outlet_links(carries, point, setup, load),
        *_circuit_rules(carries.facts, point, setup, load),
        *_device_links(carries, point, setup, factor),
    )


def _outlet_links(carries: Carries, point: Point, setup: str, load: str) -> Iterator[Link]:
    facts = carries.facts
    socket_ma = point.rated_ma if facts.loads[load].may_fill_socket else point.socket_ma
    yield Link(f"one socket of {point.id}", socket_ma, socket_ma, setup)
    plate = facts.points[point.outlet]
    left_ma = plate.plate_ma - carries.plate_ma(point.outlet, setup)
    yield Link(f"the plate of {point.outlet}", left_ma, plate.plate_ma, setup)
    if point.box is not None:
        cap_ma = min(facts.boxes[point.box].inlet_ma, plate.socket_ma)
        on_ma = sum(
            facts.unit_ma(p.load, facts.poles_at(p.load, point))
            for p in carries.at(point.id, setup)
        )
        yield Link(f"the inlet of box {point.box}", cap_ma - on_ma, cap_ma, setup)


def _circuit_rules(facts: Facts, point: Point, setup: str, load: str) -> Iterator[Link]:
    for circuit_id in sorted(point.exposure.might_be_on):
        single_ma = facts.single_load_ma(circuit_id, load)
        if single_ma is not None:
            yield Link(
                f"one plug on {circuit_name(facts, circuit_id)}", single_ma, single_ma, setup
            )


def _device_links(carries: Carries, point: Point, setup: str, factor: float) -> Iterator[Link]:
    exposed = point.exposure
    for usage in carries.usages[setup]:
        counts = usage.kind in ("circuit", "feed")
        if not _is_on(usage, point, carries.facts):
            continue
        has_a = usage.counted_a if counts else usage.current_a
        left_ma = round((usage.limit_a - has_a) * MILLI)
        room_ma = int(left_ma / factor) if counts else left_ma
        unsure = usage.kind == "circuit" and len(exposed.might_be_on) > 1
        name = _device(carries.facts, usage) + (", which it might be on" if unsure else "")
        yield Link(name, room_ma, round(usage.limit_a * MILLI), setup)


def _is_on(usage: Usage, point: Point, facts: Facts) -> bool:
    exposed = point.exposure
    match usage.kind:
        case "circuit":
            several = facts.circuits[usage.id].poles > 1
            poles = {pole for name, pole in exposed.circuits if name == usage.id}
            return bool(poles) and (not several or usage.phase in poles)
        case "feed":
            return any(n == usage.id and p == usage.phase for n, p in exposed.feeds)
        case "rcd amps":
            return usage.id in exposed.rcds and usage.phase in exposed.phases
        case "phase":
            return usage.id in exposed.phases
        case "contract" | "neutral":
            return True


def _device(facts: Facts, usage: Usage) -> str:
    match usage.kind:
        case "circuit":
            pole = f" on {usage.phase}" if facts.circuits[usage.id].poles > 1 else ""
            return circuit_name(facts, usage.id) + pole
        case "feed":
            return f"the feed of {facts.job.sub_boards[usage.id].label or usage.id}"
        case "rcd amps":
            return f"RCD {usage.id} (amps)"
        case "phase":
            return facts.supply.line_name(usage.id)
        case "contract":
            return "the supply contract"
        case "neutral":
            return "the neutral"
