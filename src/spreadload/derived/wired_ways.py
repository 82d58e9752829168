"""Ways with nothing on them but what is wired there: they hold what they were made for.

Plates state watts at the top of a range of volts, so that a charger of 7.4 kW comes to 32.2 A on
its way of 32 A. The house has lived with that; no plug of ours makes it better or worse.
"""

from dataclasses import replace

from spreadload import practice
from spreadload.derived.records import CircuitFacts, LoadFacts
from spreadload.electrical.protection import Device, hold_ratio
from spreadload.electrical.trip_gates import DeviceKind
from spreadload.job.job import Job
from spreadload.units import MILLI, capacity_milliamps

_STANDARD = "IEC 60898"
# A tenth of an amp: what a reader is shown must not stand above its capacity.
_SHOWN_MA = 100


def holding_what_is_wired(
    job: Job, circuits: dict[str, CircuitFacts], loads: dict[str, LoadFacts]
) -> dict[str, CircuitFacts]:
    """Return the circuits, those without outlets of a capacity for what is wired to them.

    A breaker that was read is taken to hold a little more than its rating, as far as its standard
    lets nothing open; one that nobody read is taken to have been chosen for its load. Wire in a
    fuse is taken to hold what is written on it: planning with less is for what we plug in.

    Source:
        IEC 60898-1 table 7: a breaker does not open within the hour at 1.13 times its rating.
    """
    wired_ma = _wired_ma(job, circuits, loads)
    return {
        name: _holding(job, name, circuit, wired_ma.get(name, 0))
        for name, circuit in circuits.items()
    }


def _wired_ma(
    job: Job, circuits: dict[str, CircuitFacts], loads: dict[str, LoadFacts]
) -> dict[str, int]:
    """Return what is wired to each way without outlets, all of it on, on each pole [mA]."""
    found: dict[str, int] = {}
    for name, load in job.loads.items():
        way = load.circuit
        if way in circuits and not circuits[way].can_feed_outlets:
            each_ma = loads[name].unit_ma[circuits[way].poles]
            found[way] = found.get(way, 0) + each_ma * load.count
    return found


def _holding(job: Job, name: str, circuit: CircuitFacts, wired_ma: int) -> CircuitFacts:
    if wired_ma <= circuit.cap_ma:
        return circuit
    held_ma = -(-wired_ma // _SHOWN_MA) * _SHOWN_MA
    stated = job.circuits[name]
    if stated.breaker_a is None and stated.fuse_a is None:
        source = "rating not read: taken to be enough for what is wired to it"
        return replace(circuit, cap_ma=held_ma, breaker_ma=held_ma, source=source)
    if stated.rewireable:
        source = f"{circuit.breaker_ma / MILLI:g} A fuse, for what the house has wired to it"
        is_held = wired_ma <= circuit.breaker_ma
        return replace(circuit, cap_ma=circuit.breaker_ma, source=source) if is_held else circuit
    if practice.region(job.region).breaker_standard != _STANDARD:
        return circuit
    ratio = hold_ratio(Device(DeviceKind.MCB, circuit.breaker_ma / MILLI))
    if wired_ma > capacity_milliamps(circuit.breaker_ma / MILLI * ratio):
        return circuit
    source = f"{circuit.source}, which holds up to {ratio:g} times its rating"
    return replace(circuit, cap_ma=held_ma, source=source)
