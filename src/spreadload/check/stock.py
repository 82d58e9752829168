"""Hard rules of the van: leads, power boards and boxes in use, and what a box's inlet carries."""

from collections import Counter
from collections.abc import Iterator

from spreadload.check.state import SetupState
from spreadload.check.words import amps, cap_amps, over_amps, too_many
from spreadload.derived.records import LeadFacts
from spreadload.plan import Violation
from spreadload.words import count_of, setup_name


def boards_in_stock(state: SetupState) -> Iterator[Violation]:
    """Power boards in use per kind are no more than there are."""
    setup = setup_name(state.setup, starts=True)
    used = Counter(index for _, _, index in boards_used(state))
    for index, count in sorted(used.items()):
        board = state.facts.boards[index]
        if count > board.count:
            words = f"{setup} uses {count} of the {board.name}; the van has {board.count}"
            where = f"power board {index}"
            yield too_many("boards in stock", state.setup, where, (count, board.count), words)


def leads_in_stock(state: SetupState) -> Iterator[Violation]:
    """Leads in use per kind are no more than there are."""
    setup = setup_name(state.setup, starts=True)
    used = Counter(lead.index for lead in leads_used(state))
    for index, count in sorted(used.items()):
        lead = state.facts.leads[index]
        if count > lead.count:
            words = f"{setup} uses {count} leads of {lead.name}; the van has {lead.count}"
            where = f"lead {index}"
            yield too_many("leads in stock", state.setup, where, (count, lead.count), words)


def boxes_in_stock(state: SetupState) -> Iterator[Violation]:
    """Boxes in use per kind are no more than there are; each takes one socket of its outlet."""
    setup = setup_name(state.setup, starts=True)
    standing = {(u.point.outlet, u.point.box) for u in state.plugged if u.point.box is not None}
    used = Counter(box for _, box in standing)
    for box_id, count in sorted(used.items()):
        stock = state.facts.boxes[box_id].count
        if count > stock:
            words = f"{setup} uses {count} of box {box_id}; the van has {stock}"
            yield too_many("boxes in stock", state.setup, box_id, (count, stock), words)
    own = {(u.point.outlet, u.socket) for u in state.plugged if u.point.box is None}
    at_outlet = Counter(outlet for outlet, _ in standing)
    for outlet_id, boxes in sorted(at_outlet.items()):
        sockets = state.facts.points[outlet_id].sockets
        taken = boxes + sum(1 for outlet, _ in own if outlet == outlet_id)
        if taken > sockets:
            words = (
                f"Outlet {outlet_id} has {count_of(sockets, 'socket')}; "
                f"boxes and plugs of {state.name} take {taken}"
            )
            yield too_many("boxes in stock", state.setup, outlet_id, (taken, sockets), words)


def box_inlet(state: SetupState) -> Iterator[Violation]:
    """Each phase of a box stays within its inlet and within the outlet it stands at."""
    total_ma: Counter[str] = Counter()
    for unit in state.plugged:
        if unit.point.box is not None:
            total_ma[unit.point.id] += unit.unit_ma
    for point_id, current_ma in sorted(total_ma.items()):
        point = state.facts.points[point_id]
        inlet_ma = state.facts.boxes[point.box or ""].inlet_ma
        outlet = state.facts.points[point.outlet]
        limit_ma = min(inlet_ma, outlet.socket_ma)
        if current_ma > limit_ma:
            by_inlet = inlet_ma <= outlet.socket_ma
            source = f"{cap_amps(inlet_ma)} inlet of the box" if by_inlet else outlet.source
            words = (
                f"Box {point_id} carries {amps(current_ma)} in {state.name}; its "
                f"{'inlet' if by_inlet else 'outlet'} is rated {cap_amps(limit_ma)}"
            )
            limits = (current_ma, limit_ma)
            yield over_amps("box inlet", state.setup, point_id, limits, source, words)


def leads_used(state: SetupState) -> list[LeadFacts]:
    """Return every lead in use: a unit's own, and one for each power board on a lead."""
    own = [unit.lead for unit in state.plugged if unit.lead is not None]
    to_boards = {
        (unit.point.id, unit.socket, unit.board_lead.index): unit.board_lead
        for unit in state.plugged
        if unit.board_lead is not None
    }
    return [*own, *to_boards.values()]


def boards_used(state: SetupState) -> set[tuple[str, int, int]]:
    """Return (point, socket, kind) of every power board in use."""
    return {(u.point.id, u.socket, u.board.index) for u in state.plugged if u.board is not None}
