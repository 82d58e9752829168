"""The hard rules about runs: sockets, power boards and leads, from the point to the unit."""

from collections import defaultdict
from collections.abc import Callable, Iterator

from spreadload.derived.records import Point
from spreadload.solver.model.candidates import Candidate
from spreadload.solver.model.occupied import fed_sockets, occupied, points_of
from spreadload.solver.model.runs import lay_runs
from spreadload.solver.model.variables import Linear, RemoteBoard, Variables, total, weighted


def reach_points(v: Variables) -> None:
    """Every unit at a point has a run there, straight or through a power board."""
    lay_runs(v)


def share_sockets(v: Variables) -> None:
    """A socket holds one unit, one power board or one box."""
    fed = fed_sockets(v)
    lying: dict[tuple[str, str], list[Linear]] = defaultdict(list)
    for (setup_id, point_id, _, _), kind in v.board_of.items():
        lying[setup_id, point_id].append(kind)
    for setup_id, point, options in occupied(v):
        where = (setup_id, point.id)
        straight = total(
            v.straight[o.demand, point.id] for o in options if (o.demand, point.id) in v.straight
        )
        seated = v.seated.get(where, 0)
        v.model.add(straight - seated + total(lying[where]) + fed[where] <= point.sockets)


def fill_boards(v: Variables) -> None:
    """A power board has one kind, its ways, its rating, and only loads whose plug it takes."""
    for (setup_id, point_id), seated in v.seated.items():
        kinds = [(b, v.board_of[setup_id, point_id, 0, b.index]) for b in v.facts.boards]
        v.model.add(seated <= weighted((b.ways, kind) for b, kind in kinds))
        there = [x for (d, p), x in v.straight.items() if (d.setup, p) == (setup_id, point_id)]
        v.model.add(seated <= total(there))
    _share_amps(v)
    for setup_id, point, options in occupied(v):
        previous: Linear | None = None
        for nth in range(v.board_count(point.id)):
            on_it = [o for o in options if (o.demand, point.id, nth) in v.boarded]
            if not on_it:
                continue
            _fill_one_board(v, setup_id, point, nth, on_it)
            load = weighted((o.unit_ma, v.boarded[o.demand, point.id, nth]) for o in on_it)
            if previous is not None:
                v.model.add(previous >= load)  # boards of one plate are interchangeable
            previous = load


def _share_amps(v: Variables) -> None:
    """What finds no socket of its own at a stacked point is not too much for the boards there.

    The largest units are best off in the sockets. For any size, every unit counted as no larger
    than that, the sockets hold one unit of that size each and the boards hold their rating; that
    these sums hold for the sizes at hand is the same as that the largest units in the sockets leave
    the boards no more than all of them carry (the two sides of a linear programme). Of a size of
    which any board carries as many as it has ways, the ways say as much.
    """
    fed = fed_sockets(v)
    for setup_id, point, options in occupied(v):
        if (setup_id, point.id) not in v.seated:
            continue
        kinds = [(b, v.board_of[setup_id, point.id, 0, b.index]) for b in v.facts.boards]
        held = weighted((min(b.rating_ma, point.socket_ma), kind) for b, kind in kinds)
        alone = point.sockets - total(k for _, k in kinds) - fed[setup_id, point.id]
        there = [(o.share_ma, v.straight[o.demand, point.id]) for o in options]
        by_ways_ma = min(min(b.rating_ma, point.socket_ma) // b.ways for b, _ in kinds)
        for most_ma in sorted({size_ma for size_ma, _ in there if size_ma > by_ways_ma}):
            counted = weighted((min(size_ma, most_ma), x) for size_ma, x in there)
            v.model.add(counted <= held + most_ma * alone)


def _fill_one_board(
    v: Variables, setup_id: str, point: Point, nth: int, on_it: list[Candidate]
) -> None:
    kinds = [(b, v.board_of[setup_id, point.id, nth, b.index]) for b in v.facts.boards]
    v.model.add_at_most_one(kind for _, kind in kinds)
    units = [v.boarded[o.demand, point.id, nth] for o in on_it]
    v.model.add(total(units) <= weighted((b.ways, kind) for b, kind in kinds))
    v.model.add(
        weighted((o.unit_ma, v.boarded[o.demand, point.id, nth]) for o in on_it)
        <= weighted((min(b.rating_ma, point.socket_ma), kind) for b, kind in kinds)
    )
    for option in on_it:
        unit = v.boarded[option.demand, point.id, nth]
        taken = [kind for b, kind in kinds if option.run(b.index) is not None]
        v.model.add(unit <= v.upper(unit) * total(taken))


def fill_remote_boards(v: Variables) -> None:
    """A board at a place has one kind, its ways, and no more amps than it and its socket carry."""
    groups: dict[tuple[str, str, str, int], list[RemoteBoard]] = defaultdict(list)
    for key in v.remote_of:
        groups[key.setup, key.point, key.place, key.nth].append(key)
    loads: dict[tuple[str, str, str, int], Linear] = {}
    for (setup_id, point_id, place, nth), keys in groups.items():
        load = _fill_one_remote(v, keys)
        loads[setup_id, point_id, place, nth] = load
        previous = loads.get((setup_id, point_id, place, nth - 1))
        if previous is not None and v.tier(point_id, nth) == v.tier(point_id, nth - 1):
            v.model.add(previous >= load)  # boards of one place, point and tier are alike


def _fill_one_remote(v: Variables, keys: list[RemoteBoard]) -> Linear:
    setup_id, point_id, place, nth, _ = keys[0]
    socket_ma = v.facts.points[point_id].socket_ma
    kinds = [(v.facts.boards[key.kind], v.remote_of[key]) for key in keys]
    on_it: list[tuple[int, Linear]] = []
    for demand in v.plugged(setup_id):
        if demand.place != place or (demand, point_id, nth) not in v.remote:
            continue
        option = next(o for o in v.options[demand] if o.point.id == point_id)
        unit = v.remote[demand, point_id, nth]
        on_it.append((option.unit_ma, unit))
        taken = {run.board for run in option.remote if run.tier == v.tier(point_id, nth)}
        boards = total(kind for board, kind in kinds if board.index in taken)
        v.model.add(unit <= v.upper(unit) * boards)
    v.model.add(total(u for _, u in on_it) <= weighted((b.ways, kind) for b, kind in kinds))
    load = weighted(on_it)
    if point_id not in v.stacked:
        v.model.add_at_most_one(kind for _, kind in kinds)
    v.model.add(load <= weighted((min(b.rating_ma, socket_ma), kind) for b, kind in kinds))
    return load


def stock_boards(v: Variables) -> None:
    """No more power boards of a kind in a set-up than the van carries."""
    for (_, index), kinds in boards_in_use(v).items():
        if len(kinds) > v.facts.boards[index].count:
            v.model.add(total(kinds) <= v.facts.boards[index].count)


def boards_in_use(v: Variables) -> dict[tuple[str, int], list[Linear]]:
    """Return what counts the power boards of a kind that a set-up uses, by set-up and index."""
    in_use: dict[tuple[str, int], list[Linear]] = defaultdict(list)
    for (setup_id, _, _, index), kind in v.board_of.items():
        in_use[setup_id, index].append(kind)
    for key, kind in v.remote_of.items():
        in_use[key.setup, key.kind].append(kind)
    return in_use


def stock_leads(v: Variables) -> None:
    """Every run that needs a lead gets one that does, and no kind is used beyond its stock."""
    for setup_id in v.setups():
        need: dict[tuple[int, ...], list[Linear]] = defaultdict(list)
        for point, options in points_of(v, setup_id):
            for option in options:
                for leads, units in _needing_leads(v, option, point):
                    need[leads].append(units)
        for leads, boards in _boards_needing_leads(v, setup_id):
            need[leads].append(boards)
        for leads, units in need.items():
            for index in leads:
                most = v.facts.leads[index].count
                name = f"lead {index} for {leads} in {setup_id}"
                v.lead_flow[setup_id, leads, index] = v.model.new_int_var(0, most, name)
            v.model.add(total(v.lead_flow[setup_id, leads, i] for i in leads) == total(units))
        for lead in v.facts.leads:
            flows = [f for (s, _, i), f in v.lead_flow.items() if (s, i) == (setup_id, lead.index)]
            if len(flows) > 1:
                v.model.add(total(flows) <= lead.count)


def _needing_leads(
    v: Variables, option: Candidate, point: Point
) -> Iterator[tuple[tuple[int, ...], Linear]]:
    straight = option.run(None)
    if straight is not None and straight.leads:
        yield straight.leads, v.straight[option.demand, point.id]
    for nth in range(v.board_count(point.id)):
        units = v.boarded.get((option.demand, point.id, nth))
        if units is not None and option.board_leads:
            yield option.board_leads, units


def _boards_needing_leads(v: Variables, setup_id: str) -> Iterator[tuple[tuple[int, ...], Linear]]:
    runs = {
        (option.point.id, demand.place, run.tier, run.board): run.leads
        for demand in v.plugged(setup_id)
        for option in v.options[demand]
        for run in option.remote
    }
    for key, kind in v.remote_of.items():
        if key.setup == setup_id:
            yield runs[key.point, key.place, v.tier(key.point, key.nth), key.kind], kind


RUN_RULES: tuple[Callable[[Variables], None], ...] = (
    reach_points,
    share_sockets,
    fill_boards,
    fill_remote_boards,
    stock_boards,
    stock_leads,
)
