"""Names as the crew says them: heads with numbers, outlets, circuits as written on the board."""

from collections.abc import Iterable, Sequence

from spreadload.check.words import circuit_name
from spreadload.derived.facts import Facts
from spreadload.derived.records import Point
from spreadload.job.job import Job
from spreadload.plan import Usage
from spreadload.words import natural, row

__all__ = [
    "circuit_name",
    "circuits_of",
    "device_name",
    "one_of",
    "point_name",
    "point_with_circuits",
    "room_name",
    "unit_name",
    "units_name",
]

_LISTED = 8


def unit_name(facts: Facts, load: str, unit: int) -> str:
    """Return ``DH1800 #2``, or ``DH1200`` where there is only one."""
    return units_name(facts, load, (unit,))


def units_name(facts: Facts, load: str, units: Sequence[int]) -> str:
    """Return ``soft #1``, ``soft #1-3`` or ``soft #1 #4``; no number where there is only one."""
    if facts.loads[load].count == 1 and len(units) == 1:
        return load
    return load + numbers(units)


def numbers(units: Iterable[int]) -> str:
    """Return `` #1``, `` #1-3`` or `` #1 #4``, to stand behind a name."""
    ordered = sorted(units)
    if len(ordered) > 1 and ordered[-1] - ordered[0] == len(ordered) - 1:
        return f" #{ordered[0]}-{ordered[-1]}"
    return "".join(f" #{unit}" for unit in ordered)


def point_name(point: Point) -> str:
    """Return an outlet, or a phase of a box with the outlet it stands at."""
    if point.box is None:
        return point.id
    return f"{point.outlet} {point.box} {point.box_phase}"


def room_name(job: Job, room_id: str | None) -> str:
    """Return what the crew calls a room, "" for none."""
    room = job.rooms.get(room_id) if room_id else None
    return (room.name if room else None) or room_id or ""


def circuits_of(point: Point) -> tuple[str, ...]:
    """Return every circuit a point might be on, 9 before 10."""
    return tuple(sorted(point.exposure.might_be_on, key=natural))


def one_of(circuits: Sequence[str]) -> str:
    """Return ``P1, P2 or P3``; more than a reader takes in are counted and told from end to end."""
    if len(circuits) <= _LISTED:
        return row(circuits, "or")
    return f"one of {len(circuits)} circuits, {circuits[0]} to {circuits[-1]}"


def point_with_circuits(point: Point) -> str:
    """Return ``B5 (P2)``, or ``B1 (P1 or P3)`` where the circuit is not known."""
    return f"{point_name(point)} ({one_of(circuits_of(point))})"


def device_name(facts: Facts, usage: Usage) -> str:
    """Return a limiting device with its label and its phase where it has several."""
    several = len(facts.supply.phases) > 1
    if usage.kind == "circuit":
        pole = f" {usage.phase}" if facts.circuits[usage.id].poles > 1 else ""
        return circuit_name(facts, usage.id) + pole
    if usage.kind == "feed":
        label = facts.job.sub_boards[usage.id].label or usage.id
        return f"feed of {label}" + (f" {usage.phase}" if several and usage.phase else "")
    if usage.kind == "rcd amps":
        name = f"RCD {usage.id}" if usage.id in facts.circuits else usage.id
        return name + (f" {usage.phase}" if several and usage.phase else "")
    if usage.kind == "contract":
        return "the supply contract"
    if usage.kind == "neutral":
        return "the neutral"
    return facts.supply.line_name(usage.id)
