"""What to do first when a circuit goes down, read from the reasons of a plan."""

from dataclasses import dataclass

from spreadload.explain.briefing import Briefing
from spreadload.explain.judged import JudgedPlan
from spreadload.explain.names import circuits_of, point_name, point_with_circuits, unit_name
from spreadload.explain.reasons import Reason
from spreadload.units import MILLI, percent_used, shown_amps


@dataclass(frozen=True)
class FirstMove:
    """What to do first when one circuit goes down in one set-up.

    Attributes:
        text: The move in one line.
        before_a: What the circuit carries before, in amps, for a reader.
        after_a: What it carries after.
        brief: The same in the fewest words, or "" where the text is short enough.
        is_for_room: Whether ours is no reason to trip, so that the move only makes room for what
            is found on it and has to stay on.
        is_likely: Whether the amps count what only most likely hangs on the circuit.
    """

    setup: str
    circuit: str
    text: str
    before_a: str = ""
    after_a: str = ""
    brief: str = ""
    is_for_room: bool = False
    is_likely: bool = False

    @property
    def has_to_be_made(self) -> bool:
        """Whether something of ours comes off before a handle goes back up."""
        return not self.is_for_room and self.before_a != self.after_a

    @property
    def amps(self) -> str:
        """What the circuit carries before and after, or that alone where nothing changes."""
        is_same = self.before_a == self.after_a
        both = f"{self.before_a} A" if is_same else f"{self.before_a} → {self.after_a} A"
        return f"likely {both}" if self.is_likely else both


def first_moves(briefing: Briefing) -> tuple[FirstMove, ...]:
    """Return one prepared move per set-up and loaded circuit, from the reasons of the plan.

    The biggest unit that another circuit can take as the rest stands goes there; where none can
    move, the biggest is left dark. What must stay on is moved last and never left off. Only units
    that are sure to be on the circuit are thought of.
    """
    found = []
    for setup in briefing.judged.facts.demands:
        there = [r for r in briefing.reasons if r.setup == setup]
        for circuit in briefing.judged.facts.circuits:
            on = [r for r in there if _counts_on(briefing.judged, r, circuit)]
            if on:
                found.append(_first(briefing, circuit, on))
    return tuple(found)


def _counts_on(judged: JudgedPlan, reason: Reason, circuit: str) -> bool:
    exposed = judged.facts.points[reason.point].exposure
    return any(name == circuit for name, _ in exposed.circuits)


def _first(briefing: Briefing, circuit: str, on: list[Reason]) -> FirstMove:
    judged = briefing.judged
    stays = briefing.stay_on
    by_size = sorted(on, key=lambda r: (r.load in stays, -_counted_ma(judged, r), r.load))
    movable = [r for r in by_size if _goes_to(judged, r, circuit) is not None]
    shed = [r for r in by_size if judged.facts.loads[r.load].is_head]
    chosen = (movable or shed or by_size)[0]
    name = unit_name(judged.facts, chosen.load, chosen.units[0])
    point = point_name(judged.facts.points[chosen.point])
    before_ma = carried_ma(judged, chosen.setup, circuit)
    after_ma = before_ma - _counted_ma(judged, chosen)
    target = _goes_to(judged, chosen, circuit)
    for_room = _is_no_reason(judged, chosen.setup, circuit)
    if target is None and chosen.load in stays:
        text = f"{name} at {point} must stay on: it comes back first, and nothing else is added"
        brief, after_ma, for_room = f"{name} back first", before_ma, False
    elif target is not None:
        to = judged.facts.points[target]
        text = f"{name} from {point} to {point_with_circuits(to)}"
        brief = f"{name} {point} → {point_name(to)}"
    elif for_room:
        # Ours is no reason to trip, so nothing of it goes dark to make room.
        text = brief = "nothing of ours can move"
        after_ma = before_ma
    else:
        text = f"leave {name} at {point} off; no other outlet takes it"
        brief = f"{name} stays off"
    before, after = shown_amps(before_ma / MILLI), shown_amps(after_ma / MILLI)
    return FirstMove(chosen.setup, circuit, text, before, after, brief, for_room)


def _goes_to(judged: JudgedPlan, reason: Reason, circuit: str) -> str | None:
    there = reason.next_best
    if there is None or not there.holds:
        return None
    return None if circuit in circuits_of(judged.facts.points[there.point]) else there.point


def _counted_ma(judged: JudgedPlan, reason: Reason) -> int:
    poles = judged.facts.poles_at(reason.load, judged.facts.points[reason.point])
    return judged.facts.counted_ma(reason.setup, reason.load, poles)


def _is_no_reason(judged: JudgedPlan, setup: str, circuit: str) -> bool:
    """Whether what flows is within what even a warm breaker is comfortable with."""
    poles = [u for u in judged.usages[setup] if u.kind == "circuit" and u.id == circuit]
    flows_ma = max((round(u.current_a * MILLI) for u in poles), default=0)
    aim_pct, _ = judged.facts.job.rules.warm_tiers_pct
    return percent_used(flows_ma, judged.facts.circuits[circuit].breaker_ma) <= aim_pct


def carried_ma(judged: JudgedPlan, setup: str, circuit: str) -> int:
    """Return what counts against a circuit on its fullest pole [mA]."""
    poles = [u for u in judged.usages[setup] if u.kind == "circuit" and u.id == circuit]
    return max((round(u.counted_a * MILLI) for u in poles), default=0)
