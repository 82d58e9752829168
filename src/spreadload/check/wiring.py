"""What a unit at a point might be on, as the job knows it or on one given wiring map."""

from collections.abc import Mapping
from dataclasses import dataclass

from spreadload.check.devices import Devices, everywhere_on
from spreadload.derived.facts import Facts
from spreadload.derived.points import LAST_RESORT_ROOMS, exposure
from spreadload.derived.records import Exposure, Point
from spreadload.job.site import Permission


@dataclass(frozen=True, slots=True)
class Behind:
    """Everything that a unit might be on.

    Attributes:
        circuits: Ids of the circuits.
        might_be_on: The same, with every circuit that is left to the wiring maps.
        rcds: Ids of the RCDs.
        rows: Rows of ``Devices`` in which the unit counts.
        is_last_resort: Whether circuit, outlet or room should be used last.
    """

    circuits: frozenset[str]
    might_be_on: frozenset[str]
    rcds: frozenset[str]
    rows: tuple[int, ...]
    is_last_resort: bool


class Wiring:
    """Looks up what is behind a point; answers are kept, so thousands of plans cost little."""

    def __init__(self, facts: Facts, devices: Devices) -> None:
        """Work out every point and every circuit as the job knows them."""
        self._facts = facts
        self._devices = devices
        self._known = {
            point.id: self._behind(point.exposure, is_last_resort=point.is_last_resort)
            for point in facts.points.values()
        }
        self._wired = {
            circuit.id: self._behind(everywhere_on(circuit), is_last_resort=circuit.is_last_resort)
            for circuit in facts.circuits.values()
        }
        self._on_one: dict[tuple[str, str], Behind] = {}

    def of_circuit(self, circuit_id: str) -> Behind | None:
        """Return what a load wired to a circuit is on, or None for a circuit nobody knows."""
        return self._wired.get(circuit_id)

    def of_point(self, point: Point, circuits_of_outlets: Mapping[str, str] | None) -> Behind:
        """Return what a unit plugged in at a point is on.

        Args:
            point: Where the plug is.
            circuits_of_outlets: The one circuit of each outlet on a map to judge on. An outlet that
                the map does not name, or names on a circuit nobody knows, stays as the job has it.
        """
        if circuits_of_outlets is None:
            return self._known[point.id]
        circuit_id = circuits_of_outlets.get(point.outlet)
        if circuit_id is None or circuit_id not in self._wired:
            return self._known[point.id]
        key = (point.id, circuit_id)
        if key not in self._on_one:
            self._on_one[key] = self._mapped(point, circuit_id)
        return self._on_one[key]

    def _mapped(self, point: Point, circuit_id: str) -> Behind:
        job = self._facts.job
        circuit = self._facts.circuits[circuit_id]
        outlet = job.outlets[point.outlet]
        rcds = {outlet.rcd} if outlet.rcd else set()
        phases = None
        if point.box is not None:
            if job.boxes[point.box].rcd_ma is not None:
                rcds.add(f"{point.outlet}/{point.box}")
            # Only a box at an outlet of several poles picks one of them.
            several = self._facts.points[point.outlet].poles > 1
            phases = frozenset({point.box_phase}) if several and point.box_phase else None
        room = job.rooms.get(outlet.room) if outlet.room else None
        is_last = outlet.use is Permission.LAST_RESORT or circuit.is_taken_last
        return self._behind(
            exposure([circuit], phases, frozenset(rcds)),
            is_last_resort=is_last or (room is not None and room.use in LAST_RESORT_ROOMS),
        )

    def _behind(self, exposed: Exposure, *, is_last_resort: bool) -> Behind:
        return Behind(
            frozenset(name for name, _ in exposed.circuits),
            exposed.might_be_on,
            exposed.rcds,
            self._devices.rows_of(exposed),
            is_last_resort,
        )
