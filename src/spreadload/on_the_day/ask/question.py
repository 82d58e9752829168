"""Reading “may I plug this in there, from now until when?”, with every fault in one pass.

Imports nothing of the solver.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches
from math import isfinite

from spreadload.derived.facts import Facts
from spreadload.errors import Fault, InputError
from spreadload.job.base import MAX_AMPS, MAX_WATTS, clock_minutes
from spreadload.job.job import Job
from spreadload.job.kit import Draw, Load

ANYWHERE = "anywhere"
_AMOUNT = re.compile(
    r"^\s*(?P<number>[+-]?[\d.,]+(?:e[+-]?\d+)?)\s*(?P<unit>[a-z]*)\s*$", re.IGNORECASE
)
_TIME = re.compile(r"^([01]?\d|2[0-4]):[0-5]\d$")
_UNITS = {"": 1.0, "a": 1.0, "amp": 1.0, "amps": 1.0, "ma": 0.001, "w": 1.0, "kw": 1000.0}
_DAY_MIN = 24 * 60
_SHOWN = 12


@dataclass(frozen=True)
class Question:
    """What somebody wants to plug in.

    Attributes:
        words: The load in the asker's words.
        load: The load itself, bound to no place.
        where: Outlet, room or “anywhere”, as asked.
        points: Points that would be what was asked for.
        setups: Set-ups during which it would be on.
        is_one_more: Whether it is a load of the job that is on by then already.
    """

    words: str
    load: Load
    where: str
    points: tuple[str, ...]
    setups: tuple[str, ...]
    is_one_more: bool = False


def read_question(
    facts: Facts,
    what: str,
    where: str = ANYWHERE,
    *,
    start: str | None = None,
    until: str | None = None,
    is_intermittent: bool = False,
) -> Question:
    """Return a question put in words.

    Args:
        facts: The job, worked out.
        what: Amps such as ``5A``, watts such as ``1200W``, or the id of a head or load.
        where: Outlet, point behind a box, room, or ``anywhere``.
        start: A time or a set-up; the whole day when neither end is given.
        until: A time or a set-up, that set-up included.
        is_intermittent: Whether it runs for minutes only.

    Raises:
        InputError: Everything wrong with the question.
    """
    faults: list[Fault] = []
    load = _load(facts.job, what, faults, is_intermittent=is_intermittent)
    points = _points(facts, where, faults)
    setups = _setups(facts.job, start, until, faults)
    if faults or load is None:
        raise InputError(faults)
    on = {demand.load for setup in setups for demand in facts.demands[setup]}
    return Question(what.strip(), load, where, points, setups, what.strip() in on)


def _load(job: Job, what: str, faults: list[Fault], *, is_intermittent: bool) -> Load | None:
    known: dict[str, Draw] = {**job.heads, **job.stock, **job.departments, **job.house}
    name = what.strip()
    if name in known:
        return _unbound(known[name], name, is_intermittent=is_intermittent)
    match = _AMOUNT.match(what)
    unit = match["unit"].lower() if match else ""
    if match is None or unit not in _UNITS:
        remedy = _meant(name, known) or "say amps (5A), watts (1200W), or the id of a load"
        faults.append(
            Fault("", 0, "WHAT", "neither amps, watts nor a load of the job", name, "", remedy)
        )
        return None
    return _of_amount(name, match["number"], unit, faults, is_intermittent=is_intermittent)


def _of_amount(
    name: str, number: str, unit: str, faults: list[Fault], *, is_intermittent: bool
) -> Load | None:
    try:
        amount = float(number.replace(",", ".")) * _UNITS[unit]
    except ValueError:
        faults.append(Fault("", 0, "WHAT", "not a number", name, "", "write 5A or 1200W"))
        return None
    is_watts = unit in ("w", "kw")
    most = MAX_WATTS if is_watts else MAX_AMPS
    if not (isfinite(amount) and 0 < amount <= most):
        limit = f"more than 0, at most {most:.12g} {'W' if is_watts else 'A'}"
        faults.append(
            Fault("", 0, "WHAT", "nothing can draw that much or that little", name, limit)
        )
        return None
    if is_watts:
        return Load(what=name, plate_w=amount, power_factor=1.0, intermittent=is_intermittent)
    return Load(what=name, measured_a=amount, power_factor=1.0, intermittent=is_intermittent)


def _unbound(stated: Draw, name: str, *, is_intermittent: bool) -> Load:
    """Return one unit of a load of the job, free to be plugged in anywhere."""
    draw = {field: getattr(stated, field) for field in Draw.model_fields}
    brief = is_intermittent or (isinstance(stated, Load) and stated.intermittent)
    heat = stated.heat if isinstance(stated, Load) else None
    draw |= {"count": 1, "what": stated.what or name}
    return Load(**draw, intermittent=brief, heat=heat)


def _points(facts: Facts, where: str, faults: list[Fault]) -> tuple[str, ...]:
    name = where.strip()
    if name.casefold() == ANYWHERE:
        return tuple(facts.points)
    if name in facts.points:
        outlet = facts.points[name]
        same = (p.id for p in facts.points.values() if p.outlet == name)
        return (name,) if outlet.box is not None else tuple(same)
    if name in facts.job.rooms:
        found = tuple(p.id for p in facts.points.values() if p.room == name)
        if not found:
            faults.append(Fault("", 0, "WHERE", "no outlet is known in this room", name))
        return found
    known = (*facts.job.outlets, *facts.job.rooms, ANYWHERE)
    remedy = _meant(name, known) or f"the job has {', '.join(known[:_SHOWN])}"
    faults.append(Fault("", 0, "WHERE", "no such outlet or room in the job", name, "", remedy))
    return ()


def _setups(job: Job, start: str | None, until: str | None, faults: list[Fault]) -> tuple[str, ...]:
    ids = [setup.id for setup in job.setups]
    before = len(faults)
    first = _moment(job, "--from", start, faults)
    last = _moment(job, "--until", until, faults)
    if len(faults) > before:
        return ()
    if isinstance(first, int) or isinstance(last, int):
        return _by_clock(job, (start, first), (until, last), faults)
    low = ids.index(first) if first is not None else 0
    high = ids.index(last) if last is not None else len(ids) - 1
    if high < low:
        faults.append(
            Fault("", 0, "--until", f"{until} comes before {start}", str(until), "", "swap the two")
        )
    return tuple(ids[low : high + 1])


def _moment(job: Job, key: str, text: str | None, faults: list[Fault]) -> int | str | None:
    """Return minutes after midnight, a set-up id, or None when nothing is said."""
    if text is None:
        return None
    ids = [setup.id for setup in job.setups]
    if text in ids:
        return text
    if _TIME.match(text) and clock_minutes(text) <= _DAY_MIN:
        return clock_minutes(text)
    remedy = _meant(text, ids) or f"a time such as 14:30, or one of {', '.join(ids[:_SHOWN])}"
    faults.append(Fault("", 0, key, "neither a time nor a set-up of the job", text, "", remedy))
    return None


def _by_clock(
    job: Job,
    first: tuple[str | None, int | str | None],
    last: tuple[str | None, int | str | None],
    faults: list[Fault],
) -> tuple[str, ...]:
    untimed = [s.id for s in job.setups if s.from_ is None or s.to is None]
    if untimed:
        problem = f"set-up {untimed[0]} has no times"
        faults.append(
            Fault("", 0, "--from", problem, str(first[0] or last[0]), "", "name set-ups instead")
        )
        return ()
    windows = _windows(job)
    opens = min(start for start, _ in windows.values())
    closes = max(end for _, end in windows.values())
    low = _minutes(windows, first[1], opens, is_end=False)
    high = _minutes(windows, last[1], closes, is_end=True)
    found = tuple(s for s, (a, b) in windows.items() if a < high and low < b)
    if not found or high <= low:
        faults.append(_no_time(job, (first[0], low >= closes), (last[0], high <= opens)))
    return found


def _no_time(job: Job, first: tuple[str | None, bool], last: tuple[str | None, bool]) -> Fault:
    """Return what is wrong with a window that no set-up is in."""
    day = f"set-ups run from {job.setups[0].from_} to {job.setups[-1].to}"
    (start, is_past), (until, is_early) = first, last
    if is_past and start is not None:
        return Fault("", 0, "--from", "the day is over by then", start, day)
    if is_early and until is not None:
        return Fault("", 0, "--until", "the day has not begun by then", until, day)
    if start is not None and until is not None:
        return Fault("", 0, "--until", f"no set-up is on between {start} and {until}", until, day)
    return Fault("", 0, "--from", "no set-up is on then", str(start or until), day)


def _windows(job: Job) -> dict[str, tuple[int, int]]:
    """Return the window of every set-up in minutes; what follows midnight counts on."""
    found: dict[str, tuple[int, int]] = {}
    now = 0
    for setup in job.setups:
        start = _not_before(now, clock_minutes(setup.from_ or "0:00"))
        now = _not_before(start + 1, clock_minutes(setup.to or "24:00"))
        found[setup.id] = (start, now)
    return found


def _not_before(earliest: int, minutes: int) -> int:
    while minutes < earliest:
        minutes += _DAY_MIN
    return minutes


def _minutes(
    windows: dict[str, tuple[int, int]], moment: int | str | None, default: int, *, is_end: bool
) -> int:
    if isinstance(moment, str):
        return windows[moment][1 if is_end else 0]
    if moment is None:
        return default
    ends_next_day = max(end for _, end in windows.values()) > _DAY_MIN
    opens = min(start for start, _ in windows.values())
    return moment + _DAY_MIN if ends_next_day and moment < opens else moment


def _meant(name: str, known: Iterable[str]) -> str:
    plain = {other.casefold(): other for other in known}
    near = get_close_matches(name.casefold(), plain, 1, 0.6)
    return f"did you mean {plain[near[0]]}?" if near else ""
