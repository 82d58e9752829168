"""Reading “may I plug this in there, from now until when?”, with every fault in one pass.

Imports nothing of the solver.
"""

import re
from dataclasses import dataclass
from math import isfinite

from spreadload.derived.facts import Facts
from spreadload.errors import Fault, InputError
from spreadload.job.base import MAX_AMPS, MAX_WATTS
from spreadload.job.job import Job
from spreadload.job.kit import Draw, Load
from spreadload.lookalikes import plain_signs
from spreadload.on_the_day.scene.window import setups_between
from spreadload.suggest import suggest

ANYWHERE = "anywhere"
_AMOUNT = re.compile(
    r"^\s*(?P<number>[+-]?[\d.,]+(?:e[+-]?\d+)?)\s*(?P<unit>[a-z]*)\s*$", re.IGNORECASE
)
_UNITS = {"": 1.0, "a": 1.0, "amp": 1.0, "amps": 1.0, "ma": 0.001, "w": 1.0, "kw": 1000.0}
# Nobody asks for thousandths of a watt, and a bare number of thousandths is no amps either.
_NEVER_SO_FINE = frozenset({"w", ""})
_THOUSANDS = re.compile(r"[1-9]\d{0,2}([.,]\d{3})+")
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
        is_stated: Whether it is a load of the job, not just an amount.
    """

    words: str
    load: Load
    where: str
    points: tuple[str, ...]
    setups: tuple[str, ...]
    is_one_more: bool = False
    is_stated: bool = True


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
    setups = setups_between(facts.job, start, until, faults)
    if faults or load is None:
        raise InputError(faults)
    on = {demand.load for setup in setups for demand in facts.demands[setup]}
    name = what.strip()
    is_stated = name in _known(facts.job)
    return Question(name, load, where, points, setups, name in on, is_stated)


def _known(job: Job) -> dict[str, Draw]:
    return {**job.heads, **job.stock, **job.departments, **job.house}


def _load(job: Job, what: str, faults: list[Fault], *, is_intermittent: bool) -> Load | None:
    known = _known(job)
    name = what.strip()
    if name in known:
        return _unbound(known[name], name, is_intermittent=is_intermittent)
    match = _AMOUNT.match(plain_signs(what))
    unit = match["unit"].lower() if match else ""
    if match is None or unit not in _UNITS:
        remedy = suggest(name, known) or "say amps (5A), watts (1200W), or the id of a load"
        faults.append(
            Fault("", 0, "WHAT", "neither amps, watts nor a load of the job", name, "", remedy)
        )
        return None
    if unit in _NEVER_SO_FINE and _THOUSANDS.fullmatch(match["number"]):
        # Read as 1.2 W, a kettle would fit anywhere.
        whole, unit = re.sub("[.,]", "", match["number"]), unit.upper() or "W"
        remedy = f"write {whole}{unit}, or {match['number'].replace(',', '.').rstrip('0')} kW"
        problem = "thousands or thousandths: a point and a comma are read as the decimal mark"
        faults.append(Fault("", 0, "WHAT", problem, name, "", remedy))
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
    load = Load(
        what=name,
        plate_w=amount if is_watts else None,
        measured_a=None if is_watts else amount,
        power_factor=1.0,
        intermittent=is_intermittent,
    )
    # What runs for minutes and is known by its size alone is a kettle, an iron, a dryer.
    return load.model_copy(update={"heat": True}) if is_intermittent else load


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
    remedy = suggest(name, known) or f"the job has {', '.join(known[:_SHOWN])}"
    faults.append(Fault("", 0, "WHERE", "no such outlet or room in the job", name, "", remedy))
    return ()
