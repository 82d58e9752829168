"""What is fullest on the way from a plug to the street."""

from collections.abc import Iterator
from dataclasses import dataclass

from spreadload.explain.judged import JudgedPlan
from spreadload.explain.names import device_name
from spreadload.plan import Placement
from spreadload.units import MILLI, percent_used


@dataclass(frozen=True)
class Share:
    """How much of one limit is used.

    Attributes:
        kind: socket, outlet, board, lead, circuit, feed, RCD, leakage, phase.
        name: The thing with the limit, in crew words.
        used: What it carries, in ``unit``.
        limit: What it may carry, in ``unit``.
        unit: A or mA.
        used_pct: The same in per cent, rounded up.
    """

    kind: str
    name: str
    used: float
    limit: float
    unit: str
    used_pct: int


def shares(judged: JudgedPlan, placement: Placement) -> tuple[Share, ...]:
    """Return every limit between a plug and the street with what is used of it, fullest first."""
    found = [*_own(judged, placement), *_shared(judged, placement), *_leakage(judged, placement)]
    return tuple(sorted(found, key=lambda share: -share.used_pct))


def _own(judged: JudgedPlan, placement: Placement) -> Iterator[Share]:
    point = judged.point(placement)
    there = [p for p in judged.by_setup[placement.setup] if p.point == placement.point]
    same = sum(judged.unit_ma(p) for p in there if p.socket == placement.socket)
    is_filled = judged.facts.loads[placement.load].may_fill_socket
    socket_ma = point.rated_ma if is_filled else point.socket_ma
    yield _amps("socket", f"its socket at {point.outlet}", same, socket_ma)
    plate = sum(judged.unit_ma(p) for p in there)
    if point.sockets > 1:
        yield _amps("outlet", f"outlet {point.outlet}", plate, point.plate_ma)
    if placement.board is not None and 0 <= placement.board < len(judged.facts.boards):
        board = judged.facts.boards[placement.board]
        yield _amps("board", f"its {board.name}", same, board.rating_ma)
    if placement.lead is not None and 0 <= placement.lead < len(judged.facts.leads):
        lead = judged.facts.leads[placement.lead]
        yield _amps("lead", f"its {lead.name} lead", judged.unit_ma(placement), lead.rating_ma)


def _shared(judged: JudgedPlan, placement: Placement) -> Iterator[Share]:
    exposed = judged.point(placement).exposure
    circuits = {name for name, _ in exposed.circuits}
    poles = {pole for _, pole in exposed.circuits if pole}
    feeds = {name for name, _ in exposed.feeds}
    for usage in judged.usages[placement.setup]:
        on_pole = not poles or not usage.phase or usage.phase in poles
        is_behind = (
            (usage.kind == "circuit" and usage.id in circuits and on_pole)
            or (usage.kind == "feed" and usage.id in feeds and on_pole)
            or (usage.kind == "rcd amps" and usage.id in exposed.rcds)
            or (usage.kind == "phase" and usage.id in exposed.phases)
        )
        if is_behind:
            used = usage.current_a if usage.kind in ("phase", "rcd amps") else usage.counted_a
            name = device_name(judged.facts, usage)
            kind = "RCD" if usage.kind == "rcd amps" else usage.kind
            yield Share(kind, name, used, usage.limit_a, "A", usage.used_pct)


def _leakage(judged: JudgedPlan, placement: Placement) -> Iterator[Share]:
    for rcd in sorted(judged.point(placement).exposure.rcds & judged.facts.rcds.keys()):
        used_ua = judged.leakage_ua(placement.setup, rcd)
        limit_ua = judged.facts.rcds[rcd].may_trip_ua
        used_pct = percent_used(used_ua, limit_ua)
        name = f"leakage on {rcd}"
        yield Share("leakage", name, used_ua / MILLI, limit_ua / MILLI, "mA", used_pct)


def _amps(kind: str, name: str, used_ma: int, limit_ma: int) -> Share:
    used_pct = percent_used(used_ma, limit_ma)
    return Share(kind, name, used_ma / MILLI, limit_ma / MILLI, "A", used_pct)
