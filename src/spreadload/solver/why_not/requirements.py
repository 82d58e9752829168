"""Every stated limit and wish of a set-up under a name, each with the job that goes without it.

Going without a requirement is an edit of the job, so that any solver and any judge can tell what
the rest of them allow. Nothing here solves.
"""

from collections.abc import Iterator
from functools import partial
from typing import TYPE_CHECKING, Any

from spreadload import practice
from spreadload.changes.edits import without_heads, without_load
from spreadload.check.words import amps, cap_amps, circuit_name
from spreadload.derived.contract import Counted
from spreadload.derived.facts import Facts
from spreadload.derived.reach import outlet_spot, spot
from spreadload.job.base import MAX_AMPS, MAX_COUNT, MAX_METRES, MAX_WATTS
from spreadload.job.job import Job
from spreadload.job.kit import Lead, Policy
from spreadload.solver.why_not.outlet_requirements import (
    outlet_requirements,
    permission_requirements,
)
from spreadload.solver.why_not.requirement import (
    Requirement,
    Sort,
    each_changed,
    group_of,
    one_changed,
)
from spreadload.units import MILLI, shown_capacity_amps
from spreadload.words import natural

if TYPE_CHECKING:
    from spreadload.derived.asked import Demand
    from spreadload.derived.records import CircuitFacts

_MAX_RCD_MA = 1000.0
_THICK_MM2 = 120.0
_SPARE_M = 1.0


def requirements(facts: Facts, setup: str) -> tuple[Requirement, ...]:
    """Return every requirement of one set-up, those to be given up first coming first."""
    found = [
        *_on_the_van(facts),
        *outlet_requirements(facts, setup),
        *permission_requirements(facts, setup),
        *_board(facts, setup),
        *_wishes(facts, setup),
    ]
    return tuple(sorted(found, key=lambda r: (r.sort, r.rank, r.words)))


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
            partial(each_changed, "boxes", lambda _: {"count": MAX_COUNT}),
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
        longest = max(facts.leads, key=lambda lead: lead.length_m)
        length = longest.name.removesuffix(f" {longest.size}")
        each = dict.fromkeys(f"{x.size} for {cap_amps(x.rating_ma)}" for x in facts.leads)
        return f"no lead but the usual ones, as none are listed: up to {length}, {', '.join(each)}"
    # What a drum carries that stays wound its size does not say.
    kinds = (
        f"{lead.count} x {lead.name}"
        + (f" ({cap_amps(lead.rating_ma)})" if facts.job.leads[lead.index].wound else "")
        for lead in facts.leads
    )
    return f"only the leads on the van, one to a head: {', '.join(kinds) or 'none'}"


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


def _board(facts: Facts, setup: str) -> Iterator[Requirement]:
    yield from _rcds(facts)
    for name, feed in facts.feeds.items():
        yield Requirement(
            Sort.FEED,
            f"the feed of sub-board {facts.job.sub_boards[name].label or name} gives "
            f"{cap_amps(feed.cap_ma)}",
            ("sub_boards", name, "feed_a"),
            partial(one_changed, "sub_boards", name, {"feed_a": MAX_AMPS}),
        )
    yield from _supply(facts)
    yield from _circuits(facts, setup)


def _rcds(facts: Facts) -> Iterator[Requirement]:
    """Yield what the RCDs of the board allow; those in a box are the box's own."""
    for name, rcd in facts.rcds.items():
        if name not in facts.job.rcds:
            continue
        yield Requirement(
            Sort.LEAKAGE,
            f"RCD {name} may trip above {shown_capacity_amps(rcd.may_trip_ua / MILLI)} mA",
            ("rcds", name, "trips_at_ma"),
            partial(one_changed, "rcds", name, {"trips_at_ma": _MAX_RCD_MA}),
        )
        if rcd.rating_ma is not None:
            yield Requirement(
                Sort.RCD_AMPS,
                f"RCD {name} is rated {cap_amps(rcd.rating_ma)}",
                ("rcds", name, "rating_a"),
                partial(one_changed, "rcds", name, {"rating_a": None}),
            )


def _supply(facts: Facts) -> Iterator[Requirement]:
    """Yield what the contract allows, and what the fuse or main breaker gives."""
    supply = facts.supply
    any_amps = partial(_supply_changed, {"limit_a": MAX_AMPS, "main_switch": None})
    contract = supply.contract
    if contract is not None:
        is_watts = contract.counted is Counted.WATTS
        yield Requirement(
            Sort.CONTRACT,
            f"the supply contract allows {contract.cap_shown}",
            ("supply", contract.key),
            partial(_supply_changed, {"contract_w": MAX_WATTS}) if is_watts else any_amps,
        )
    if contract is None or contract.counted is Counted.WATTS:
        # Both legs together are the harder of the two, and one figure states both.
        per = f" on each {supply.line_word}" if len(supply.phases) > 1 else ""
        yield Requirement(
            Sort.SUPPLY,
            f"the supply gives {cap_amps(supply.cap_ma)}{per} ({supply.source})",
            ("supply", "limit_a"),
            any_amps,
        )


def _circuits(facts: Facts, setup: str) -> Iterator[Requirement]:
    """Yield what each way carries that plugs may be on, or something is wired to."""
    for name, circuit in facts.circuits.items():
        if circuit.can_feed_outlets or any(d.circuit == name for d in facts.demands[setup]):
            key = "fuse_a" if facts.job.circuits[name].breaker_a is None else "breaker_a"
            yield Requirement(
                Sort.CIRCUIT,
                f"circuit {circuit_name(facts, name)} carries at most {cap_amps(circuit.cap_ma)}"
                f"{_rewired(circuit)}",
                ("circuits", name, key),
                partial(
                    one_changed, "circuits", name, {"breaker_a": MAX_AMPS, "rewireable": False}
                ),
                rank=circuit.cap_ma,
            )


def _rewired(circuit: "CircuitFacts") -> str:
    """Return why a fuse is planned with less than is written on it."""
    if circuit.cap_ma == circuit.breaker_ma:
        return ""
    factor = practice.rewireable_factor().value
    return f", {factor:g} of its {cap_amps(circuit.breaker_ma)} rewireable fuse"


def _supply_changed(changes: dict[str, Any], job: Job) -> Job:
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
        longer = f", counted as {amps(counted_ma)}" if counted_ma > unit_ma else ""
        what = f" ({load.what})" if load.what != load_id else ""
        each_phase = f" a {facts.supply.line_word}" if poles > 1 else ""
        amount = f"{several}{amps(unit_ma)}{each_phase}{longer}"
        rank = count * counted_ma
        if load.is_head:
            places = ", ".join(sorted((d.place or "" for d in demands), key=natural))
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
        return (group_of(facts.job, load_id), load_id, key)
    return ("setups", index, "on", load_id)
