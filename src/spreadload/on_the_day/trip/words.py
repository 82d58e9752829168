"""Words for what opened, what moves and what is left off: short enough for a radio.

Never imports the solver.
"""

from spreadload.derived.facts import Facts
from spreadload.explain.names import circuit_name, point_name, unit_name, units_name
from spreadload.on_the_day.replug.shed import Shed
from spreadload.on_the_day.scene.limits import Carried, Kind, Limit
from spreadload.on_the_day.scene.steps import Move, Step
from spreadload.on_the_day.trip.causes import Cause, Opened
from spreadload.on_the_day.trip.unseen import Intruder
from spreadload.plan import Placement
from spreadload.units import MILLI, tenths_down, tenths_up
from spreadload.words import first_up, row

_MANY_A = 200.0


def move_line(facts: Facts, move: Move) -> str:
    """Return a move in one line, such as ``Move LED600 from B5 to B2. GPO 2: 25.8 -> 19.3.``."""
    each = [step_words(facts, step) for step in move.steps]
    return f"Move {row(each)}. {_from_to(facts, move.limit, move.before, move.after)}."


def step_words(facts: Facts, step: Step) -> str:
    """Return one step: ``LED600 from B5 to B2``."""
    name = unit_name(facts, step.unit.load, step.unit.unit)
    here, there = at(facts, step.unit), at(facts, step.to)
    if here == there:
        return f"{name} at {here} off its power board into the wall"
    return f"{name} from {here} to {there}"


def shed_line(facts: Facts, off: Shed, limit: Limit, before: Carried) -> str:
    """Return what to leave off in one line."""
    text = first_up(shed_words(facts, off))
    return f"{text}. {_from_to(facts, limit, before, off.after)}."


def shed_words(facts: Facts, off: Shed) -> str:
    """Return what to leave off: ``keep kettle off until cut, leave LED600 dark``."""
    said = []
    if off.waits:
        said.append(f"keep {_units(facts, off.waits)} off until cut")
    if off.off or off.wired:
        said.append(f"switch {row([*_each(facts, off.off), *off.wired])} off")
    if off.asked:
        said.append(f"ask to keep {_units(facts, off.asked)} off")
    if off.dark:
        said.append(f"leave {_units(facts, off.dark)} dark")
    return ", ".join(said)


def _from_to(facts: Facts, limit: Limit, before: Carried, after: Carried) -> str:
    unit = "" if limit.is_amps else f" {limit.unit}"
    was, left = amount(limit, before.counted), amount(limit, after.counted)
    return f"{first_up(limit_name(facts, limit))}: {was} -> {left}{unit}"


def amount(limit: Limit, number: int) -> str:
    """Return what a limit is under, in its own unit, rounded up."""
    return str(number) if limit.unit == "W" else tenths_up(number / MILLI)


def cap_words(limit: Limit, cap: int) -> str:
    """Return what a limit allows, with its unit, rounded down."""
    number = str(cap) if limit.unit == "W" else tenths_down(cap / MILLI)
    return f"{number} {limit.unit}"


def limit_name(facts: Facts, limit: Limit) -> str:
    """Return what opened as it is called on the radio."""
    match limit.kind:
        case Kind.CIRCUIT:
            return board_name(facts, limit.id)
        case Kind.FEED:
            return facts.job.sub_boards[limit.id].label or limit.id
        case Kind.PHASE:
            return facts.supply.line_name(limit.id)
        case Kind.LEAKAGE:
            own = outlet_of_rcd(facts, limit.id)
            return limit.id if own is None else f"the GFCI at {own}"
        case Kind.CONTRACT:
            return "the contract"
        case Kind.SOCKET:
            return f"the power board at {limit.id}"


def board_name(facts: Facts, circuit: str) -> str:
    """Return a circuit as it is called on the radio: its label, or its id."""
    label = facts.circuits[circuit].label
    same = [c for c in facts.circuits.values() if c.label == label]
    return label if label and len(same) == 1 else circuit


def device_words(facts: Facts, opened: Opened) -> str:
    """Return a cause with its device: ``breaker P2 “GPO 2”``."""
    said = opened.cause.value
    if not opened.device:
        return said
    match opened.cause:
        case Cause.CUT_OUT:
            return f"cut-out of the power board at {opened.device}"
        case Cause.PHASE:
            return f"lost {facts.supply.line_name(opened.device)}"
        case Cause.FEED:
            return f"feed of {facts.job.sub_boards[opened.device].label or opened.device}"
        case Cause.GFCI:
            own = outlet_of_rcd(facts, opened.device)
            return f"GFCI {opened.device}" if own is None else f"GFCI at {own}"
        case _:
            return _by_its_name(facts, said, opened.device)


def _by_its_name(facts: Facts, said: str, device: str) -> str:
    """Return what kind of device it is with its id, and its label where it has one."""
    if device in facts.circuits:
        return f"{said} {circuit_name(facts, device)}"
    joint = " at " if device in facts.job.outlets else " "
    # An RCD is often called RCD1 already.
    is_said = device.upper().startswith(said.upper())
    return device if is_said else f"{said}{joint}{device}"


def outlet_of_rcd(facts: Facts, rcd: str) -> str | None:
    """Return the outlet that has an RCD of its own in it, the first if several name it."""
    return next((o for o, outlet in facts.job.outlets.items() if outlet.rcd == rcd), None)


def band_words(intruder: Intruder) -> str:
    """Return the unseen load in words."""
    if intruder.high_a > _MANY_A:
        return f"{intruder.low_a:.0f} A or more"
    return f"about {intruder.low_a:.0f} to {intruder.high_a:.0f} A"


def units_by_load(placements: tuple[Placement, ...]) -> dict[str, list[int]]:
    """Return the units of every load, in order."""
    found: dict[str, list[int]] = {}
    for p in placements:
        found.setdefault(p.load, []).append(p.unit)
    return found


def at(facts: Facts, p: Placement) -> str:
    """Return where a unit is plugged in."""
    return point_name(facts.points[p.point])


def _units(facts: Facts, placements: tuple[Placement, ...]) -> str:
    return row(_each(facts, placements))


def _each(facts: Facts, placements: tuple[Placement, ...]) -> list[str]:
    by_load = units_by_load(placements)
    return [units_name(facts, load, units) for load, units in by_load.items()]
