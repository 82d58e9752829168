"""Beliefs about the wiring: do they name what there is? Imports only its neighbours."""

from collections.abc import Iterator

from spreadload.job.job import Job
from spreadload.job.references.finding import Finding, unknown
from spreadload.job.site import RoomUse

UPPER_FLOOR = "upper floor"


def check_beliefs(job: Job) -> Iterator[Finding]:
    """Yield what cannot be meant about zones and the odds of outlets."""
    yield from _zones(job)
    uses = {*(use.value for use in RoomUse), UPPER_FLOOR}
    for use in job.wiring.own_circuit_m:
        yield from unknown(("wiring", "own_circuit_m", use), "use of a room", use, uses)
    targets = {*job.circuits, *job.rooms, *job.wiring.zones}
    for outlet_id, odds in job.wiring.outlets.items():
        path = ("wiring", "outlets", outlet_id)
        yield from unknown(path, "outlet", outlet_id, job.outlets)
        for target in odds:
            yield from unknown((*path, target), "circuit, zone or room", target, targets)
        if not any(odds.values()):
            remedy = "give one of them a weight, or leave the outlet away"
            yield Finding(path, "leaves no circuit possible", remedy=remedy)


def _zones(job: Job) -> Iterator[Finding]:
    zone_of: dict[str, str] = {}
    for zone, rooms in job.wiring.zones.items():
        for index, room in enumerate(rooms):
            path = ("wiring", "zones", zone, index)
            yield from unknown(path, "room", room, job.rooms)
            if room in zone_of:
                problem = f"already in zone {zone_of[room]}"
                yield Finding(path, problem, room, remedy="keep each room in one zone")
            zone_of.setdefault(room, zone)
