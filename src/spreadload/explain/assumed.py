"""What a plan rests on that nobody has proved."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from spreadload.derived.board import read_way
from spreadload.derived.contract import Counted
from spreadload.derived.supply import UNSOURCED
from spreadload.explain.judged import JudgedPlan
from spreadload.explain.names import circuit_name, circuits_of, one_of
from spreadload.explain.unread_volts import unread_volts
from spreadload.job.job import Job
from spreadload.job.kit import Lead
from spreadload.job.site import HowKnown
from spreadload.network.readings import clashes
from spreadload.units import MILLI, shown_amps, shown_capacity_amps
from spreadload.words import row, setup_names


@dataclass(frozen=True)
class Assumption:
    """One thing taken for granted.

    Attributes:
        about: supply, wiring, board, volts, list, amps, leakage, sockets, plug, lead.
        touches: Outlets, loads or circuits of the plan that rest on it.
        text: The assumption in one plain sentence, without a full stop.
        brief: The same in a few words for paper, or "" where it is short anyway.
    """

    about: str
    touches: tuple[str, ...]
    text: str
    brief: str = ""


def assumptions(judged: JudgedPlan) -> tuple[Assumption, ...]:
    """Return everything unproven that the plan uses, what matters most first."""
    return (
        *_supply(judged),
        *_unknown_outlets(judged),
        *_guessed_outlets(judged),
        *_board(judged),
        *_volts(judged),
        *_uncounted(judged.facts.job),
        *_amps(judged),
        *_leakage(judged),
        *_plates(judged),
        *_plugs(judged),
        *_leads(judged),
    )


def _supply(judged: JudgedPlan) -> Iterator[Assumption]:
    supply = judged.facts.supply
    if supply.is_assumed:
        each = f" a {supply.line_word}" if len(supply.phases) > 1 else ""
        limit = shown_capacity_amps(supply.cap_ma / MILLI)
        text = f"main limit {limit} A{each}: {supply.source}; read the service fuse or ask"
        yield Assumption("supply", (), text)
    elif supply.source == UNSOURCED:
        each = f" a {supply.line_word}" if len(supply.phases) > 1 else ""
        limit = shown_capacity_amps(supply.cap_ma / MILLI)
        text = (
            f"main limit {limit} A{each}: stated, not said from where; read the service fuse or ask"
        )
        yield Assumption("supply", (), text)
    for clash in clashes(judged.facts):
        yield Assumption("supply", (), clash.words)
    contract, stated = supply.contract, judged.facts.job.supply
    if contract is not None and contract.counted is Counted.AMPS and stated.limit_counts is None:
        text = (
            f"both legs together held to {shown_capacity_amps(contract.cap / MILLI)} A, as the "
            "limiters of such contracts count here; ask, and state `limit_counts` if it is each leg"
        )
        yield Assumption("supply", (), text)
    elif contract is not None and contract.counted is Counted.WATTS and stated.contract_w is None:
        text = f"{contract.cap_shown} in all: {contract.source}; read the bill or ask"
        yield Assumption("supply", (), text)


def _volts(judged: JudgedPlan) -> Iterator[Assumption]:
    """Yield what the volts might do where nobody read them; the answer says so where it matters."""
    told = unread_volts(judged)
    if told is not None:
        about = "supply" if told.is_short else "volts"
        yield Assumption(about, (), told.text, told.brief)


def _plates(judged: JudgedPlan) -> Iterator[Assumption]:
    outlets = judged.facts.job.outlets
    used = [n for n in _used_outlets(judged) if outlets[n].sockets is None]
    by_count: dict[int, list[str]] = defaultdict(list)
    for outlet in used:
        by_count[judged.facts.points[outlet].sockets].append(outlet)
    for count, names in by_count.items():
        yield Assumption("sockets", tuple(names), f"{count} on {row(names)}, not counted")


def _used_outlets(judged: JudgedPlan) -> list[str]:
    used = {judged.point(p).outlet for p in judged.known}
    return [outlet for outlet in judged.facts.job.outlets if outlet in used]


def _unknown_outlets(judged: JudgedPlan) -> Iterator[Assumption]:
    by_circuits: dict[tuple[str, ...], list[str]] = defaultdict(list)
    for outlet in _used_outlets(judged):
        if judged.facts.job.outlets[outlet].circuit is None:
            by_circuits[circuits_of(judged.facts.points[outlet])].append(outlet)
    for circuits, outlets in by_circuits.items():
        if len(circuits) > 1:
            exposed = judged.facts.points[outlets[0]].exposure
            how = "see the chance above" if exposed.left_to_maps else "counted on each"
            said = f"circuit of {row(outlets)} not known: {one_of(circuits)}, {how}"
            said += _unusable(judged, circuits)
        else:
            said = f"{row(outlets)} on {row(circuits)}: nothing else is possible, but not tested"
        yield Assumption("wiring", tuple(outlets), said)


def _unusable(judged: JudgedPlan, circuits: Iterable[str]) -> str:
    """Return what to do about an outlet that may be on a circuit the crew may not use."""
    barred = [name for name in circuits if not judged.facts.circuits[name].is_usable]
    return f"; {row(barred)} not to be used: find out before anything goes in" if barred else ""


def _guessed_outlets(judged: JudgedPlan) -> Iterator[Assumption]:
    words = {
        HowKnown.GUESSED: "only guessed",
        HowKnown.TOLD: "told, not tested",
        HowKnown.LABELLED: "read from a label, not tested",
        None: "stated, not said how it is known",
    }
    found: dict[HowKnown | None, list[str]] = defaultdict(list)
    for outlet_id in _used_outlets(judged):
        outlet = judged.facts.job.outlets[outlet_id]
        if outlet.circuit is not None and outlet.known is not HowKnown.TESTED:
            found[outlet.known].append(outlet_id)
    for known, outlets in found.items():
        yield Assumption("wiring", tuple(outlets), f"circuit of {row(outlets)}: {words[known]}")


def _board(judged: JudgedPlan) -> Iterator[Assumption]:
    used = {c for p in judged.known for c in circuits_of(judged.point(p))}
    for circuit_id in (c for c in judged.facts.job.circuits if c in used):
        name = circuit_name(judged.facts, circuit_id)
        reading = read_way(judged.facts.job, circuit_id)
        if reading.certainty < 1:
            text = f"{name} feeds outlets: {reading.reason}"
            yield Assumption("board", (circuit_id,), text)
        if judged.facts.job.circuits[circuit_id].breaker_a is None:
            source = judged.facts.circuits[circuit_id].source
            yield Assumption("board", (circuit_id,), f"{name}: {source}")
    yield from _wired_ways(judged)


def _wired_ways(judged: JudgedPlan) -> Iterator[Assumption]:
    """Yield ways without outlets that are taken to hold more than what was read on them."""
    used = {d.circuit for setup in judged.facts.demands for d in judged.wired(setup)}
    for circuit_id, circuit in judged.facts.circuits.items():
        stated = judged.facts.job.circuits[circuit_id]
        is_read = stated.breaker_a is not None or stated.fuse_a is not None
        is_more = not is_read or circuit.cap_ma > circuit.breaker_ma
        if circuit_id in used and is_more and not circuit.can_feed_outlets:
            name = circuit_name(judged.facts, circuit_id)
            takes = shown_capacity_amps(circuit.cap_ma / MILLI)
            yield Assumption("board", (circuit_id,), f"{name} holds {takes} A: {circuit.source}")


def _uncounted(job: Job) -> Iterator[Assumption]:
    """Yield heads of which a set-up names a place and no count: one is lit, more are on the list.

    Whoever meant all of them would be planned for less than is plugged in.
    """
    setups: dict[tuple[str, str], list[str]] = defaultdict(list)
    for setup in job.setups:
        for head, place in setup.heads.items():
            if isinstance(place, str) and job.heads[head].count > 1:
                setups[head, place].append(setup.id)
    for (head, place), names in setups.items():
        count = job.heads[head].count
        text = (
            f"one {head} of {count} at {place} in {setup_names(names)}, as no count is given; "
            f"for all of them write {{{place}: {count}}}"
        )
        yield Assumption("list", (head,), text)


def _used_loads(judged: JudgedPlan) -> list[str]:
    used = {p.load for p in judged.known}
    used |= {d.load for setup in judged.facts.demands for d in judged.wired(setup)}
    return [load for load in judged.facts.loads if load in used]


def _amps(judged: JudgedPlan) -> Iterator[Assumption]:
    for load_id in _used_loads(judged):
        load = judged.facts.loads[load_id]
        if load.draw.is_assumed:
            amps = shown_amps(load.unit_ma[1] / MILLI)
            yield Assumption("amps", (load_id,), f"{load_id} {amps} A: {load.draw.source}")


def _leakage(judged: JudgedPlan) -> Iterator[Assumption]:
    loads = [
        load_id
        for load_id in _used_loads(judged)
        if judged.facts.loads[load_id].leakage_source.startswith("assumed")
    ]
    if loads:
        each = row(f"{i} {judged.facts.loads[i].leakage_ua / MILLI:g} mA" for i in loads)
        yield Assumption("leakage", tuple(loads), f"by kind of load, {each}")


def _plugs(judged: JudgedPlan) -> Iterator[Assumption]:
    by_plug: dict[str, list[str]] = defaultdict(list)
    plugged = {p.load for p in judged.known}
    for load_id, load in judged.facts.loads.items():
        if load.plug_is_assumed and load_id in plugged:
            by_plug[load.plug].append(load_id)
    for plug, loads in by_plug.items():
        yield Assumption("plug", tuple(loads), f"taken to be {plug} on {row(loads)}")


def _is_unsized(lead: Lead) -> bool:
    return lead.size_mm2 is None and lead.size_awg is None


def _leads(judged: JudgedPlan) -> Iterator[Assumption]:
    used = {lead for setup in judged.facts.demands for lead in judged.leads_out(setup)}
    if judged.facts.leads_are_assumed and used:
        leads = judged.facts.leads
        lengths = row(dict.fromkeys(lead.written for lead in leads))
        plugs = tuple(dict.fromkeys(lead.plug for lead in leads))
        each = f", each with {row(plugs, 'or')}" if len(plugs) > 1 else ""
        yield Assumption("lead", (), f"none listed: as many as needed of {lengths}{each}")
    unsized = [
        lead.name
        for lead in judged.facts.leads
        if lead.index in used
        and (judged.facts.leads_are_assumed or _is_unsized(judged.facts.job.leads[lead.index]))
    ]
    if unsized:
        yield Assumption("lead", tuple(unsized), f"conductor size of {row(unsized)}")
