"""The hard rules, one small unit each, listed in ``RULES`` so that a test can drop any of them.

``CORE_RULES`` look only at how many units are on which point; ``RUN_RULES`` (in their own module)
look at how each unit gets there, and lay the runs when they are put in.
"""

from collections import defaultdict
from collections.abc import Callable

from spreadload.solver.model import devices
from spreadload.solver.model.occupied import occupied, points_of
from spreadload.solver.model.run_rules import RUN_RULES
from spreadload.solver.model.variables import Linear, Variables, total, weighted

Rule = Callable[[Variables], None]


def place_every_unit(v: Variables) -> None:
    """Every asked unit is placed, left out where allowed, or switched off."""
    for demand, options in v.options.items():
        placed = total(
            v.spread[demand, e] for e in dict.fromkeys(o.point.exposure for o in options)
        )
        off = demand.count * v.is_off(demand)
        v.model.add(placed + v.left_out.get(demand, 0) + off == demand.count)


def limit_plates(v: Variables) -> None:
    """All sockets of a plate stay within its rating, a box standing there included per phase."""
    loads: dict[tuple[str, str], Linear] = {}
    for setup_id, point, options in occupied(v):
        load = weighted((o.unit_ma, v.units_at(o.demand, point.id)) for o in options)
        loads[setup_id, point.id] = load
        if point.plate_ma < point.sockets * point.socket_ma or point.box is not None:
            v.model.add(load <= point.plate_ma)
    for setup_id, point, _ in occupied(v):
        own = loads.get((setup_id, point.outlet))
        if point.box is not None and own is not None:
            v.model.add(loads[setup_id, point.id] + own <= v.facts.points[point.outlet].plate_ma)


def stand_boxes(v: Variables) -> None:
    """Boxes are in stock, fit the outlet's sockets, and no unit uses one that is not there."""
    for setup_id in v.setups():
        at_outlet: dict[str, list[tuple[str, Linear]]] = defaultdict(list)
        for point, options in points_of(v, setup_id):
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
        _limit_boxes(v, at_outlet)


def _limit_boxes(v: Variables, at_outlet: dict[str, list[tuple[str, Linear]]]) -> None:
    for outlet_id, boxes in at_outlet.items():
        own = v.facts.points[outlet_id]
        v.model.add(total(box for _, box in boxes) <= own.sockets)
    for box_id, box in v.facts.boxes.items():
        standing = [b for found in at_outlet.values() for name, b in found if name == box_id]
        if len(standing) > box.count:
            v.model.add(total(standing) <= box.count)


def limit_box_inlets(v: Variables) -> None:
    """Per phase, a box's load stays within its inlet and the socket it is plugged into."""
    for _, point, options in occupied(v):
        if point.box is not None:
            socket_ma = v.facts.points[point.outlet].socket_ma
            cap_ma = min(v.facts.boxes[point.box].inlet_ma, socket_ma)
            load = weighted((o.unit_ma, v.units_at(o.demand, point.id)) for o in options)
            v.model.add(load <= cap_ma)


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
    """Everything on stays within the supply contract: its watts, or both legs' amps."""
    contract = v.facts.supply.contract
    if contract is None:
        return
    for setup_id in v.setups():
        taken = []
        for demand in v.facts.demands[setup_id]:
            units = demand.count * (1 - v.is_off(demand)) - v.left_out.get(demand, 0)
            taken.append(v.facts.contract_takes(demand.load, demand.circuit) * units)
        v.model.add(total(taken) <= contract.cap)


CORE_RULES: tuple[Rule, ...] = (
    place_every_unit,
    limit_plates,
    stand_boxes,
    limit_box_inlets,
    limit_circuits,
    limit_feeds,
    limit_phases,
    limit_rcd_amps,
    limit_leakage,
    limit_contract,
)
RULES: tuple[Rule, ...] = (*CORE_RULES, *RUN_RULES)
