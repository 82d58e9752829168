"""What the phone needs to follow taps with the tool's own arithmetic: whole mA, rows to add up.

Every unit names the rows of the devices it counts on, every outlet the rows a plug there would
count on; the page only adds and compares.
"""

from typing import Any

from spreadload import practice
from spreadload.check.devices import Devices
from spreadload.check.state import Plugged, SetupState, Wired
from spreadload.derived.facts import Facts
from spreadload.derived.records import SupplyFacts
from spreadload.explain.first_moves import FirstMove
from spreadload.explain.judged import JudgedPlan
from spreadload.explain.names import circuits_of, device_name, point_name, unit_name
from spreadload.explain.sheet.board import ways_in_order
from spreadload.explain.sheet.possible import possible_wirings
from spreadload.explain.sheet.tables import outlet_where
from spreadload.job.observations import Log
from spreadload.job.red_flags import open_flags
from spreadload.words import row, setup_name

Data = dict[str, Any]


def live_data(judged: JudgedPlan, first_moves: tuple[FirstMove, ...], log: Log | None) -> Data:
    """Return devices, outlets, units per set-up and the wirings still possible, as plain data."""
    facts = judged.facts
    devices = Devices(facts)
    anywhere = _anywhere(judged, devices)
    region = practice.region(facts.job.region)
    return {
        "order": ways_in_order(judged),
        "devices": _devices(judged, devices),
        "rcds": [
            {"id": r.id, "guide_ua": r.guide_ua, "may_trip_ua": r.may_trip_ua}
            for r in facts.rcds.values()
        ],
        "circuits": {c: _circuit(judged, c) for c in facts.circuits},
        "points": [_point(judged, devices, p) | anywhere.get(p, {}) for p in facts.points],
        "outlets": {o: _outlet(judged, o) for o in facts.job.outlets},
        "setups": [_setup(judged, anywhere, s) for s in judged.judge.states(judged.plan)],
        "continuous": facts.continuous_factor if region.has_continuous_rule else 1.0,
        "planning_v": facts.supply.planning_v,
        "contract": _contract(facts.supply),
        "red_flags": [str(flag) for flag in open_flags(facts.job)],
        "first_moves": [_first_move(move) for move in first_moves],
        "wirings": possible_wirings(facts, log),
    }


def _first_move(move: FirstMove) -> Data:
    return {
        "setup": move.setup,
        "circuit": move.circuit,
        "text": move.text,
        "before": move.before_a,
        "after": move.after_a,
        "for_room": move.is_for_room,
        "likely": move.is_likely,
    }


def _contract(supply: SupplyFacts) -> Data | None:
    """Return what the contract allows and what it counts, watts or milliamps of both legs."""
    if supply.contract is None:
        return None
    return {"cap": supply.contract.cap, "unit": supply.contract.counted.value}


def _anywhere(judged: JudgedPlan, devices: Devices) -> dict[str, Data]:
    """Return, for points left to the wiring maps, every row a plug there might count on."""
    full = Facts.of(judged.facts.job).points
    return {
        point.id: {"anywhere": devices.rows_of(full[point.id].exposure)}
        for point in judged.facts.points.values()
        if point.exposure.left_to_maps
    }


def _devices(judged: JudgedPlan, devices: Devices) -> list[Data]:
    # The judge tells the use of every device in the order of its rows.
    used = judged.usages[next(iter(judged.facts.demands))]
    return [
        {
            "kind": device.kind,
            "id": device.id,
            "pole": device.pole,
            "name": device_name(judged.facts, usage),
            "cap_ma": device.cap_ma,
            "counted": device.is_counted,
        }
        for device, usage in zip(devices.rows, used, strict=True)
    ]


def _circuit(judged: JudgedPlan, circuit_id: str) -> Data:
    circuit = judged.facts.circuits[circuit_id]
    return {
        "label": circuit.label,
        "cap_ma": circuit.cap_ma,
        "rcds": sorted(circuit.rcds),
        "single_ma": judged.facts.single_load_ma(circuit_id),
        "feeds_outlets": circuit.can_feed_outlets,
        "way": judged.facts.job.circuits[circuit_id].way or "",
    }


def _point(judged: JudgedPlan, devices: Devices, point_id: str) -> Data:
    point = judged.facts.points[point_id]
    single = [judged.facts.single_load_ma(c) for c in circuits_of(point)]
    limits = [limit for limit in single if limit is not None]
    return {
        "id": point.id,
        "name": point_name(point),
        "outlet": point.outlet,
        "where": outlet_where(judged, point.outlet),
        "box": point.box is not None,
        "rows": devices.rows_of(point.exposure),
        "circuits": circuits_of(point),
        "rcds": sorted(point.exposure.rcds),
        "sockets": point.sockets,
        "socket_ma": point.socket_ma,
        "plate_ma": point.plate_ma,
        "single_ma": min(limits) if limits else None,
        "off_limits": point.is_off_limits,
        "last_resort": point.is_last_resort,
    }


def _outlet(judged: JudgedPlan, outlet_id: str) -> Data:
    outlet = judged.facts.job.outlets[outlet_id]
    return {
        "where": outlet_where(judged, outlet_id),
        "rcd": outlet.rcd,
        "circuits": circuits_of(judged.facts.points[outlet_id]),
    }


def _setup(judged: JudgedPlan, anywhere: dict[str, Data], state: SetupState) -> Data:
    setup = judged.facts.job.setup(state.setup)
    return {
        "id": setup.id,
        "said": setup_name(setup.id),
        "name": setup.name,
        "from": setup.from_ or "",
        "to": setup.to or "",
        "units": [
            *(_plugged(judged, u) | anywhere.get(u.point.id, {}) for u in state.plugged),
            *(_wired(judged, w) for w in state.wired),
        ],
    }


def _plugged(judged: JudgedPlan, u: Plugged) -> Data:
    return {
        "load": u.load.id,
        "unit": u.unit,
        "name": unit_name(judged.facts, u.load.id, u.unit),
        "place": u.demand.place or "",
        "point": u.point.id,
        "socket": u.socket,
        "rows": u.behind.rows,
        "on": row(sorted(u.behind.might_be_on), "or"),
        "circuits": sorted(u.behind.might_be_on),
        "rcds": sorted(u.behind.rcds),
        "ma": u.unit_ma,
        "counted_ma": u.counted_ma,
        "ua": u.load.leakage_ua,
        "of_contract": judged.facts.contract_takes(u.load.id, None),
        "head": u.load.is_head,
    }


def _wired(judged: JudgedPlan, w: Wired) -> Data:
    return {
        "load": w.load.id,
        "unit": 0,
        "name": w.load.id,
        "place": "",
        "point": "",
        "socket": 0,
        "rows": w.behind.rows,
        "on": w.circuit,
        "circuits": [w.circuit],
        "rcds": sorted(w.behind.rcds),
        "ma": w.unit_ma * w.count,
        "counted_ma": w.counted_ma * w.count,
        "ua": w.load.leakage_ua * w.count,
        "of_contract": judged.facts.contract_takes(w.load.id, w.circuit) * w.count,
        "head": False,
    }
