"""One line for the radio: what to say first, short enough to be said once.

Never imports the solver.
"""

from spreadload.derived.facts import Facts
from spreadload.explain.names import point_name, row, unit_name, units_name
from spreadload.on_the_day.opened import Opened
from spreadload.on_the_day.replug import Move, Shed, Step
from spreadload.on_the_day.trip import CERTAIN, Intruder, TripAnswer, units_by_load
from spreadload.plan import Placement
from spreadload.units import MILLI, shown_amps

_MANY = 200.0


def radio_line(answer: TripAnswer) -> str:
    """Return what to say on the radio first."""
    facts = answer.scene.facts
    if not answer.causes:
        return "Look at the board: nothing known explains what is dark. Which handle is down?"
    top = answer.causes[0]
    if answer.is_second:
        named = device_words(facts, top)
        stop = f"Stop. {named} has tripped before: leave it off."
        return f"{stop} Licensed electrician, and tell the owner."
    if answer.entry is None and top.share < CERTAIN and answer.circuit is None:
        return look_line(answer)
    if answer.circuit is not None:
        return _circuit_line(answer)
    if answer.leaking is not None and answer.leaking.suspects:
        first = answer.leaking.suspects[0]
        name = unit_name(facts, first.load, first.unit)
        rcd = answer.leaking.rcd
        return f"Unplug {name} at {_at(facts, first)}. {rcd}: reset bare, add one by one."
    return f"{_first_up(device_words(facts, top))}: {top.sign.do}."


def look_line(answer: TripAnswer) -> str:
    """Return the question that settles what opened."""
    names = [device_words(answer.scene.facts, c) for c in answer.causes[:2]]
    return f"Look at the board: is it {row(names, 'or')}?"


def _circuit_line(answer: TripAnswer) -> str:
    facts, circuit = answer.scene.facts, str(answer.circuit)
    name = board_name(facts, circuit)
    asked = "" if answer.entry is not None else f"{look_line(answer)} "
    if answer.intruder is not None and _explains(answer):
        where = answer.intruder.named or _band(answer.intruder)
        if answer.intruder.named:
            return f"{asked}Unplug the {where}: it is not in the plan. Then {name} back on."
        return f"{asked}Look for a heater on {name}: {where} on it is not in the plan."
    if answer.move is not None:
        return f"{asked}{move_line(facts, answer.move)}"
    if answer.shed is not None and (answer.shed.waits or answer.shed.dark):
        return f"{asked}{shed_line(facts, answer.shed, circuit, answer.planned_a)}"
    return f"{asked}Take something off {name}, then reset it once."


def _explains(answer: TripAnswer) -> bool:
    """Whether an intruder explains the trip without any fault of the plan."""
    return answer.used_pct is not None and answer.used_pct <= 100  # noqa: PLR2004 - per cent


def move_line(facts: Facts, move: Move) -> str:
    """Return a move in one line, such as ``Move LED600 from B5 to B2. GPO 2: 25.8 -> 19.3``."""
    each = [step_words(facts, step) for step in move.steps]
    said = f"Move {' and '.join(each)}."
    name = board_name(facts, move.circuit)
    return f"{said} {name}: {_amps(move.before_ma)} -> {_amps(move.after_ma)}."


def step_words(facts: Facts, step: Step) -> str:
    """Return one step: ``LED600 from B5 to B2``."""
    name = unit_name(facts, step.unit.load, step.unit.unit)
    return f"{name} from {_at(facts, step.unit)} to {_at(facts, step.to)}"


def shed_line(facts: Facts, off: Shed, circuit: str, before_a: float) -> str:
    """Return what to leave off in one line."""
    text = _first_up(shed_words(facts, off))
    name = board_name(facts, circuit)
    return f"{text}. {name}: {shown_amps(before_a)} -> {_amps(off.after_ma)}."


def shed_words(facts: Facts, off: Shed) -> str:
    """Return what to leave off: ``kettle waits until cut, leave LED600 dark``."""
    said = []
    if off.waits:
        said.append(f"{_units(facts, off.waits)} waits until cut")
    if off.dark:
        said.append(f"leave {_units(facts, off.dark)} dark")
    return ", ".join(said)


def board_name(facts: Facts, circuit: str) -> str:
    """Return a circuit as it is called on the radio: its label, or its id."""
    label = facts.circuits[circuit].label
    same = [c for c in facts.circuits.values() if c.label == label]
    return label if label and len(same) == 1 else circuit


def device_words(facts: Facts, opened: Opened) -> str:
    """Return a cause with its device: ``breaker P2 “GPO 2”``."""
    if not opened.device:
        return opened.cause.value
    if opened.device in facts.circuits:
        label = facts.circuits[opened.device].label
        named = f" “{label}”" if label and label != opened.device else ""
        return f"{opened.cause.value} {opened.device}{named}"
    joint = " at " if opened.device in facts.job.outlets else " "
    return f"{opened.cause.value}{joint}{opened.device}"


def _band(intruder: Intruder) -> str:
    if intruder.high_a > _MANY:
        return f"{intruder.low_a:.0f} A or more"
    return f"about {intruder.low_a:.0f} to {intruder.high_a:.0f} A"


def band_words(intruder: Intruder) -> str:
    """Return the unseen load in words."""
    return _band(intruder)


def _units(facts: Facts, placements: tuple[Placement, ...]) -> str:
    by_load = units_by_load(placements)
    return row([units_name(facts, load, units) for load, units in by_load.items()])


def _at(facts: Facts, p: Placement) -> str:
    return point_name(facts.points[p.point])


def _amps(current_ma: int) -> str:
    return shown_amps(current_ma / MILLI)


def _first_up(text: str) -> str:
    return text[:1].upper() + text[1:]
