"""Breakers and fuses of a job as the physics knows them."""

from spreadload import practice
from spreadload.check.devices import Device as Row
from spreadload.derived.facts import Facts
from spreadload.electrical.protection import Device
from spreadload.electrical.trip_gates import Curve, DeviceKind
from spreadload.units import MILLI

_HOUSE_MOST_A = 125.0


def circuit_device(facts: Facts, circuit_id: str) -> Device:
    """Return the breaker or fuse of a circuit; a fuse not said to be rewireable is a cartridge."""
    circuit = facts.job.circuits[circuit_id]
    rated_a = facts.circuits[circuit_id].breaker_ma / MILLI
    if circuit.breaker_a is None and circuit.fuse_a is not None:
        is_wire = circuit.rewireable
        kind = DeviceKind.REWIREABLE_FUSE if is_wire else DeviceKind.CARTRIDGE_FUSE
        return Device(kind, rated_a)
    curve = None if circuit.curve is None else Curve(circuit.curve.value)
    return breaker(facts, rated_a, curve)


def breaker(facts: Facts, rated_a: float, curve: Curve | None = None) -> Device:
    """Return an ordinary breaker of the region."""
    if _goes_by_ul(facts):
        return Device(DeviceKind.UL_BREAKER, rated_a)
    kind = DeviceKind.MCB if rated_a <= _HOUSE_MOST_A else DeviceKind.INDUSTRIAL
    return Device(kind, rated_a, curve)


def device_of(facts: Facts, row: Row) -> Device | None:
    """Return what stands behind a row of the judge, or None where no standard says how it opens."""
    match row.kind:
        case "circuit":
            return circuit_device(facts, row.id)
        case "feed":
            return breaker(facts, row.cap_ma / MILLI)
        case "phase":
            return supply_device(facts)
        case _:
            return None


def supply_device(facts: Facts) -> Device | None:
    """Return the limit at the head of everything, taken as a service fuse or main breaker.

    A meter or limiter that holds a contract counts by its own rule, which no standard gives, and no
    moment of inrush opens it: None.
    """
    if facts.supply.is_contract:
        return None
    rated_a = facts.supply.cap_ma / MILLI
    switch = facts.job.supply.main_switch
    is_switch = switch is not None and switch.is_limit and switch.rating_a == rated_a
    if is_switch or _goes_by_ul(facts):
        return breaker(facts, rated_a, Curve.C if is_switch else None)
    return Device(DeviceKind.CARTRIDGE_FUSE, rated_a)


def _goes_by_ul(facts: Facts) -> bool:
    return practice.region(facts.job.region).breaker_standard == "UL 489"
