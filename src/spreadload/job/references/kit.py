"""Heads, loads, leads, power boards and boxes. Imports only its neighbours."""

from collections.abc import Iterator

from spreadload.job.base import DAY_MIN, clock_minutes
from spreadload.job.job import Job
from spreadload.job.kit import Head, Lead, Load
from spreadload.job.references.draws import check_draw
from spreadload.job.references.finding import Finding, Known, Path, spots, unknown, unknown_plug

# The thinnest conductor of flexible cords in use, IEC 60228 table 3 starts at 0.5 mm².
_LEAST_MM2 = 0.5


def check_kit(job: Job, known: Known) -> Iterator[Finding]:
    """Yield what cannot be meant about everything that is plugged in or carried."""
    for group, heads in (("heads", job.heads), ("stock", job.stock)):
        for head_id, head in heads.items():
            yield from _head(job, known, (group, head_id), head)
    for group, loads in (("departments", job.departments), ("house", job.house)):
        for load_id, load in loads.items():
            yield from _load(job, known, (group, load_id), load)
    for index, lead in enumerate(job.leads):
        yield from _lead(job, known, ("leads", index), lead)
    for index, board in enumerate(job.power_boards):
        yield from _plug(job, known, ("power_boards", index, "plug"), board.plug)
    for box_id, box in job.boxes.items():
        yield from _plug(job, known, ("boxes", box_id, "inlet"), box.inlet)
        yield from _plug(job, known, ("boxes", box_id, "outlet"), box.outlet)


def _plug(job: Job, known: Known, path: Path, plug: str | None) -> Iterator[Finding]:
    if plug is not None:
        yield from unknown_plug(path, job.region, plug, known)


def _head(job: Job, known: Known, path: Path, head: Head) -> Iterator[Finding]:
    yield from check_draw(path, head)
    yield from _plug(job, known, (*path, "plug"), head.plug)
    listed = dict.fromkeys(job.heads, "heads")
    for index, swap in enumerate(head.swaps):
        yield from unknown((*path, "swaps", index), "head in stock", swap, job.stock, listed)


def _load(job: Job, known: Known, path: Path, load: Load) -> Iterator[Finding]:
    yield from check_draw(path, load)
    yield from _plug(job, known, (*path, "plug"), load.plug)
    homes = {
        key: name
        for key in ("outlet", "circuit", "room", "place")
        if (name := getattr(load, key)) is not None
    }
    if len(homes) > 1:
        yield Finding(
            path,
            f"stands in more than one way: {', '.join(homes)}",
            limit="one of outlet, circuit, room, place",
            remedy="keep the most exact one",
        )
    yield from _homes(job, path, homes)
    yield from _starts(path, load)
    for step, setup in enumerate(load.may_move_to):
        where = (*path, "may_move_to", step)
        yield from unknown(where, "set-up", setup, {s.id for s in job.setups})
    if load.may_move_to and load.circuit is not None:
        where = (*path, "may_move_to")
        remedy = "what is wired in is switched, not moved: say policy: may be off"
        yield Finding(where, "it is wired to its circuit", load.circuit, remedy=remedy)


def _homes(job: Job, path: Path, homes: dict[str, str]) -> Iterator[Finding]:
    everywhere = spots(job)
    known = {
        "outlet": job.outlets.keys(),
        "circuit": job.circuits.keys(),
        "room": job.rooms.keys(),
        "place": everywhere.keys(),
    }
    for key, name in homes.items():
        yield from unknown((*path, key), key, name, known[key], everywhere)
    room = homes.get("room")
    if room in job.rooms and all(outlet.room != room for outlet in job.outlets.values()):
        yield Finding(
            (*path, "room"),
            "this room has no outlet to plug it into",
            str(room),
            remedy="say where it stands with place, or add the outlet",
            among=("outlets",),
            leans_on=tuple(("outlets", name, "room") for name in job.outlets),
        )


def _starts(path: Path, load: Load) -> Iterator[Finding]:
    for key, time in (("starts_from", load.starts_from), ("starts_to", load.starts_to)):
        yield from late(path, key, time)
    if load.starts_to is None:
        return
    where = (*path, "starts_to")
    if load.starts_from is None:
        remedy = "add starts_from, the time it may come on"
        yield Finding(where, "an end without a start", load.starts_to, remedy=remedy)
    elif clock_minutes(load.starts_to) == clock_minutes(load.starts_from):
        remedy = "make it end later, or leave starts_to away"
        yield Finding(where, "ends as it starts", load.starts_to, remedy=remedy)


def late(path: Path, key: str, time: str | None) -> Iterator[Finding]:
    """Yield a finding for a time after midnight's end of the day."""
    if time is not None and clock_minutes(time) > DAY_MIN:
        remedy = "write times after midnight as 00:30, 01:00 and so on"
        yield Finding((*path, key), "a day has 24 hours", time, "00:00 to 24:00", remedy)


def _lead(job: Job, known: Known, path: Path, lead: Lead) -> Iterator[Finding]:
    if lead.length_m is None and lead.length_ft is None:
        yield Finding(path, "a lead without a length", remedy="add length_m or length_ft")
    elif not (lead.length_m or lead.length_ft) and (lead.socket or lead.plug) == lead.plug:
        remedy = "give its length; only an adaptor with two kinds of end may have none"
        yield Finding(path, "a lead of no length", "0", remedy=remedy)
    if lead.size_mm2 is not None and lead.size_awg is not None:
        yield Finding(path, "a size in mm² and in AWG", remedy="keep one of the two")
    yield from _size(known, path, lead)
    if lead.layers is not None and not lead.wound:
        remedy = "add wound: true, or remove layers"
        yield Finding((*path, "layers"), "only a wound lead lies in layers", remedy=remedy)
    yield from _plug(job, known, (*path, "plug"), lead.plug)
    yield from _plug(job, known, (*path, "socket"), lead.socket)


def _size(known: Known, path: Path, lead: Lead) -> Iterator[Finding]:
    if lead.size_mm2 is not None and lead.size_mm2 < _LEAST_MM2:
        yield Finding(
            (*path, "size_mm2"),
            "too thin for a lead",
            f"{lead.size_mm2:g}",
            f"at least {_LEAST_MM2:g} mm²",
            "read the marking on the cable, such as 3G1.5",
        )
    if lead.size_awg is None or known.gauges is None or lead.size_awg in known.gauges:
        return
    listed = ", ".join(str(gauge) for gauge in sorted(known.gauges))
    remedy = "read the marking on the cable, such as 12/3"
    yield Finding((*path, "size_awg"), "no such gauge of lead", f"{lead.size_awg}", listed, remedy)
