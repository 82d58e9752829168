"""Where a plug can go, and everything a load there might be on."""

from collections.abc import Iterator
from dataclasses import replace
from math import inf

from spreadload import practice
from spreadload.derived.records import CircuitFacts, Exposure, Point, SupplyFacts
from spreadload.job.job import Job
from spreadload.job.kit import DistributionBox
from spreadload.job.phases import LEGS
from spreadload.job.red_flags import open_flags
from spreadload.job.site import HowKnown, Outlet, Permission, RoomUse
from spreadload.units import capacity_milliamps

# Left alone where that can be: kitchens for the caterers, bathrooms for the water in them.
LAST_RESORT_ROOMS = frozenset({RoomUse.KITCHEN, RoomUse.PANTRY, RoomUse.BATHROOM})


def possible_circuits(job: Job, circuits: dict[str, CircuitFacts]) -> dict[str, frozenset[str]]:
    """Return the circuits each outlet might be on, statements between outlets included."""
    feeding = frozenset(c.id for c in circuits.values() if c.can_feed_outlets)
    possible = {
        outlet_id: frozenset({outlet.circuit})
        if outlet.circuit is not None
        else frozenset(outlet.maybe_on) or feeding
        for outlet_id, outlet in job.outlets.items()
    }
    for group in job.same_circuit:
        members = [o for o in group if o in possible]
        shared = frozenset.intersection(*(possible[o] for o in members)) if members else feeding
        for outlet_id in members:
            possible[outlet_id] = shared or possible[outlet_id]
    for group in job.different_circuit:
        for outlet_id in group:
            others = [possible[o] for o in group if o != outlet_id and o in possible]
            taken = frozenset(c for them in others if len(them) == 1 for c in them)
            if outlet_id in possible and possible[outlet_id] - taken:
                possible[outlet_id] -= taken
    return possible


def points(
    job: Job,
    circuits: dict[str, CircuitFacts],
    supply: SupplyFacts,
    *,
    is_left_to_maps: bool = False,
) -> dict[str, Point]:
    """Return every point of the site by id: outlets, and boxes standing at outlets.

    Args:
        job: The job.
        circuits: Its circuits, worked out.
        supply: Its supply, worked out.
        is_left_to_maps: Let an outlet of unknown circuit count only on what is so on every map,
            because the wiring maps look after the rest.
    """
    possible = possible_circuits(job, circuits)
    found: dict[str, Point] = {}
    for outlet_id, outlet in job.outlets.items():
        on = [circuits[c] for c in sorted(possible[outlet_id])]
        here = [_outlet_point(job, outlet_id, outlet, on, supply)]
        here += _box_points(job, here[0], on)
        for point in here:
            found[point.id] = _left_to_maps(job, point, on) if is_left_to_maps else point
    return found


def exposure_on(job: Job, point: Point, circuit: CircuitFacts) -> Exposure:
    """Return what a load at a point is on if its outlet is on one given circuit."""
    own_rcd = job.outlets[point.outlet].rcd
    behind = {own_rcd} if own_rcd else set()
    if point.box is not None and job.boxes[point.box].rcd_ma is not None:
        behind.add(f"{point.outlet}/{point.box}")
    # Only a box at an outlet of several poles picks one of them.
    several = point.box is not None and point.box_phase in circuit.phases and circuit.poles > 1
    phases = frozenset({point.box_phase}) if several and point.box_phase else None
    return exposure([circuit], phases, frozenset(behind))


def _left_to_maps(job: Job, point: Point, on: list[CircuitFacts]) -> Point:
    if len(on) <= 1:
        return point
    each = [exposure_on(job, point, circuit) for circuit in on]
    certain = Exposure(
        frozenset.intersection(*(e.circuits for e in each)),
        frozenset.intersection(*(e.phases for e in each)),
        frozenset.intersection(*(e.rcds for e in each)),
        frozenset.intersection(*(e.feeds for e in each)),
        left_to_maps=point.outlet,
        maybe=frozenset(circuit.id for circuit in on),
    )
    return replace(point, exposure=certain)


def exposure(
    on: list[CircuitFacts], phases: frozenset[str] | None, extra_rcds: frozenset[str]
) -> Exposure:
    """Return what a load might be on; ``phases`` picks poles of many-pole circuits."""
    poles: set[tuple[str, str]] = set()
    lines: set[str] = set()
    feeds: set[tuple[str, str]] = set()
    rcds = set(extra_rcds)
    for circuit in on:
        used = frozenset(circuit.phases) if phases is None else phases & frozenset(circuit.phases)
        poles |= {(circuit.id, line if circuit.poles > 1 else "") for line in used}
        lines |= used
        feeds |= {(feed, line) for feed in circuit.feeds for line in used}
        rcds |= circuit.rcds
    return Exposure(frozenset(poles), frozenset(lines), frozenset(rcds), frozenset(feeds))


def _outlet_point(
    job: Job, outlet_id: str, outlet: Outlet, on: list[CircuitFacts], supply: SupplyFacts
) -> Point:
    region = practice.region(job.region)
    plug = outlet.plug or region.ordinary_plug
    standard = practice.plug(plug)
    sockets = sockets_of(job, outlet)
    socket_a = outlet.socket_a or standard.rated_a
    plate_a = outlet.plate_a or min(socket_a * sockets, _usual_plate_a(region, standard, socket_a))
    share = region.socket_load_fraction.value if region.socket_load_fraction else 1.0
    room = job.rooms.get(outlet.room) if outlet.room else None
    poles = standard.phases if standard.is_three_phase else _poles(on, len(supply.phases))
    last_resort = (
        outlet.use is Permission.LAST_RESORT
        or (room is not None and room.use in LAST_RESORT_ROOMS)
        or any(circuit.is_taken_last for circuit in on)
    )
    return Point(
        id=outlet_id,
        outlet=outlet_id,
        box=None,
        box_phase=None,
        sockets=sockets,
        rated_ma=capacity_milliamps(socket_a),
        socket_ma=capacity_milliamps(socket_a * share),
        plate_ma=capacity_milliamps(plate_a),
        plug=plug,
        poles=poles,
        exposure=exposure(on, None, frozenset({outlet.rcd} if outlet.rcd else ())),
        room=outlet.room,
        box_cable_m=0.0,
        is_proven=outlet.circuit is not None and outlet.known is not HowKnown.GUESSED,
        is_last_resort=last_resort,
        is_off_limits=outlet.use is Permission.OFF_LIMITS
        or any(flag.outlet == outlet_id for flag in open_flags(job))
        or (outlet.known is not HowKnown.GUESSED and not any(c.is_usable for c in on)),
        source=f"{standard.standard}, {socket_a:g} A a socket"
        + (f" x {share:g} for one plug-in load" if share < 1 else ""),
    )


def sockets_of(job: Job, outlet: Outlet) -> int:
    """Return the sockets of an outlet; an everyday plate nobody counted has the usual number."""
    if outlet.sockets is not None:
        return outlet.sockets
    region = practice.region(job.region)
    everyday = outlet.plug in (None, region.ordinary_plug, *region.room_plugs)
    return round(region.sockets_per_plate.value) if everyday else 1


def _usual_plate_a(region: practice.Region, standard: practice.Plug, socket_a: float) -> float:
    """Return what a plate with several sockets carries in all [A]."""
    if standard.id == region.ordinary_plug:
        return max(region.double_plate_a.value, socket_a)
    return standard.plate_a or inf


def _poles(on: list[CircuitFacts], phase_count: int) -> int:
    """Return poles of a plug that is not three-phase: two only on a circuit of both legs."""
    both_legs = phase_count == LEGS and all(circuit.poles == LEGS for circuit in on)
    return LEGS if both_legs and on else 1


def _box_points(job: Job, own: Point, on: list[CircuitFacts]) -> Iterator[Point]:
    for box_id, box in job.boxes.items():
        if not practice.plug(box.inlet).enters_outlet(own.plug):
            continue
        phases = sorted(own.exposure.phases) if own.poles > 1 else [None]
        for phase in phases:
            yield _box_point(job, own, on, (box_id, box), phase)


def _box_point(
    job: Job,
    own: Point,
    on: list[CircuitFacts],
    named_box: tuple[str, DistributionBox],
    phase: str | None,
) -> Point:
    box_id, box = named_box
    standard = practice.plug(box.outlet)
    socket_a = box.outlet_a or standard.rated_a
    own_rcd = frozenset({f"{own.outlet}/{box_id}"} if box.rcd_ma is not None else ())
    outlet_rcd = job.outlets[own.outlet].rcd
    behind = own_rcd | frozenset({outlet_rcd} if outlet_rcd else ())
    label = phase or (min(own.exposure.phases) if len(own.exposure.phases) == 1 else "all")
    return Point(
        id=f"{own.outlet}/{box_id}/{label}",
        outlet=own.outlet,
        box=box_id,
        box_phase=label,
        sockets=box.outlets_per_phase,
        rated_ma=capacity_milliamps(socket_a),
        socket_ma=capacity_milliamps(socket_a),
        plate_ma=capacity_milliamps(socket_a * box.outlets_per_phase),
        plug=box.outlet,
        poles=1,
        exposure=exposure(on, frozenset({phase}) if phase else None, behind),
        room=own.room,
        box_cable_m=box.cable_in_m or 0.0,
        is_proven=own.is_proven,
        is_last_resort=own.is_last_resort,
        is_off_limits=own.is_off_limits,
        source=f"box {box_id}, {standard.standard}, {socket_a:g} A a socket",
    )
