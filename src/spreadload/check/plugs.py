"""Hard rules of plug and socket: where a load may go, what enters what, what a plate carries."""

from collections.abc import Iterator
from functools import cache

from spreadload import practice
from spreadload.check.state import Plugged, SetupState
from spreadload.check.words import amps, cap_amps, over_amps, too_many
from spreadload.derived.records import Point
from spreadload.plan import Violation
from spreadload.words import count_of


def fixed(state: SetupState) -> Iterator[Violation]:
    """A load with an outlet or a room is plugged in there; without a place it takes no lead."""
    for unit in state.plugged:
        allowed = state.facts.outlets_allowed(unit.load.id)
        if allowed is not None and unit.point.outlet not in allowed:
            stated = state.facts.load_stated(unit.load.id)
            bound = (stated.outlet or stated.room) if stated else ""
            words = f"{unit.name} is at {unit.point.id} in {state.name}, but belongs at {bound}"
            yield too_many("fixed", state.setup, unit.where, (1, 0), words)
            continue
        takes_lead = unit.lead or unit.board_lead or unit.has_stray_lead
        if unit.demand.place is None and takes_lead:
            words = f"{unit.name} in {state.name} has no place in the job, so it takes no lead"
            yield too_many("fixed", state.setup, unit.where, (1, 0), words)


def off_limits(state: SetupState) -> Iterator[Violation]:
    """What the crew may not use carries only what the job fixes to that very outlet."""
    for unit in state.plugged:
        point = unit.point
        if point.is_off_limits and not state.facts.is_fixed_at(unit.load.id, point.outlet):
            words = f"{unit.name} is at {point.id} in {state.name}, which the crew may not use"
            yield too_many("off limits", state.setup, point.id, (1, 0), words)


def plug(state: SetupState) -> Iterator[Violation]:
    """Every plug on the way enters its socket, and phases match."""
    for unit in state.plugged:
        for inner, outer, what in _joints(unit):
            if not enters(inner, outer):
                words = f"{what} of {unit.name} in {state.name}: {inner} does not enter {outer}"
                yield too_many("plug", state.setup, unit.where, (1, 0), words)
        if _is_three_phase(unit.load.plug) != _has_three_phases(unit.point):
            words = (
                f"{unit.name} in {state.name} has a plug {unit.load.plug}, "
                f"which does not match the phases at {unit.point.id}"
            )
            yield too_many("plug", state.setup, unit.where, (1, 0), words)


def socket(state: SetupState) -> Iterator[Violation]:
    """A socket exists and holds one unit, or one power board with at most its ways."""
    for (point_id, number), units in state.by_socket.items():
        sockets = state.facts.points[point_id].sockets
        where = f"{point_id} socket {number}"
        if number > sockets:
            has = count_of(sockets, "socket")
            words = f"{point_id} has {has}; {state.name} puts a plug into socket {number}"
            yield too_many("socket", state.setup, where, (number, sockets), words)
        if any(unit.has_stray_board for unit in units):
            continue
        boards = {None if unit.board is None else unit.board.index for unit in units}
        board = units[0].board
        if len(boards) > 1:
            words = f"{where} in {state.name} cannot hold {len(boards)} different things"
            yield too_many("socket", state.setup, where, (len(boards), 1), words)
        else:
            ways = 1 if board is None else board.ways
            if len(units) > ways:
                has = "one plug" if board is None else f"a {board.name}"
                words = f"{where} holds {has}; {state.name} has {len(units)} units there"
                yield too_many("socket", state.setup, where, (len(units), ways), words)


def socket_amps(state: SetupState) -> Iterator[Violation]:
    """A socket carries at most its rating, and so does a power board in it."""
    for (point_id, number), units in state.by_socket.items():
        point = state.facts.points[point_id]
        where = f"{point_id} socket {number}"
        total_ma = sum(unit.unit_ma for unit in units)
        shares_ma = (state.facts.socket_share_ma(u.load.id, point, u.unit_ma) for u in units)
        if sum(shares_ma) > point.socket_ma:
            words = (
                f"{where} carries {amps(total_ma)} in {state.name}; "
                f"it is rated {cap_amps(point.rated_ma)}"
            )
            if point.socket_ma < point.rated_ma:
                words += f", of which one plug may take {cap_amps(point.socket_ma)}"
            limits = (total_ma, point.socket_ma)
            yield over_amps("socket amps", state.setup, where, limits, point.source, words)
        for board in {unit.board for unit in units if unit.board is not None}:
            on_board_ma = sum(unit.unit_ma for unit in units if unit.board == board)
            if on_board_ma > board.rating_ma:
                words = (
                    f"The {board.name} at {where} carries {amps(on_board_ma)} in {state.name}; "
                    f"it is rated {cap_amps(board.rating_ma)}"
                )
                limits = (on_board_ma, board.rating_ma)
                yield over_amps("socket amps", state.setup, where, limits, board.source, words)


def plug_amps(state: SetupState) -> Iterator[Violation]:
    """A unit draws at most what its own plug, or the fuse in it, carries."""
    for unit in state.plugged:
        limit_ma = unit.load.plug_ma
        if unit.unit_ma > limit_ma:
            words = (
                f"{unit.name} draws {amps(unit.unit_ma)} in {state.name}; "
                f"its plug {unit.load.plug} carries {cap_amps(limit_ma)}"
            )
            limits = (unit.unit_ma, limit_ma)
            source = f"rating of plug {unit.load.plug}"
            yield over_amps("plug amps", state.setup, unit.where, limits, source, words)


def plate_amps(state: SetupState) -> Iterator[Violation]:
    """All sockets of an outlet together, boxes standing there included, stay within the plate."""
    for outlet_id, total_ma in _plates(state).items():
        outlet = state.facts.points[outlet_id]
        if total_ma > outlet.plate_ma:
            words = (
                f"Outlet {outlet_id} carries {amps(total_ma)} in {state.name} in all; "
                f"its plate is rated {cap_amps(outlet.plate_ma)}"
            )
            limits = (total_ma, outlet.plate_ma)
            yield over_amps("plate amps", state.setup, outlet_id, limits, outlet.source, words)


def _plates(state: SetupState) -> dict[str, int]:
    """Return the amps of every used outlet; of phases split by boxes, the fullest [mA]."""
    own: dict[str, int] = {}
    boxed: dict[str, dict[str | None, int]] = {}
    for unit in state.plugged:
        outlet = unit.point.outlet
        own.setdefault(outlet, 0)
        if unit.point.box is None:
            own[outlet] += unit.unit_ma
        else:
            phases = boxed.setdefault(outlet, {})
            phases[unit.point.box_phase] = phases.get(unit.point.box_phase, 0) + unit.unit_ma
    return {o: ma + max(boxed.get(o, {}).values(), default=0) for o, ma in own.items()}


def _joints(unit: Plugged) -> Iterator[tuple[str, str, str]]:
    """Return (plug, socket, what) for every joint from the load to the wall."""
    if unit.has_stray_lead or unit.has_stray_board:
        return
    wall = unit.point.plug
    if unit.board_lead is not None:
        yield unit.board_lead.plug, wall, "The lead of the power board"
        wall = unit.board_lead.socket
    if unit.board is not None:
        yield unit.board.plug, wall, "The power board"
        wall = unit.board.plug
    if unit.lead is not None:
        yield unit.lead.plug, wall, "The lead"
        wall = unit.lead.socket
    yield unit.load.plug, wall, "The plug"


@cache
def enters(plug_id: str, outlet_plug_id: str) -> bool:
    """Return whether a plug goes into an outlet, both by plug id."""
    return practice.plug(plug_id).enters_outlet(outlet_plug_id)


@cache
def _is_three_phase(plug_id: str) -> bool:
    return practice.plug(plug_id).is_three_phase


def _has_three_phases(point: Point) -> bool:
    return point.box is None and _is_three_phase(point.plug)
