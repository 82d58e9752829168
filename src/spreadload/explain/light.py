"""Which light is sure to stay when a circuit drops or an RCD opens."""

from dataclasses import dataclass

from spreadload.explain.judged import JudgedPlan
from spreadload.plan import Placement


@dataclass(frozen=True)
class Staying:
    """What stays lit in one set-up when one device opens.

    Attributes:
        kind: circuit or RCD.
        device: Its id.
        dark: Heads that go, or may go, dark.
        lit: Heads that are sure to stay lit.
    """

    setup: str
    kind: str
    device: str
    dark: tuple[Placement, ...]
    lit: tuple[Placement, ...]


def staying(judged: JudgedPlan) -> tuple[Staying, ...]:
    """Return, per set-up, every circuit and RCD that heads hang on and what stays without it."""
    found: list[Staying] = []
    for setup, placements in judged.by_setup.items():
        heads = [p for p in placements if judged.load(p).is_head]
        for kind, device in _devices(judged, heads):
            dark = tuple(p for p in heads if device in _gone_with(judged, p, kind))
            lit = tuple(p for p in heads if p not in dark)
            found.append(Staying(setup, kind, device, dark, lit))
    return tuple(found)


def _devices(judged: JudgedPlan, heads: list[Placement]) -> list[tuple[str, str]]:
    circuits = {c for p in heads for c in _behind(judged, p, "circuit")}
    shared = {r for p in heads for r in _behind(judged, p, "RCD")}
    # An RCD with a single circuit behind it says nothing the circuit has not said.
    several = {r for r in shared if len(_circuits_behind(judged, r)) > 1}
    order = list(judged.facts.circuits)
    return [
        *(("circuit", c) for c in sorted(circuits, key=order.index)),
        *(("RCD", r) for r in sorted(several)),
    ]


def _circuits_behind(judged: JudgedPlan, rcd: str) -> set[str]:
    return {c.id for c in judged.facts.circuits.values() if rcd in c.rcds}


def _gone_with(judged: JudgedPlan, placement: Placement, kind: str) -> frozenset[str]:
    behind = _behind(judged, placement, kind)
    return judged.facts.dark_with(behind) if kind == "circuit" else behind


def _behind(judged: JudgedPlan, placement: Placement, kind: str) -> frozenset[str]:
    exposed = judged.point(placement).exposure
    return exposed.might_be_on if kind == "circuit" else exposed.rcds
