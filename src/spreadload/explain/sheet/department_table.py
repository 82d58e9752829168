"""What each department may plug in where, up to how many amps and when: sheets and cards.

A line holds what a department has on one outlet at the same time, so that its amps are the sum that
the outlet was planned for and not that of one unit.
"""

from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from spreadload.derived.records import Point
from spreadload.explain.judged import JudgedPlan
from spreadload.explain.names import circuits_of, point_name, room_name
from spreadload.explain.sheet.records import Table
from spreadload.job.kit import Load
from spreadload.units import MILLI, shown_amps
from spreadload.words import row, setup_name

COLUMNS = (
    "department", "load", "room", "outlet", "circuit", "up to A", "allowed", "not allowed", "when",
)  # fmt: skip
_SHOWN_CIRCUITS = 2
_ALONE = "nothing else on this outlet"
_NO_HEAT = "nothing else, no heaters"

Row = tuple[str, ...]
Loads = tuple[tuple[str, int], ...]


@dataclass(frozen=True)
class Share:
    """What a department has on one outlet in the set-ups named.

    Attributes:
        loads: Load and number of its units, in the order of the job.
        drawn_ma: What all of it draws.
    """

    department: str
    point: Point
    loads: Loads
    setups: tuple[str, ...]
    drawn_ma: int
    is_heat: bool

    @property
    def amps(self) -> str:
        """Amps for a reader."""
        return shown_amps(self.drawn_ma / MILLI)

    @property
    def names(self) -> str:
        """Loads for a reader: ``2 x dryer, irons``."""
        return ", ".join(_counted(count, load) for load, count in self.loads)


def shares(judged: JudgedPlan) -> tuple[Share, ...]:
    """Return what departments have plugged in, department by department and outlet by outlet."""
    setups: dict[tuple[str, str, Loads], list[str]] = defaultdict(list)
    for setup in judged.by_setup:
        for (department, point_id), loads in _plugged(judged, setup).items():
            setups[department, point_id, loads].append(setup)
    found = [_share(judged, *key, when) for key, when in setups.items()]
    return tuple(sorted(found, key=lambda share: (share.department, point_name(share.point))))


def department_table(judged: JudgedPlan) -> Table:
    """Return the department sheets: what is plugged in, what is wired or off, slip by slip."""
    rows = [*(_slip(judged, share) for share in shares(judged)), *_without_outlet(judged)]
    note = "One slip each. Amps are of all that is allowed there together."
    ordered = tuple(sorted(rows, key=lambda line: line[0]))
    return Table("department-sheets", "Department sheets", COLUMNS, ordered, note)


def _plugged(judged: JudgedPlan, setup: str) -> dict[tuple[str, str], Loads]:
    """Return the loads of one set-up by department and point."""
    units: dict[tuple[str, str], Counter[str]] = defaultdict(Counter)
    for p in judged.by_setup[setup]:
        stated = judged.facts.job.departments.get(p.load)
        if stated is not None:
            units[stated.by or "", p.point][p.load] += 1
    order = list(judged.facts.loads)
    return {
        key: tuple(sorted(count.items(), key=lambda item: order.index(item[0])))
        for key, count in units.items()
    }


def _share(
    judged: JudgedPlan, department: str, point_id: str, loads: Loads, setups: list[str]
) -> Share:
    facts = judged.facts
    there = [p for p in judged.by_setup[setups[0]] if p.point == point_id]
    mine = {load for load, _ in loads}
    return Share(
        department,
        facts.points[point_id],
        loads,
        tuple(setups),
        sum(judged.unit_ma(p) for p in there if p.load in mine),
        any(facts.loads[load].is_heat for load in mine),
    )


def _slip(judged: JudgedPlan, share: Share) -> Row:
    circuits = circuits_of(share.point)
    allowed = ", ".join(
        _counted(count, judged.facts.job.departments[load].what or load)
        for load, count in share.loads
    )
    return (
        share.department,
        share.names,
        room_name(judged.facts.job, share.point.room),
        point_name(share.point),
        row(circuits, "or") if len(circuits) <= _SHOWN_CIRCUITS else "not known",
        share.amps,
        allowed,
        _ALONE if share.is_heat else _NO_HEAT,
        ", ".join(_timed(judged, setup) for setup in share.setups),
    )


def _without_outlet(judged: JudgedPlan) -> Iterator[Row]:
    """Yield what is wired, what has no outlet at all, and what must be off in some set-ups."""
    plugged = {p.load for p in judged.known}
    for load_id, load in judged.facts.job.departments.items():
        off = [setup for setup in judged.by_setup if (setup, load_id) in judged.switched_off]
        if off:
            when = ", ".join(_timed(judged, setup) for setup in off)
            yield _line(judged, load_id, load, "off", "must be off", when)
        if load.circuit:
            yield _line(judged, load_id, load, load.circuit, "", "")
        elif load_id not in plugged and not off:
            yield _line(judged, load_id, load, "nowhere in this plan", "must not be plugged in", "")


def _line(judged: JudgedPlan, load_id: str, load: Load, where: str, barred: str, when: str) -> Row:
    facts = judged.facts.loads[load_id]
    amps = "0.0" if barred else shown_amps(facts.count * facts.unit_ma[1] / MILLI)
    room = room_name(judged.facts.job, load.room) or load.place or ""
    what = load.what or load_id
    return (load.by or "", load_id, room, where, load.circuit or "", amps, what, barred, when)


def _counted(count: int, name: str) -> str:
    return name if count == 1 else f"{count} x {name}"


def _timed(judged: JudgedPlan, setup_id: str) -> str:
    """Return a set-up with its times, which is what another department goes by."""
    setup = judged.facts.job.setup(setup_id)
    name = setup_name(setup_id)
    return f"{name} {setup.from_} to {setup.to}" if setup.from_ and setup.to else name
