"""Cautions that come from one plan and not from the region: what in it asks for care."""

from collections import defaultdict
from collections.abc import Iterator
from typing import TYPE_CHECKING

from spreadload.explain.house_cautions import house_cautions
from spreadload.explain.judged import JudgedPlan
from spreadload.explain.lead_lengths import lead_lengths
from spreadload.job.red_flags import open_flags
from spreadload.units import MILLI
from spreadload.words import in_setup, row, setup_names

if TYPE_CHECKING:
    from spreadload.derived.records import BoardFacts


def own_cautions(judged: JudgedPlan) -> tuple[str, ...]:
    """Return what a crew should know of this very plan before it plugs in."""
    return (
        *_red_flags(judged),
        *house_cautions(judged),
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


def _heat_on_boards(judged: JudgedPlan) -> Iterator[str]:
    """Tell heat-makers that found no socket of their own."""
    by_load: dict[tuple[str, str], dict[str, None]] = defaultdict(dict)
    found: dict[tuple[tuple[str, ...], str], list[str]] = defaultdict(list)
    for p in judged.known:
        if p.board is not None and judged.facts.loads[p.load].is_heat:
            by_load[p.load, p.point][p.setup] = None
    for (load, point), setups in by_load.items():
        found[tuple(setups), point].append(load)
    for (names, point), loads in found.items():
        verb = "hangs" if len(loads) == 1 else "hang"
        yield (
            f"{row(loads)} at {point} {verb} on a power board in {setup_names(names)} for want of "
            "sockets: free a socket, or take turns."
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
                f"The {board.name} at {point} leaks {leaks_ua / MILLI:g} mA{in_setup(setup)}; its "
                f"own residual-current device may open above {board.may_trip_ua / MILLI:g} mA, so "
                "put something on it elsewhere."
            )


def _long_leads(judged: JudgedPlan) -> Iterator[str]:
    """Tell leads longer than is advised; without a list of leads nobody knows their size."""
    if not judged.facts.leads_are_assumed:
        yield from (f"{said}." for said in lead_lengths(judged.facts, judged.plan))
