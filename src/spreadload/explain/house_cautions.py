"""Cautions that come from what is known of the house, where the plan leans on it."""

from collections import defaultdict
from collections.abc import Iterator

from spreadload import practice
from spreadload.explain.judged import JudgedPlan
from spreadload.explain.names import circuit_name
from spreadload.job.site import Permission, RoomUse
from spreadload.units import MILLI, shown_amps, shown_capacity_amps
from spreadload.words import in_setup, row, setup_name, setup_names

_MOST_AREAS = 1


def house_cautions(judged: JudgedPlan) -> Iterator[str]:
    """Yield what a crew should know of the wiring and plates that this plan uses."""
    yield from _summed_legs(judged)
    yield from _full_rings(judged)
    yield from _shared_neutrals(judged)
    yield from _arc_faults(judged)
    yield from _maybe_off_limits(judged)
    yield from _switched_plates(judged)
    yield from _wet_rooms(judged)
    yield from _phases_together(judged)


def _summed_legs(judged: JudgedPlan) -> Iterator[str]:
    """Tell legs that pass the limit together, where a limiter may count them together."""
    supply = judged.facts.supply
    limit_a = supply.cap_ma / MILLI
    may_sum = practice.region(judged.facts.job.region).limit_may_sum_legs
    if not may_sum or len(supply.phases) == 1 or supply.contract is not None:
        return
    over: dict[str, float] = {}
    for setup, usages in judged.usages.items():
        sum_a = sum(usage.current_a for usage in usages if usage.kind == "phase")
        if sum_a > limit_a:
            over[setup] = sum_a
    if over:
        worst = max(over, key=lambda setup: over[setup])
        yield (
            "A limiter by contract may count both legs together: they take "
            f"{shown_amps(over[worst])} A{in_setup(worst)}, more than "
            f"{shown_capacity_amps(limit_a)} A. "
            "Ask which it is; where it counts both, state `limit_counts: both legs` and plan again."
        )


def _full_rings(judged: JudgedPlan) -> Iterator[str]:
    """Tell rings that carry more than their cable does should one leg be open."""
    alone_a = practice.broken_ring_a().value
    setups: dict[str, list[str]] = defaultdict(list)
    rings = {name for name, circuit in judged.facts.job.circuits.items() if circuit.ring}
    for usage in judged.verdict.usages:
        if usage.kind == "circuit" and usage.id in rings and usage.current_a > alone_a:
            setups[usage.id].append(usage.setup)
    for ring, names in setups.items():
        yield (
            f"The ring {circuit_name(judged.facts, ring)} carries more than {alone_a:g} A in "
            f"{setup_names(names)}: only a test shows that it is whole, and with one leg open "
            f"its cable is good for {alone_a:g} A. Ask when it was last tested, and spread what "
            "is on it."
        )


def _shared_neutrals(judged: JudgedPlan) -> Iterator[str]:
    """Tell circuits in use that come back on one neutral, and what it carries where it adds up."""
    circuits = judged.facts.circuits
    stated = judged.facts.job.circuits.items()
    pairs = {
        tuple(sorted((one, way.shares_neutral_with)))
        for one, way in stated
        if way.shares_neutral_with in circuits
    }
    for one, other in sorted(pairs):
        loaded = {s: _amps(judged, s, one) + _amps(judged, s, other) for s in judged.usages}
        worst = max(loaded, key=lambda setup: loaded[setup])
        if not (_amps(judged, worst, one) or _amps(judged, worst, other)):
            continue
        both = f"{circuit_name(judged.facts, one)} and {circuit_name(judged.facts, other)}"
        cap_a = min(circuits[one].breaker_ma, circuits[other].breaker_ma) / MILLI
        is_one_line = (
            len(circuits[one].phases) == 1 == len({*circuits[one].phases, *circuits[other].phases})
        )
        if is_one_line and loaded[worst] > cap_a:
            yield (
                f"{both} share a neutral on one line, which carries {shown_amps(loaded[worst])} A "
                f"in {setup_name(worst)}, more than its breakers guard "
                f"({shown_capacity_amps(cap_a)} A): use one of the two only, and have a licensed "
                "electrician look."
            )
        elif not is_one_line:
            yield (
                f"{both} share a neutral: should lamps on one get brighter while those on the "
                "other dim, switch both off and call a licensed electrician."
            )


def _amps(judged: JudgedPlan, setup: str, circuit: str) -> float:
    poles = (u for u in judged.usages[setup] if u.kind == "circuit" and u.id == circuit)
    return max((usage.current_a for usage in poles), default=0.0)


def _arc_faults(judged: JudgedPlan) -> Iterator[str]:
    """Tell heads behind breakers that open on arcs, and take some drivers for one."""
    stated = judged.facts.job.circuits
    used = {
        circuit
        for p in judged.known
        if judged.facts.loads[p.load].is_head
        for circuit, _ in judged.point(p).exposure.circuits
        if stated[circuit].arc_fault
    }
    if used:
        names = row(circuit_name(judged.facts, c) for c in stated if c in used)
        has, them = ("has an arc-fault breaker", "it")
        if len(used) > 1:
            has, them = ("have arc-fault breakers", "them")
        yield (
            f"{names} {has}: dimmers and some drivers open {them}. Try every head there before "
            "the day."
        )


def _maybe_off_limits(judged: JudgedPlan) -> Iterator[str]:
    """Tell outlets in use that may turn out to be on what nobody may use."""
    stated = judged.facts.job.circuits
    by_circuit: dict[str, dict[str, None]] = defaultdict(dict)
    for p in judged.known:
        point = judged.point(p)
        for circuit in sorted(point.exposure.might_be_on):
            if stated[circuit].use is Permission.OFF_LIMITS and not point.is_proven:
                by_circuit[circuit][point.outlet] = None
    for circuit, outlets in by_circuit.items():
        yield (
            f"{row(outlets)} may be on {circuit_name(judged.facts, circuit)}, which is off limits: "
            "find out before anything goes in there."
        )


def _switched_plates(judged: JudgedPlan) -> Iterator[str]:
    """Tell outlets in use that a hand on a wall switch kills."""
    used = {judged.point(p).outlet for p in judged.known}
    outlets = judged.facts.job.outlets
    names = [name for name, outlet in outlets.items() if name in used and outlet.switched]
    if names:
        verb = "goes" if len(names) == 1 else "go"
        yield f"{row(names)} {verb} dead with a switch on the wall: tape it on and label it."


def _phases_together(judged: JudgedPlan) -> Iterator[str]:
    """Tell places that get plugs of several phases, where the region has a word of caution on it.

    Heads that stand together are touched together, wherever their leads come from.
    """
    rows = practice.cautions(judged.facts.job.region, "phases")
    phases: dict[tuple[str, str], set[str]] = defaultdict(set)
    for p in judged.known:
        point = judged.point(p)
        area = p.place or point.room
        if area is not None and point.poles == 1:
            phases[area, p.setup] |= point.exposure.phases
    areas = list(dict.fromkeys(area for (area, _), met in phases.items() if len(met) > 1))
    if areas:
        more = len(areas) - _MOST_AREAS
        named = areas if more <= 0 else [*areas[:_MOST_AREAS], f"{more} more"]
        yield from (f"Phases meet at {row(named)}. {said.text}" for said in rows)


def _wet_rooms(judged: JudgedPlan) -> Iterator[str]:
    """Tell outlets in bathrooms that lighting runs from: water, and somebody barefoot."""
    job = judged.facts.job
    lit = {judged.point(p).outlet for p in judged.known if judged.facts.loads[p.load].is_head}
    wet = [
        name
        for name, outlet in job.outlets.items()
        if name in lit and outlet.room and job.rooms[outlet.room].use is RoomUse.BATHROOM
    ]
    if wet:
        verb = "is" if len(wet) == 1 else "are"
        yield (
            f"{row(wet)} {verb} in a bathroom: on a tested 30 mA RCD only, no power board or joint "
            "in there, and the room out of use; better from an outlet elsewhere."
        )
