"""Cautions that come from one plan and not from the region: what in it asks for care."""

from collections import defaultdict
from collections.abc import Iterator
from typing import TYPE_CHECKING

from spreadload import practice
from spreadload.explain.judged import JudgedPlan
from spreadload.explain.lead_lengths import lead_lengths
from spreadload.explain.names import circuit_name, row
from spreadload.job.red_flags import open_flags
from spreadload.units import MILLI, shown_amps, shown_capacity_amps

if TYPE_CHECKING:
    from spreadload.derived.records import BoardFacts


def own_cautions(judged: JudgedPlan) -> tuple[str, ...]:
    """Return what a crew should know of this very plan before it plugs in."""
    return (
        *_red_flags(judged),
        *_summed_legs(judged),
        *_full_rings(judged),
        *_heat_on_boards(judged),
        *_leaking_boards(judged),
        *_long_leads(judged),
    )


def _red_flags(judged: JudgedPlan) -> Iterator[str]:
    """Tell what a licensed electrician has to look at before anybody plugs in."""
    for flag in open_flags(judged.facts.job):
        yield (
            f"Red flag, {flag}: power nothing before a licensed electrician has looked, and "
            "`cleared` in the job says who and when."
        )


def _summed_legs(judged: JudgedPlan) -> Iterator[str]:
    """Tell legs that pass the limit together, where a limiter may count them together."""
    supply = judged.facts.supply
    limit_a = supply.cap_ma / MILLI
    may_sum = practice.region(judged.facts.job.region).limit_may_sum_legs
    if not may_sum or len(supply.phases) == 1 or supply.contract_w is not None:
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
            f"{shown_amps(over[worst])} A in {worst}, more than {shown_capacity_amps(limit_a)} A. "
            "Ask which it is; where it counts both, state `contract_w: "
            f"{limit_a * supply.planning_v:.0f}` and plan again."
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
            f"{row(names)}: only a test shows that it is whole, and with one leg open its cable "
            f"is good for {alone_a:g} A. Ask when it was last tested, and spread what is on it."
        )


def _long_leads(judged: JudgedPlan) -> Iterator[str]:
    """Tell leads longer than is advised; without a list of leads nobody knows their size."""
    if not judged.facts.leads_are_assumed:
        yield from (f"{said}." for said in lead_lengths(judged.facts, judged.plan))


def _heat_on_boards(judged: JudgedPlan) -> Iterator[str]:
    """Tell heat-makers that found no socket of their own."""
    found: dict[tuple[str, ...], dict[str, None]] = defaultdict(dict)
    by_load: dict[tuple[str, str], dict[str, None]] = defaultdict(dict)
    for p in judged.known:
        if p.board is not None and judged.facts.loads[p.load].is_heat:
            by_load[p.load, p.point][p.setup] = None
    for (load, point), setups in by_load.items():
        found[tuple(setups)][f"{load} at {point}"] = None
    for names, loads in found.items():
        verb = "hangs" if len(loads) == 1 else "hang"
        yield (
            f"{row(loads)} {verb} on a power board in {row(names)} for want of sockets: "
            "heat belongs straight in an outlet, so free a socket or take turns."
        )


def _leaking_boards(judged: JudgedPlan) -> Iterator[str]:
    """Tell boards whose own residual-current device may open at what leaks on them all the time.

    No plan is refused for it: moving one plug to a bare board or a socket is enough.
    """
    leaking_ua: dict[tuple[str, str, int, BoardFacts], int] = defaultdict(int)
    for state in judged.judge.states(judged.plan):
        for unit in state.plugged:
            if unit.board is not None:
                at = (state.setup, unit.point.id, unit.socket, unit.board)
                leaking_ua[at] += unit.load.leakage_ua
    for (setup, point, _, board), leaks_ua in leaking_ua.items():
        if board.may_trip_ua is not None and leaks_ua > board.may_trip_ua:
            yield (
                f"The {board.name} at {point} leaks {leaks_ua / MILLI:g} mA in {setup}; its own "
                f"residual-current device may open above {board.may_trip_ua / MILLI:g} mA, so put "
                "something on it elsewhere."
            )
