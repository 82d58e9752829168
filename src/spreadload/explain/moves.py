"""Moving one unit and nothing else: the ways it could be plugged in somewhere else."""

from collections.abc import Iterator
from dataclasses import dataclass

from spreadload import practice
from spreadload.derived.reach import REACH_NOISE_M
from spreadload.derived.records import LeadFacts, Point
from spreadload.explain.judged import JudgedPlan
from spreadload.plan import Placement, Plan


def open_points(judged: JudgedPlan, load: str) -> tuple[Point, ...]:
    """Return points where a load's plug goes in, straight or by a lead, and which it may use."""
    facts = judged.facts
    allowed = facts.outlets_allowed(load)
    plug = practice.plug(facts.loads[load].plug)
    return tuple(
        point
        for point in facts.points.values()
        if (allowed is None or point.outlet in allowed)
        and (not point.is_off_limits or facts.is_fixed_at(load, point.outlet))
        and plug.is_three_phase == point.is_three_phase
        and (plug.enters_outlet(point.plug) or _adaptors(judged, load, point.plug))
    )


def moved(judged: JudgedPlan, placement: Placement, point: Point) -> Iterator[Plan]:
    """Yield plans in which one unit sits at another point and the rest stands, likeliest first."""
    rest = tuple(p for p in judged.plan.placements if p is not placement)
    for seat in seats(judged, placement, point):
        yield judged.plan.model_copy(update={"placements": (*rest, seat)})


def seats(judged: JudgedPlan, unit: Placement, point: Point) -> Iterator[Placement]:
    """Yield ways to plug a unit in at a point: a free socket, then a place on a power board."""
    held = judged.sockets(unit.setup, point.id)
    for socket in list(held):
        held[socket] = [p for p in held[socket] if p is not unit]
    free = [s for s in range(1, point.sockets + 1) if not held.get(s)]
    for socket in free[:1]:
        yield _seat(judged, unit, point, _Seat(socket))
    for socket, there in sorted(held.items()):
        board = there[0].board if there else None
        if board is None or not 0 <= board < len(judged.facts.boards):
            continue
        if len(there) < judged.facts.boards[board].ways:
            yield _seat(judged, unit, point, _Seat(socket, board, there[0].board_lead))


def once_freed(judged: JudgedPlan, unit: Placement, point: Point) -> Placement:
    """Return how a unit would be plugged in at a point where a socket has yet to be freed.

    It is given one beyond those that are there, so that it shares none.
    """
    return _seat(judged, unit, point, _Seat(socket=point.sockets + 1))


@dataclass(frozen=True)
class _Seat:
    socket: int
    board: int | None = None
    board_lead: int | None = None


def _seat(judged: JudgedPlan, unit: Placement, point: Point, seat: _Seat) -> Placement:
    standard = point.plug if seat.board is None else judged.facts.boards[seat.board].plug
    along_m = 0.0 if seat.board_lead is None else judged.facts.leads[seat.board_lead].length_m
    return unit.model_copy(
        update={
            "point": point.id,
            "socket": seat.socket,
            "board": seat.board,
            "board_lead": seat.board_lead,
            "lead": _lead(judged, unit, point, (standard, along_m)),
        }
    )


def _lead(
    judged: JudgedPlan, unit: Placement, point: Point, socket: tuple[str, float]
) -> int | None:
    """Return the shortest lead that does, one in the store before one already out.

    Args:
        judged: The plan as it stands.
        unit: The unit to plug in.
        point: Where.
        socket: Plug standard of the socket, and how far along a lead it already lies [m].
    """
    standard, along_m = socket
    load = judged.facts.loads[unit.load]
    need_m = 0.0
    if unit.place is not None:
        need_m = judged.facts.route_m(unit.place, point) - load.cord_m - along_m
    if need_m <= REACH_NOISE_M and practice.plug(load.plug).enters_outlet(standard):
        return None
    out = judged.leads_out(unit.setup)
    if unit.lead is not None:
        out[unit.lead] -= 1
    leads = _adaptors(judged, unit.load, standard)
    fitting = [lead for lead in leads if lead.length_m + REACH_NOISE_M >= need_m]
    if not fitting:
        fitting = [max(leads, key=lambda lead: lead.length_m)] if leads else []
    best = min(
        fitting, key=lambda lead: (out[lead.index] >= lead.count, lead.length_m), default=None
    )
    return None if best is None else best.index


def _adaptors(judged: JudgedPlan, load: str, standard: str) -> list[LeadFacts]:
    plug = practice.plug(judged.facts.loads[load].plug)
    return [
        lead
        for lead in judged.facts.leads
        if practice.plug(lead.plug).enters_outlet(standard) and plug.enters_outlet(lead.socket)
    ]
