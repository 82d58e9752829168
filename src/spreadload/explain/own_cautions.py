"""Cautions that come from one plan and not from the region: what in it asks for care."""

from collections import defaultdict
from collections.abc import Iterator

from spreadload.explain.judged import JudgedPlan
from spreadload.explain.names import row


def own_cautions(judged: JudgedPlan) -> tuple[str, ...]:
    """Return what a crew should know of this very plan before it plugs in."""
    return tuple(_heat_on_boards(judged))


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
