"""What the outlets of a house ask: sockets, plugs, what is off limits, who belongs where.

Nothing here solves.
"""

from collections.abc import Collection, Iterator
from functools import partial
from typing import TYPE_CHECKING

from spreadload import practice
from spreadload.changes.edits import set_free
from spreadload.changes.plugs import with_plug_taken
from spreadload.check.words import cap_amps
from spreadload.derived.facts import Facts
from spreadload.derived.points import sockets_of
from spreadload.job.base import MAX_AMPS, MAX_COUNT
from spreadload.job.job import Job
from spreadload.job.red_flags import RedFlag
from spreadload.job.site import Permission
from spreadload.solver.why_not.requirement import (
    Requirement,
    Sort,
    each_changed,
    group_of,
    one_changed,
)
from spreadload.words import row

if TYPE_CHECKING:
    from spreadload.derived.records import LoadFacts


def outlet_requirements(facts: Facts, setup: str) -> Iterator[Requirement]:
    """Yield what sockets, plates and plugs ask."""
    job = facts.job
    sockets = sum(sockets_of(job, outlet) for outlet in job.outlets.values())
    boards = ", ".join(f"{board.count} x {board.name}" for board in facts.boards) or "none"
    units = sum(d.count for d in facts.demands[setup] if d.circuit is None)
    yield Requirement(
        Sort.SOCKETS,
        f"{sockets} sockets on {len(job.outlets)} outlets, power boards on the van: {boards}",
        ("outlets",),
        partial(_any_socket, max(units, 1)),
    )
    yield Requirement(
        Sort.RATING,
        _rating_in_words(facts),
        ("outlets",),
        partial(each_changed, "outlets", lambda _: {"socket_a": MAX_AMPS, "plate_a": MAX_AMPS}),
    )
    ordinary = practice.region(job.region).ordinary_plug
    for load_id in sorted({d.load for d in facts.demands[setup] if d.circuit is None}):
        load = facts.loads[load_id]
        too_small = load.unit_ma[1] > load.plug_ma
        refused = _refused_at(facts, load)
        enters = [_takes(point.plug, load.plug) for point in facts.points.values()]
        nowhere, is_odd = not any(enters), load.plug != ordinary and not all(enters)
        if is_odd or too_small or refused or nowhere:
            group = group_of(job, load_id)
            words = f"{load_id} {'needs' if load.plug_is_assumed else 'has'} the plug {load.plug}"
            if too_small:
                words += f", which carries {cap_amps(load.plug_ma)}"
            elif nowhere:
                words += ", and no outlet here takes it"
            elif refused:
                words += f", which does not enter {row(refused)}"
            yield Requirement(
                Sort.PLUG,
                words,
                (group, load_id, "plug"),
                partial(with_plug_taken, group=group, load=load_id, unit_ma=load.unit_ma[1]),
            )


def _rating_in_words(facts: Facts) -> str:
    """Return what sockets carry, and plates where that is less than all their sockets together."""
    points = facts.points.values()
    carries = _least_and_most([point.socket_ma for point in points])
    share = practice.region(facts.job.region).socket_load_fraction
    if share is not None:
        return f"what one socket may carry here, {share.value * 100:g} % of its rating: {carries}"
    less = [p.plate_ma for p in points if p.plate_ma < p.sockets * p.socket_ma]
    plates = f" (all of a plate: {_least_and_most(less)})" if less else ""
    return f"what a socket may carry: {carries}{plates}"


def _least_and_most(sizes_ma: Collection[int]) -> str:
    """Return sizes [mA] in words, of unlike ones the least and most."""
    ends = (min(sizes_ma, default=0), max(sizes_ma, default=0))
    return " to ".join(cap_amps(size) for size in dict.fromkeys(ends))


def permission_requirements(facts: Facts, setup: str) -> Iterator[Requirement]:
    """Yield what is off limits, flagged, or bound to a place."""
    job = facts.job
    allowed = {"use": Permission.ALLOWED}
    for name, circuit in job.circuits.items():
        if circuit.use is Permission.OFF_LIMITS and facts.circuits[name].can_feed_outlets:
            edit = partial(one_changed, "circuits", name, allowed)
            words = f"circuit {name} is off limits"
            yield Requirement(Sort.OFF_LIMITS, words, ("circuits", name, "use"), edit)
    for name, outlet in job.outlets.items():
        if outlet.use is Permission.OFF_LIMITS:
            edit = partial(one_changed, "outlets", name, allowed)
            words = f"outlet {name} is off limits"
            yield Requirement(Sort.OFF_LIMITS, words, ("outlets", name, "use"), edit)
    for index, flag in enumerate(job.red_flags):
        if isinstance(flag, RedFlag) and flag.is_open and (flag.outlet or flag.circuit):
            edit = partial(_unflagged, flag)
            yield Requirement(Sort.OFF_LIMITS, f"red flag: {flag}", ("red_flags", index), edit)
    on = {d.load for d in facts.demands[setup] if d.circuit is None}
    loads = job.loads
    for name in sorted(on & set(loads)):
        load = loads[name]
        if load.outlet or load.room:
            where = f"at {load.outlet}" if load.outlet else f"in {load.room}"
            key = "outlet" if load.outlet else "room"
            yield Requirement(
                Sort.FIXED,
                f"{name} is {where}",
                (group_of(job, name), name, key),
                partial(set_free, load=name),
            )


def _unflagged(flag: RedFlag, job: Job) -> Job:
    return job.model_copy(update={"red_flags": tuple(f for f in job.red_flags if f != flag)})


def _any_socket(units: int, job: Job) -> Job:
    """Return the job with a socket for every unit.

    With leads for everything besides, power boards add nothing but choices to search through.
    """
    has_any_lead = all(lead.count == MAX_COUNT for lead in job.leads)
    outlets = {n: o.model_copy(update={"sockets": units}) for n, o in job.outlets.items()}
    boards = () if has_any_lead else job.power_boards
    return job.model_copy(update={"outlets": outlets, "power_boards": boards})


def _refused_at(facts: Facts, load: "LoadFacts") -> tuple[str, ...]:
    """Return the outlets a load is bound to whose sockets its plug does not enter."""
    stated = facts.load_stated(load.id)
    if stated is None:
        return ()
    own = [
        point
        for point in facts.points.values()
        if point.box is None
        and (point.outlet == stated.outlet or (stated.room and point.room == stated.room))
    ]
    return tuple(point.id for point in own if not _takes(point.plug, load.plug))


def _takes(outlet_plug: str, plug: str) -> bool:
    return practice.plug(plug).enters_outlet(outlet_plug)
