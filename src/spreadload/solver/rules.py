"""The hard rules, one small unit each, listed in ``RULES`` so that a test can drop any of them."""

from collections import defaultdict
from collections.abc import Callable, Iterator

from spreadload.derived.records import Point
from spreadload.solver import devices
from spreadload.solver.candidates import Candidate
from spreadload.solver.variables import Linear, RemoteBoard, Variables, total, weighted

Rule = Callable[[Variables], None]


def place_every_unit(v: Variables) -> None:
    """Every asked unit is placed, left out where allowed, or switched off."""
    for demand, options in v.options.items():
        placed = total(v.spread[demand, e] for e in dict.fromkeys(o.point.exposure for o in options))
        off = demand.count * v.is_off(demand)
        v.model.add(placed + v.left_out.get(demand, 0) + off == demand.count)


def share_sockets(v: Variables) -> None:
    """A socket holds one unit or one power board; a box's sockets exist only where the box is."""
    for setup_id, point, options in _occupied(v):
        straight = [v.straight[o.demand, point.id] for o in options if _is_straight(v, o)]
        boards = total(
            kind
            for nth in range(v.board_count(point.id))
            for kind in _kinds(v, setup_id, point.id, nth)
        )
        remote = total(_remote_kinds(v, setup_id, point.id))
        v.model.add(total(straight) + boards + remote <= point.sockets)


def fill_boards(v: Variables) -> None:
    """A power board has one kind, its ways, its rating, and only loads whose plug it takes."""
    for setup_id, point, options in _occupied(v):
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
        if len(taken) < len(kinds):
            v.model.add(unit <= option.demand.count * total(taken))


def fill_remote_boards(v: Variables) -> None:
    """A board at a place has one kind, its ways, and no more amps than it and its socket carry."""
    groups: dict[tuple[str, str, str, int], list[RemoteBoard]] = defaultdict(list)
    for key in v.remote_of:
        groups[key.setup, key.point, key.place, key.nth].append(key)
    loads: dict[tuple[str, str, str, int], Linear] = {}
    for (setup_id, point_id, place, nth), keys in groups.items():
        point = v.facts.points[point_id]
        kinds = [(v.facts.boards[key.kind], v.remote_of[key]) for key in keys]
        on_it = [
            (option.unit_ma, v.remote[demand, point_id, nth])
            for demand in v.plugged(setup_id)
            if demand.place == place and (demand, point_id, nth) in v.remote
            for option in v.options[demand]
            if option.point.id == point_id
        ]
        load = weighted(on_it)
        v.model.add_at_most_one(kind for _, kind in kinds)
        v.model.add(total(u for _, u in on_it) <= weighted((b.ways, kind) for b, kind in kinds))
        v.model.add(
            load <= weighted((min(b.rating_ma, point.socket_ma), kind) for b, kind in kinds)
        )
        loads[setup_id, point_id, place, nth] = load
        previous = loads.get((setup_id, point_id, place, nth - 1))
        if previous is not None:
            v.model.add(previous >= load)  # boards of one place and point are interchangeable


def limit_plates(v: Variables) -> None:
    """All sockets of a plate together stay within its rating."""
    for _, point, options in _occupied(v):
        if point.plate_ma < point.sockets * point.socket_ma or point.box is not None:
            load = weighted((o.unit_ma, v.units_at(o.demand, point.id)) for o in options)
            v.model.add(load <= point.plate_ma)


def stock_boards(v: Variables) -> None:
    """No more power boards of a kind in a set-up than the van carries."""
    in_use: dict[tuple[str, int], list[Linear]] = defaultdict(list)
    for (setup_id, _, _, index), kind in v.board_of.items():
        in_use[setup_id, index].append(kind)
    for key, kind in v.remote_of.items():
        in_use[key.setup, key.kind].append(kind)
    for (_, index), kinds in in_use.items():
        if len(kinds) > v.facts.boards[index].count:
            v.model.add(total(kinds) <= v.facts.boards[index].count)


def stand_boxes(v: Variables) -> None:
    """Boxes are in stock, fit the outlet's sockets, and no unit uses one that is not there."""
    for setup_id in v.setups():
        at_outlet: dict[str, list[tuple[str, Linear]]] = defaultdict(list)
        for point, options in _points_of(v, setup_id):
            if point.box is None:
                continue
            key = (setup_id, point.outlet, point.box)
            if key not in v.box_at:
                name = f"box {point.box} at {point.outlet} in {setup_id}"
                v.box_at[key] = v.model.new_bool_var(name)
                at_outlet[point.outlet].append((point.box, v.box_at[key]))
            units = total(v.units_at(o.demand, point.id) for o in options)
            most = sum(o.demand.count for o in options)
            v.model.add(units <= most * v.box_at[key])
        _limit_boxes(v, setup_id, at_outlet)


def _limit_boxes(
    v: Variables, setup_id: str, at_outlet: dict[str, list[tuple[str, Linear]]]
) -> None:
    for outlet_id, boxes in at_outlet.items():
        own = v.facts.points[outlet_id]
        straight = [units for (d, p), units in v.straight.items() if (d.setup, p) == (setup_id, own.id)]
        v.model.add(total(box for _, box in boxes) + total(straight) <= own.sockets)
    for box_id, box in v.facts.boxes.items():
        standing = [b for found in at_outlet.values() for name, b in found if name == box_id]
        if len(standing) > box.count:
            v.model.add(total(standing) <= box.count)


def limit_box_inlets(v: Variables) -> None:
    """Per phase, a box's load stays within its inlet and the socket it is plugged into."""
    for _, point, options in _occupied(v):
        if point.box is not None:
            socket_ma = v.facts.points[point.outlet].socket_ma
            cap_ma = min(v.facts.boxes[point.box].inlet_ma, socket_ma)
            load = weighted((o.unit_ma, v.units_at(o.demand, point.id)) for o in options)
            v.model.add(load <= cap_ma)


def stock_leads(v: Variables) -> None:
    """Every run that needs a lead gets one that does, and no kind is used beyond its stock."""
    for setup_id in v.setups():
        need: dict[tuple[int, ...], list[Linear]] = defaultdict(list)
        for point, options in _points_of(v, setup_id):
            for option in options:
                for leads, units in _needing_leads(v, option, point):
                    need[leads].append(units)
        for leads, boards in _boards_needing_leads(v, setup_id):
            need[leads].append(boards)
        for leads, units in need.items():
            for lead in leads:
                most = v.facts.leads[lead].count
                name = f"lead {lead} for {leads} in {setup_id}"
                v.lead_flow[setup_id, leads, lead] = v.model.new_int_var(0, most, name)
            v.model.add(
                total(v.lead_flow[setup_id, leads, lead] for lead in leads) == total(units)
            )
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


def _boards_needing_leads(
    v: Variables, setup_id: str
) -> Iterator[tuple[tuple[int, ...], Linear]]:
    runs = {
        (option.point.id, demand.place, run.board): run.leads
        for demand in v.plugged(setup_id)
        for option in v.options[demand]
        for run in option.remote
    }
    for key, kind in v.remote_of.items():
        if key.setup == setup_id:
            yield runs[key.point, key.place, key.kind], kind


def limit_circuits(v: Variables) -> None:
    """Everything that might be on a circuit stays within its breaker, pole by pole."""
    if v.relaxed.breakers_may_overload:
        return
    for device in devices.circuits(v):
        v.model.add(device.load <= device.limit)


def limit_feeds(v: Variables) -> None:
    """Everything under a sub-board stays within its feed, phase by phase."""
    if v.relaxed.breakers_may_overload:
        return
    for device in devices.feeds(v):
        v.model.add(device.load <= device.limit)


def limit_phases(v: Variables) -> None:
    """Each phase stays within the supply limit."""
    if v.relaxed.breakers_may_overload:
        return
    for device in devices.phases(v):
        v.model.add(device.load <= device.limit)


def limit_rcd_amps(v: Variables) -> None:
    """Each RCD stays within its rated amps, where stated."""
    if v.relaxed.breakers_may_overload:
        return
    for device in devices.rcd_amps(v):
        v.model.add(device.load <= device.limit)


def limit_leakage(v: Variables) -> None:
    """Standing leakage behind each RCD stays below where it may trip."""
    for device in devices.leakage(v):
        v.model.add(device.load <= device.limit)


def limit_contract(v: Variables) -> None:
    """Watts of everything on stay within the supply contract."""
    contract_w = v.facts.supply.contract_w
    if contract_w is None:
        return
    for setup_id in v.setups():
        watts = []
        for demand in v.facts.demands[setup_id]:
            units = demand.count * (1 - v.is_off(demand)) - v.left_out.get(demand, 0)
            watts.append(v.facts.loads[demand.load].power_w * units)
        v.model.add(total(watts) <= contract_w)


RULES: tuple[Rule, ...] = (
    place_every_unit,
    share_sockets,
    fill_boards,
    fill_remote_boards,
    limit_plates,
    stock_boards,
    stand_boxes,
    limit_box_inlets,
    stock_leads,
    limit_circuits,
    limit_feeds,
    limit_phases,
    limit_rcd_amps,
    limit_leakage,
    limit_contract,
)


def _occupied(v: Variables) -> Iterator[tuple[str, Point, list[Candidate]]]:
    for setup_id in v.setups():
        for point, options in _points_of(v, setup_id):
            yield setup_id, point, options


def _points_of(v: Variables, setup_id: str) -> Iterator[tuple[Point, list[Candidate]]]:
    by_point: dict[str, list[Candidate]] = defaultdict(list)
    for demand in v.plugged(setup_id):
        for option in v.options[demand]:
            by_point[option.point.id].append(option)
    for point_id, options in sorted(by_point.items()):
        yield v.facts.points[point_id], options


def _is_straight(v: Variables, option: Candidate) -> bool:
    return (option.demand, option.point.id) in v.straight


def _remote_kinds(v: Variables, setup_id: str, point_id: str) -> list[Linear]:
    return [
        kind
        for key, kind in v.remote_of.items()
        if (key.setup, key.point) == (setup_id, point_id)
    ]


def _kinds(v: Variables, setup_id: str, point_id: str, nth: int) -> list[Linear]:
    return [
        v.board_of[setup_id, point_id, nth, board.index]
        for board in v.facts.boards
        if (setup_id, point_id, nth, board.index) in v.board_of
    ]
