"""Statements that follow from the rules, or that some best plan keeps; they only save time.

Nothing here may cut off every best plan: a test solves small jobs with and without it.
"""

from collections import defaultdict
from collections.abc import Iterator

from spreadload.derived.asked import Demand
from spreadload.solver.engine.cp import cp_model
from spreadload.solver.model import devices
from spreadload.solver.model.candidates import Candidate
from spreadload.solver.model.devices import Device
from spreadload.solver.model.occupied import fed_sockets, occupied
from spreadload.solver.model.variables import Linear, RemoteBoard, Variables, total, weighted
from spreadload.units import FULL_PCT

_MOST_COUNTED = 6


def seats_at_points(v: Variables) -> list[Linear]:
    """A point has the seats of its sockets, and more for each power board out of a limited stock.

    Returns:
        How many boards each point needs at least.
    """
    ways = max((board.ways for board in v.facts.boards), default=1)
    stock = sum(board.count for board in v.facts.boards)
    needed: dict[str, list[Linear]] = defaultdict(list)
    for setup_id, point, options in occupied(v):
        single = [o for o in options if not o.can_board and not o.remote]
        units = total(v.units_at(o.demand, point.id) for o in options)
        alone = total(v.units_at(o.demand, point.id) for o in single)
        boards = v.model.new_int_var(
            0, min(point.sockets, stock), f"boards needed at {point.id} in {setup_id}"
        )
        v.model.add(units <= point.sockets + (ways - 1) * boards)
        v.model.add(alone + boards <= point.sockets)
        needed[setup_id].append(boards)
    for boards in needed.values():
        v.model.add(total(boards) <= stock)
    return [board for boards in needed.values() for board in boards]


def few_big_units(v: Variables, percent: int = FULL_PCT) -> None:
    """At most k units of more than a (k + 1)th of a device's limit fit on it.

    This is the cover inequality of equal covers; solvers find it late by themselves.

    Args:
        v: The decisions.
        percent: Most that any device may carry, in per cent of its limit.
    """
    if v.relaxed.breakers_may_overload:
        return
    seen: set[tuple[int, frozenset[int]]] = set()
    for device in devices.breakers(v):
        _count_big(v, device, device.limit * percent // FULL_PCT, seen)


def _count_big(
    v: Variables, device: Device, limit: int, seen: set[tuple[int, frozenset[int]]]
) -> None:
    flat = cp_model.FlatIntExpr(device.load)
    pairs = list(zip(flat.vars, flat.coeffs, strict=True))
    room = limit - flat.offset - sum(c * v.upper(x) for x, c in pairs if c < 0)
    last: frozenset[int] = frozenset()
    for most in range(1, _MOST_COUNTED):
        big = [x for x, c in pairs if c * (most + 1) > room]
        key = frozenset(x.index for x in big)
        is_tight = sum(v.upper(x) for x in big) > most
        if key != last and is_tight and (most, key) not in seen:
            seen.add((most, key))
            v.model.add(total(big) <= most)
        last = key


def serve_places(v: Variables) -> None:
    """A place is served by at least as many runs as its units fill power boards."""
    if v.relaxed.heads_may_be_left_out or not v.facts.boards:
        return
    beside: dict[tuple[str, str], list[Demand]] = defaultdict(list)
    for demand in v.options:
        if demand.place is not None and not demand.may_be_off:
            beside[demand.setup, demand.place].append(demand)
    boards: dict[tuple[str, str], list[Linear]] = defaultdict(list)
    for key, kind in v.remote_of.items():
        boards[key.setup, key.place].append(kind)
    for where, demands in beside.items():
        if where in boards:
            _serve(v, demands, total(boards[where]))


def _serve(v: Variables, demands: list[Demand], boards: Linear) -> None:
    """Say how many boards the largest units of a place need, less what goes without a board.

    Mixed-integer rounding of: what the boards hold and what needs none is all there is.
    """
    size_ma = {d: min(o.unit_ma for o in v.options[d]) for d in demands}
    on_boards = {d for d, _, _ in v.remote}
    ways = max(board.ways for board in v.facts.boards)
    full_ma = max(board.rating_ma for board in v.facts.boards)
    own: dict[Demand, list[Linear]] = defaultdict(list)
    for (demand, _), x in v.straight.items():
        own[demand].append(x)
    for (demand, _, _), x in v.boarded.items():
        own[demand].append(x)
    together = sorted((d for d in demands if d in on_boards), key=lambda d: -size_ma[d])
    for most in range(1, len(together) + 1):
        some = together[:most]
        by_count = min(ways, full_ma // max(size_ma[some[-1]], 1))
        _round_up(v, boards, [(1, d.count, total(own[d])) for d in some], by_count)
        _round_up(v, boards, [(size_ma[d], d.count, total(own[d])) for d in some], full_ma)


def _round_up(
    v: Variables, boards: Linear, units: list[tuple[int, int, Linear]], full: int
) -> None:
    whole, rest = divmod(sum(size * count for size, count, _ in units), full)
    if rest:
        own = weighted((min(size, rest), x) for size, _, x in units)
        v.model.add(rest * boards + own >= rest * (whole + 1))
    else:
        v.model.add(full * boards + weighted((size, x) for size, _, x in units) >= full * whole)


def no_board_for_one(v: Variables) -> None:
    """A power board on a lead carries two units at least where one could do without the board."""
    boards: dict[tuple[str, str, str, int], list[RemoteBoard]] = defaultdict(list)
    for key in v.remote_of:
        boards[key.setup, key.point, key.place, key.nth].append(key)
    for (setup_id, point_id, place, nth), keys in boards.items():
        on_it = []
        is_free = True
        for demand in v.plugged(setup_id):
            if demand.place != place or (demand, point_id, nth) not in v.remote:
                continue
            on_it.append(v.remote[demand, point_id, nth])
            option = next(o for o in v.options[demand] if o.point.id == point_id)
            straight = option.run(None)
            tier = v.tier(point_id, nth)
            leads = {lead for run in option.remote if run.tier == tier for lead in run.leads}
            if straight is None or (straight.leads and not leads <= set(straight.leads)):
                is_free = False
        if is_free:
            v.model.add(total(on_it) >= 2 * total(v.remote_of[key] for key in keys))


def sockets_before_boards(v: Variables) -> None:
    """A power board lies at a point only when every socket is in use and each board has two units.

    Otherwise one unit could move from the board to the free socket, on the same lead.
    """
    for setup_id, point, options in occupied(v):
        if point.id in v.stacked:
            continue
        boards = [
            total(
                v.board_of[setup_id, point.id, nth, board.index]
                for board in v.facts.boards
                if (setup_id, point.id, nth, board.index) in v.board_of
            )
            for nth in range(v.board_count(point.id))
        ]
        boarded = [o for o in options if (o.demand, point.id, 0) in v.boarded]
        if not boarded or not all(_can_leave_board(o) for o in boarded):
            continue
        runs: list[Linear] = []
        for option in options:
            keys = [(option.demand, point.id, nth) for nth in range(len(boards))]
            runs += [v.boarded[key] for key in keys if key in v.boarded]
            if (option.demand, point.id) in v.straight:
                runs.append(v.straight[option.demand, point.id])
        runs += [
            x for key, x in v.remote_of.items() if (key.setup, key.point) == (setup_id, point.id)
        ]
        v.model.add(total(runs) >= point.sockets * boards[0] + total(boards))
        for nth, board in enumerate(boards):
            units = total(
                v.boarded[o.demand, point.id, nth]
                for o in boarded
                if (o.demand, point.id, nth) in v.boarded
            )
            v.model.add(units >= 2 * board)


def _can_leave_board(option: Candidate) -> bool:
    straight = option.run(None)
    return straight is not None and (
        not straight.leads or set(option.board_leads) <= set(straight.leads)
    )


def few_big_units_on_boards(v: Variables) -> None:
    """Each socket or counted board holds k units of more than a (k + 1)th of it."""
    full_ma = max((board.rating_ma for board in v.facts.boards), default=0)
    fed = fed_sockets(v)
    for setup_id, point, options in occupied(v):
        if point.id not in v.stacked:
            continue
        here = [(o.unit_ma, v.straight[o.demand, point.id]) for o in options]
        free = point.sockets - fed[setup_id, point.id]
        for most, big in _by_size(here, point.socket_ma):
            v.model.add(total(big) <= most * free)
        for place, boards in _remote_boards(v, setup_id, point.id).items():
            there = [
                (o.unit_ma, units)
                for o in options
                if o.demand.place == place
                for units in v.on_remote(o.demand, point.id)
            ]
            for most, big in _by_size(there, min(full_ma, point.socket_ma)):
                v.model.add(total(big) <= most * total(boards))


def _remote_boards(v: Variables, setup_id: str, point_id: str) -> dict[str, list[Linear]]:
    found: dict[str, list[Linear]] = defaultdict(list)
    for key, kind in v.remote_of.items():
        if (key.setup, key.point) == (setup_id, point_id):
            found[key.place].append(kind)
    return found


def _by_size(
    units: list[tuple[int, cp_model.IntVar]], full_ma: int
) -> Iterator[tuple[int, list[cp_model.IntVar]]]:
    last = 0
    for most in range(1, _MOST_COUNTED):
        big = [x for size_ma, x in units if size_ma * (most + 1) > full_ma]
        if len(big) > last:
            yield most, big
        last = len(big)
