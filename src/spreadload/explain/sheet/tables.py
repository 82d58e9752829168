"""Lists for the truck: what to pull, what each load draws, labels, test record, logs, return."""

from collections import defaultdict
from collections.abc import Iterator

from spreadload import practice
from spreadload.explain.briefing import Briefing
from spreadload.explain.judged import JudgedPlan
from spreadload.explain.names import circuits_of, point_name, row, units_name
from spreadload.explain.sheet.board import ways_in_order
from spreadload.explain.sheet.records import Table
from spreadload.units import MILLI, shown_amps, shown_capacity_amps

# Common practice, no source: one spare for every four of a kind.
_SPARE_FOR_EVERY = 4


def tables(briefing: Briefing) -> tuple[Table, ...]:
    """Return every list, in the order a crew needs them."""
    judged = briefing.judged
    return (
        _pull(briefing),
        _loads(judged),
        _departments(judged),
        _labels(judged),
        _tests(judged),
        _trips(judged),
        _returns(judged),
    )


def _pull(briefing: Briefing) -> Table:
    judged = briefing.judged
    rows = [
        _pulled(judged, pull.kind, pull.name, (pull.needed, pull.in_stock))
        for pull in briefing.pulls
    ]
    note = (
        "Spares: one for every four, as far as the stock goes (common practice, no source). "
        "Also: labels and tape, socket tester, meter, torches, work light on battery, ramps and "
        "mats for every crossing."
    )
    columns = (
        "item", "size / type", "plug → socket", "length", "needed", "spare", "in stock",
        "where first", "RCD in line?", "tag in date?", "out", "back",
    )  # fmt: skip
    return Table("pull-list", "Pull list", columns, tuple(rows), note)


def _pulled(judged: JudgedPlan, kind: str, name: str, counts: tuple[int, int]) -> tuple[str, ...]:
    needed, stock = counts
    spare = min(-(-needed // _SPARE_FOR_EVERY), max(stock - needed, 0))
    size = ends = length = rcd = ""
    if kind == "lead":
        lead = next(lead for lead in judged.facts.leads if lead.name == name)
        is_adaptor = lead.plug != lead.socket
        kind = "adaptor" if is_adaptor else "lead"
        size, ends, length = lead.size, _ends(lead.plug, lead.socket), f"{lead.length_m:g} m"
    elif kind == "board":
        board = next(board for board in judged.facts.boards if board.name == name)
        stated = judged.facts.job.power_boards[board.index]
        size, ends = f"{board.rating_ma / MILLI:g} A, {board.ways} ways", board.plug
        rcd = f"{stated.rcd_ma:g} mA" if stated.rcd_ma else ""
    else:
        box, own = judged.facts.boxes[name], judged.facts.job.boxes[name]
        size, ends = f"{own.outlets_per_phase} a phase", _ends(box.inlet, box.outlet)
        rcd = f"{own.rcd_ma:g} mA" if own.rcd_ma else ""
    first = _first_used(judged, kind, name)
    count = (str(needed), str(spare), str(stock))
    return (kind, f"{name}, {size}" if kind in ("board", "box") else size, ends, length, *count,
            first, rcd, "", "", "")  # fmt: skip


def _ends(plug: str, socket: str) -> str:
    return plug if plug == socket else f"{plug} → {socket}"


def _first_used(judged: JudgedPlan, kind: str, name: str) -> str:
    """Return the outlet and place where something comes out first."""
    facts = judged.facts
    for p in judged.known:
        leads = [lead.name for lead in facts.leads if lead.index in (p.lead, p.board_lead)]
        board = next((b.name for b in facts.boards if b.index == p.board), "")
        box = judged.point(p).box or ""
        names = leads if kind in ("lead", "adaptor") else [board if kind == "board" else box]
        if name in names:
            place = f", {p.place}" if p.place else ""
            return f"{p.setup} {point_name(judged.point(p))}{place}"
    return ""


def _loads(judged: JudgedPlan) -> Table:
    volts = judged.facts.supply.planning_v
    rows = []
    for load in judged.facts.loads.values():
        stated = judged.facts.job.heads.get(load.id) or judged.facts.load_stated(load.id)
        ballast = stated.ballast.value if stated is not None and stated.ballast else ""
        cool = load.replug_cost - 1
        source = load.draw.source + (" (assumed)" if load.draw.is_assumed else "")
        rows.append(
            (
                load.id,
                load.what,
                str(load.count),
                f"{load.draw.power_w.likely:.0f}",
                shown_amps(load.unit_ma[1] / MILLI),
                f"{load.draw.power_factor:.2f}",
                ballast,
                source,
                load.plug + (" (assumed)" if load.plug_is_assumed else ""),
                f"{load.leakage_ua / MILLI:g}",
                load.leakage_source,
                f"{cool} min" if cool else "",
                stated.note if stated is not None else "",
            )
        )
    columns = (
        "id", "item", "qty", "watts", f"amps at {volts:g} V", "power factor", "ballast",
        "source of the figure", "plug", "leakage mA", "source of leakage", "cool-down", "notes",
    )  # fmt: skip
    return Table("load-schedule", "Load schedule", columns, tuple(rows), "Amps are per unit.")


def _departments(judged: JudgedPlan) -> Table:
    rows = []
    for load_id, load in judged.facts.job.departments.items():
        points: dict[str, list[str]] = defaultdict(list)
        for p in judged.known:
            if p.load == load_id:
                points[p.point].append(p.setup)
        amps = shown_amps(judged.facts.loads[load_id].unit_ma[1] / MILLI)
        for point_id, setups in points.items():
            point = judged.facts.points[point_id]
            when = row(dict.fromkeys(setups))
            on = row(circuits_of(point), "or")
            barred = "nothing else on this outlet; ask lighting first"
            rows.append(
                (load.by or "", load_id, point.room or "", point_name(point), on, amps,
                 load.what or load_id, barred, when)
            )  # fmt: skip
        if not points:
            where = load.circuit or "nowhere in this plan"
            rows.append(
                (load.by or "", load_id, load.room or load.place or "", where, load.circuit or "",
                 amps if load.circuit else "0.0", load.what or load_id,
                 "" if load.circuit else "must not be plugged in", "")
            )  # fmt: skip
    columns = (
        "department", "load", "room", "outlet", "circuit", "up to A", "allowed", "not allowed",
        "when",
    )  # fmt: skip
    ordered = tuple(sorted(rows))
    return Table("department-sheets", "Department sheets", columns, ordered, "One slip each.")


def _labels(judged: JudgedPlan) -> Table:
    rows = [*_outlet_labels(judged), *_lead_labels(judged), *_way_labels(judged)]
    columns = ("no.", "stick on", "line 1", "line 2")
    numbered = tuple((str(n), *each) for n, each in enumerate(rows, start=1))
    return Table("tape-labels", "Tape labels, in print order", columns, numbered)


def _outlet_labels(judged: JudgedPlan) -> Iterator[tuple[str, str, str]]:
    by_outlet: dict[str, set[str]] = defaultdict(set)
    for p in judged.known:
        stated = judged.facts.load_stated(p.load)
        by_outlet[judged.point(p).outlet].add(
            "LIGHTING ONLY" if stated is None else (stated.by or "house")
        )
    for outlet_id in judged.facts.job.outlets:
        point = judged.facts.points[outlet_id]
        name = f"{outlet_id} · {'/'.join(circuits_of(point))}"
        whose = row(sorted(by_outlet.get(outlet_id, ())))
        if point.is_off_limits and not whose:
            whose = "DO NOT USE"
        yield "outlet", name, whose or "ask lighting first"


def _lead_labels(judged: JudgedPlan) -> Iterator[tuple[str, str, str]]:
    for (setup, load, _, point_id), units in judged.groups.items():
        if any(p.lead is not None for p in units):
            name = units_name(judged.facts, load, [p.unit for p in units])
            outlet = point_name(judged.facts.points[point_id])
            yield "lead, plug end", outlet, f"{setup} · {name}"
            yield "lead, socket end", name, f"{setup} · from {outlet}"


def _way_labels(judged: JudgedPlan) -> Iterator[tuple[str, str, str]]:
    for circuit_id in ways_in_order(judged):
        circuit = judged.facts.circuits[circuit_id]
        if circuit.can_feed_outlets:
            cap = shown_capacity_amps(circuit.cap_ma / MILLI)
            yield "board, beside the way", f"{circuit_id} · {cap} A", "do not reset, call lighting"


def _tests(judged: JudgedPlan) -> Table:
    rows = [("RCD", rcd, f"{facts.trips_at_ma:g} mA", "", "", "", "", "")
            for rcd, facts in judged.facts.rcds.items() if "/" not in rcd]  # fmt: skip
    rows += [
        ("outlet", outlet, outlet_where(judged, outlet), "", "", "", "", "")
        for outlet in judged.facts.job.outlets
    ]
    columns = (
        "what", "id", "where / rating", "button test ok", "trip time ms, by whom, instrument",
        "socket tester", "date", "action",
    )  # fmt: skip
    note = "Trip-time tests and anything behind a cover belong to a licensed electrician."
    return Table("test-record", "RCD and outlet test record", columns, tuple(rows), note)


def outlet_where(judged: JudgedPlan, outlet_id: str) -> str:
    """Return where an outlet is: ``lounge, N wall``."""
    outlet = judged.facts.job.outlets[outlet_id]
    room = judged.facts.job.rooms.get(outlet.room) if outlet.room else None
    name = (room.name if room else None) or outlet.room or ""
    return ", ".join(part for part in (name, outlet.where) if part)


def _trips(judged: JudgedPlan) -> Table:
    del judged
    columns = (
        "time", "device", "kind", "on for how long", "just switched on", "dark outlets",
        "still on", "plan amps", "cause found", "what moved", "back at", "min lost", "taught",
    )  # fmt: skip
    note = "A device that opens again is left open: something is wrong, call the electrician."
    return Table("trip-log", "Trip log", columns, (), note, blank=10)


def _returns(judged: JudgedPlan) -> Table:
    job = judged.facts.job
    off = {entry.load for entry in judged.plan.switched_off}
    rows = [
        ("house load", load_id, load.what or load_id, _left(load_id, off, load.policy or ""), "",
         "", "")
        for load_id, load in job.house.items()
    ]  # fmt: skip
    rows += [("breaker", c, job.circuits[c].label, "", "", "", "") for c in ways_in_order(judged)]
    rows += [("RCD", rcd, "", "", "", "", "") for rcd in job.rcds]
    usual = ("timers and clocks", "alarm", "router", "plates and outlets undamaged",
             "faults found, told to owner", "energy used kWh, price")  # fmt: skip
    rows += [("house", name, "", "", "", "", "") for name in usual]
    columns = ("what", "id", "label", "for the shoot", "as found", "as left", "checked by")
    return Table("return-sheet", "Return sheet: the house as found", columns, tuple(rows))


def _left(load_id: str, off: set[str], policy: str) -> str:
    return "switched off: put back on" if load_id in off else policy


def regions_signing(region: str) -> tuple[str, ...]:
    """Return who signs: the gaffer, the location, and the person the region holds responsible."""
    del region
    return ("gaffer", "location / owner", "responsible person for electrical work")


def ordinary_plug(region: str) -> str:
    """Return the plug of ordinary outlets in a region."""
    return practice.region(region).ordinary_plug
