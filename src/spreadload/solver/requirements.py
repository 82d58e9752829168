"""Every stated limit and wish of a set-up under a name, each with the job that goes without it.

Going without a requirement is an edit of the job, so that any solver and any judge can tell what
the rest of them allow. Nothing here solves.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from enum import IntEnum
from functools import partial
from typing import TYPE_CHECKING, Any

from spreadload import practice
from spreadload.changes import Edit
from spreadload.changes.edits import set_free, without_heads, without_load
from spreadload.changes.plugs import with_plug_taken
from spreadload.derived.facts import Facts
from spreadload.derived.points import sockets_of
from spreadload.derived.reach import outlet_spot, spot
from spreadload.job.base import MAX_AMPS, MAX_COUNT, MAX_METRES, MAX_WATTS
from spreadload.job.job import Job
from spreadload.job.kit import Lead, Load, Policy
from spreadload.job.red_flags import RedFlag
from spreadload.job.site import Permission
from spreadload.units import MILLI, shown_amps, shown_capacity_amps

if TYPE_CHECKING:
    from spreadload.derived.asked import Demand
    from spreadload.derived.records import LoadFacts

_MAX_RCD_MA = 1000.0
_THICK_MM2 = 120.0
_SPARE_M = 1.0


class Sort(IntEnum):
    """Sorts of requirement, those that are hardest to explain first: they are given up first."""

    LEADS = 0
    SOCKETS = 1
    BOXES = 2
    SINGLE_LOAD = 3
    LEAD_DROP = 4
    PLUG = 6
    RATING = 7
    OFF_LIMITS = 8
    FIXED = 9
    RCD_AMPS = 10
    LEAKAGE = 11
    FEED = 12
    CONTRACT = 13
    SUPPLY = 14
    LOAD = 15
    HEAD = 16
    CIRCUIT = 17


@dataclass(frozen=True)
class Requirement:
    """One stated limit or wish.

    Attributes:
        words: In crew words, with its amount.
        path: Where the job states it.
        without: Edit that makes a job go without it.
        rank: Order in which those of one sort are given up, smallest first.
        name: Id of the load wished for.
    """

    sort: Sort
    words: str
    path: tuple[str | int, ...]
    without: Edit
    rank: int = 0
    name: str = ""

    @property
    def is_wish(self) -> bool:
        """Whether it is something asked for, not a limit."""
        return self.sort in (Sort.LOAD, Sort.HEAD)


def requirements(facts: Facts, setup: str) -> tuple[Requirement, ...]:
    """Return every requirement of one set-up, those to be given up first coming first."""
    found = [
        *_on_the_van(facts),
        *_outlets(facts, setup),
        *_permissions(facts, setup),
        *_board(facts, setup),
        *_wishes(facts, setup),
    ]
    return tuple(sorted(found, key=lambda r: (r.sort, r.rank, r.words)))


def _amps(current_ma: int) -> str:
    return f"{shown_amps(current_ma / MILLI)} A"


def _cap(current_ma: int) -> str:
    return f"{shown_capacity_amps(current_ma / MILLI)} A"


def _each(group: str, changes: Callable[[Any], dict[str, Any]], job: Job) -> Job:
    entries = {n: e.model_copy(update=changes(e)) for n, e in getattr(job, group).items()}
    return job.model_copy(update={group: entries})


def _one(group: str, name: str, changes: dict[str, Any], job: Job) -> Job:
    entries = getattr(job, group)
    changed = entries | {name: entries[name].model_copy(update=changes)}
    return job.model_copy(update={group: changed})


def _unflagged(flag: RedFlag, job: Job) -> Job:
    return job.model_copy(update={"red_flags": tuple(f for f in job.red_flags if f != flag)})


def _rule(changes: dict[str, Any], job: Job) -> Job:
    return job.model_copy(update={"rules": job.rules.model_copy(update=changes)})


def _on_the_van(facts: Facts) -> Iterator[Requirement]:
    job = facts.job
    yield Requirement(Sort.LEADS, _leads_in_words(facts), ("leads",), partial(any_lead, facts))
    if facts.boxes:
        boxes = ", ".join(f"{box.count} x {box.id}" for box in facts.boxes.values())
        yield Requirement(
            Sort.BOXES,
            f"only the distribution boxes on the van: {boxes}",
            ("boxes",),
            partial(_each, "boxes", lambda _: {"count": MAX_COUNT}),
        )
    region = practice.region(job.region)
    if facts.single_load_fraction is not None:
        yield Requirement(
            Sort.SINGLE_LOAD,
            f"one plug takes at most {facts.single_load_fraction * 100:g} % of its breaker",
            ("rules", "single_load_fraction"),
            partial(_rule, {"single_load_fraction": 1.0}),
        )
    limit_v = facts.lead_drop_pct / 100 * facts.supply.planning_v
    yield Requirement(
        Sort.LEAD_DROP,
        f"leads lose at most {facts.lead_drop_pct:g} % of the volts "
        f"({shown_capacity_amps(limit_v)} V of {facts.supply.planning_v:g} V, {region.name})",
        ("rules", "lead_drop_pct"),
        partial(_rule, {"lead_drop_pct": 100.0}),
    )


def _leads_in_words(facts: Facts) -> str:
    if facts.leads_are_assumed:
        longest_m = max(lead.length_m for lead in facts.leads)
        return f"no lead longer than {longest_m:g} m, the longest usual one; none are listed"
    kinds = ", ".join(f"{lead.count} x {lead.name}" for lead in facts.leads) or "none"
    return f"only the leads on the van: {kinds}"


def any_lead(facts: Facts, job: Job) -> Job:
    """Return the job with leads for any distance and any load, for every plug in use."""
    longest_m = max(
        (
            facts.route.length_m(outlet_spot(job, outlet), spot(job, demand.place))
            for asked in facts.demands.values()
            for demand in asked
            if demand.place is not None
            for outlet in job.outlets
        ),
        default=0.0,
    )
    plugs = {practice.region(job.region).ordinary_plug}
    plugs |= {load.plug for load in facts.loads.values()} | {lead.plug for lead in facts.leads}
    plugs |= {board.plug for board in facts.boards}
    length_m = min(longest_m + _SPARE_M, MAX_METRES)
    thick = tuple(
        Lead(length_m=length_m, size_mm2=_THICK_MM2, plug=plug, count=MAX_COUNT)
        for plug in sorted(plugs)
    )
    more = tuple(lead.model_copy(update={"count": MAX_COUNT}) for lead in job.leads)
    return job.model_copy(update={"leads": (*more, *thick)})


def _any_socket(units: int, job: Job) -> Job:
    """Return the job with a socket for every unit.

    With leads for everything besides, power boards add nothing but choices to search through.
    """
    has_any_lead = all(lead.count == MAX_COUNT for lead in job.leads)
    outlets = {n: o.model_copy(update={"sockets": units}) for n, o in job.outlets.items()}
    boards = () if has_any_lead else job.power_boards
    return job.model_copy(update={"outlets": outlets, "power_boards": boards})


def _outlets(facts: Facts, setup: str) -> Iterator[Requirement]:
    job = facts.job
    largest_ma = max((point.socket_ma for point in facts.points.values()), default=0)
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
        f"what a socket may carry, at most {_cap(largest_ma)}",
        ("outlets",),
        partial(_each, "outlets", lambda _: {"socket_a": MAX_AMPS, "plate_a": MAX_AMPS}),
    )
    ordinary = practice.region(job.region).ordinary_plug
    for load_id in sorted({d.load for d in facts.demands[setup] if d.circuit is None}):
        load = facts.loads[load_id]
        too_small = load.unit_ma[1] > load.plug_ma
        refused = _refused_at(facts, load)
        if load.plug != ordinary or too_small or refused:
            group = _group(job, load_id)
            words = f"{load_id} {'needs' if load.plug_is_assumed else 'has'} the plug {load.plug}"
            if too_small:
                words += f", which carries {_cap(load.plug_ma)}"
            elif not any(_takes(point.plug, load.plug) for point in facts.points.values()):
                words += ", and no outlet here takes it"
            elif refused:
                words += f", which does not enter {_listed(refused)}"
            yield Requirement(
                Sort.PLUG,
                words,
                (group, load_id, "plug"),
                partial(with_plug_taken, group=group, load=load_id, unit_ma=load.unit_ma[1]),
            )


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


def _listed(names: tuple[str, ...]) -> str:
    return f"{', '.join(names[:-1])} and {names[-1]}" if len(names) > 1 else names[0]


def _takes(outlet_plug: str, plug: str) -> bool:
    return practice.plug(plug).enters_outlet(outlet_plug)


def _group(job: Job, load_id: str) -> str:
    groups = ("heads", "departments", "house")
    return next(group for group in groups if load_id in getattr(job, group))


def _permissions(facts: Facts, setup: str) -> Iterator[Requirement]:
    job = facts.job
    allowed = {"use": Permission.ALLOWED}
    for name, circuit in job.circuits.items():
        if circuit.use is Permission.OFF_LIMITS and facts.circuits[name].can_feed_outlets:
            edit = partial(_one, "circuits", name, allowed)
            words = f"circuit {name} is off limits"
            yield Requirement(Sort.OFF_LIMITS, words, ("circuits", name, "use"), edit)
    for name, outlet in job.outlets.items():
        if outlet.use is Permission.OFF_LIMITS:
            edit = partial(_one, "outlets", name, allowed)
            words = f"outlet {name} is off limits"
            yield Requirement(Sort.OFF_LIMITS, words, ("outlets", name, "use"), edit)
    for index, flag in enumerate(job.red_flags):
        if isinstance(flag, RedFlag) and flag.is_open and (flag.outlet or flag.circuit):
            edit = partial(_unflagged, flag)
            yield Requirement(Sort.OFF_LIMITS, f"red flag: {flag}", ("red_flags", index), edit)
    on = {d.load for d in facts.demands[setup] if d.circuit is None}
    loads: dict[str, Load] = job.departments | job.house
    for name in sorted(on & set(loads)):
        load = loads[name]
        if load.outlet or load.room:
            where = f"at {load.outlet}" if load.outlet else f"in {load.room}"
            key = "outlet" if load.outlet else "room"
            yield Requirement(
                Sort.FIXED,
                f"{name} is {where}",
                (_group(job, name), name, key),
                partial(set_free, load=name),
            )


def _board(facts: Facts, setup: str) -> Iterator[Requirement]:
    job = facts.job
    for name, rcd in facts.rcds.items():
        if name not in job.rcds:
            continue
        yield Requirement(
            Sort.LEAKAGE,
            f"RCD {name} may trip above {shown_capacity_amps(rcd.may_trip_ua / MILLI)} mA",
            ("rcds", name, "trips_at_ma"),
            partial(_one, "rcds", name, {"trips_at_ma": _MAX_RCD_MA}),
        )
        if rcd.rating_ma is not None:
            yield Requirement(
                Sort.RCD_AMPS,
                f"RCD {name} is rated {_cap(rcd.rating_ma)}",
                ("rcds", name, "rating_a"),
                partial(_one, "rcds", name, {"rating_a": None}),
            )
    for name, feed in facts.feeds.items():
        yield Requirement(
            Sort.FEED,
            f"the feed of sub-board {name} gives {_cap(feed.cap_ma)}",
            ("sub_boards", name, "feed_a"),
            partial(_one, "sub_boards", name, {"feed_a": MAX_AMPS}),
        )
    supply = facts.supply
    if supply.contract_w is not None:
        yield Requirement(
            Sort.CONTRACT,
            f"the supply contract allows {supply.contract_w} W",
            ("supply", "contract_w"),
            partial(_supply, {"contract_w": MAX_WATTS}),
        )
    per = " on each phase" if len(supply.phases) > 1 else ""
    yield Requirement(
        Sort.SUPPLY,
        f"the supply gives {_cap(supply.cap_ma)}{per} ({supply.source})",
        ("supply", "limit_a"),
        partial(_supply, {"limit_a": MAX_AMPS, "main_switch": None}),
    )
    for name, circuit in facts.circuits.items():
        if circuit.can_feed_outlets or any(d.circuit == name for d in facts.demands[setup]):
            label = f" “{circuit.label}”" if circuit.label else ""
            key = "fuse_a" if job.circuits[name].breaker_a is None else "breaker_a"
            yield Requirement(
                Sort.CIRCUIT,
                f"circuit {name}{label} carries at most {_cap(circuit.cap_ma)}",
                ("circuits", name, key),
                partial(_one, "circuits", name, {"breaker_a": MAX_AMPS, "rewireable": False}),
                rank=circuit.cap_ma,
            )


def _supply(changes: dict[str, Any], job: Job) -> Job:
    return job.model_copy(update={"supply": job.supply.model_copy(update=changes)})


def _wishes(facts: Facts, setup: str) -> Iterator[Requirement]:
    index = next(i for i, each in enumerate(facts.job.setups) if each.id == setup)
    by_load: dict[str, list[Demand]] = {}
    for demand in facts.demands[setup]:
        if not demand.may_be_off:
            by_load.setdefault(demand.load, []).append(demand)
    for load_id, demands in by_load.items():
        load = facts.loads[load_id]
        count = sum(d.count for d in demands)
        poles = facts.least_poles(load_id)
        counted_ma = facts.counted_ma(setup, load_id, poles)
        several = f"{count} x " if count > 1 else ""
        unit_ma = facts.unit_ma(load_id, poles)
        longer = f", counted as {_amps(counted_ma)}" if counted_ma > unit_ma else ""
        what = f" ({load.what})" if load.what != load_id else ""
        each_phase = " a phase" if poles > 1 else ""
        amount = f"{several}{_amps(unit_ma)}{each_phase}{longer}"
        rank = count * counted_ma
        if load.is_head:
            places = ", ".join(d.place or "" for d in demands)
            yield Requirement(
                Sort.HEAD,
                f"{load_id}{what} lit at {places}: {amount}",
                ("setups", index, "heads", load_id),
                partial(without_heads, setup=setup, head=load_id),
                rank=rank,
                name=load_id,
            )
        else:
            yield Requirement(
                Sort.LOAD,
                f"{load_id}{what} on: {amount}",
                _where_on(facts, index, load_id),
                partial(without_load, setup=setup, load=load_id),
                rank=rank,
                name=load_id,
            )


def _where_on(facts: Facts, index: int, load_id: str) -> tuple[str | int, ...]:
    stated = facts.load_stated(load_id)
    if load_id not in facts.job.setups[index].on and stated is not None:
        key = "policy" if stated.policy is Policy.MUST_STAY_ON else "starts_by_itself"
        return (_group(facts.job, load_id), load_id, key)
    return ("setups", index, "on", load_id)
