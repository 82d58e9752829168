"""What holds an inrush down: the supply as it was read, cable that is known, and the leads, cold.

What is only assumed helps nobody: it counts as nothing here.
"""

from spreadload.check import Judge
from spreadload.check.state import Plugged
from spreadload.electrical.conductors import REFERENCE_C, Strand, loop_ohm
from spreadload.electrical.inrush import Ahead
from spreadload.electrical.source import Strength


def ahead_of(judge: Judge, unit: Plugged) -> Ahead | None:
    """Return the least impedance in front of a unit, or None where the supply was not measured."""
    house = judge.house
    if house.service.strength is not Strength.MEASURED:
        return None
    cold_c = REFERENCE_C.value
    ohm = house.service.low_ohm + sum(
        loop_ohm(lead.size, lead.length_m, temp_c=cold_c) for lead in unit.leads
    )
    if len(unit.behind.might_be_on) == 1:
        (circuit,) = unit.behind.might_be_on
        feeds = judge.facts.circuits[circuit].feeds
        wires = [house.wires.to_sub_board(board) for board in feeds]
        wires.append(house.wires.to_outlet(circuit, unit.point.outlet))
        known = [wire for wire in wires if not wire.is_assumed]
        ohm += sum(min(wire.ohm.real, _cold_ohm(wire.size, wire.length_m)) for wire in known)
    return Ahead(house.service.idle_v, ohm)


def _cold_ohm(size: str, length_m: float) -> float:
    return loop_ohm(size, length_m, temp_c=REFERENCE_C.value, strand=Strand.FIXED)
