"""The fixed wiring between boards and outlets: measured, stated, or assumed and said to be so."""

from dataclasses import dataclass

from spreadload import practice
from spreadload.derived.facts import Facts
from spreadload.derived.reach import Spot, floor_level, outlet_spot
from spreadload.electrical.conductors import Strand, loop_impedance_ohm
from spreadload.electrical.joints import circuit_ohm, joint_check
from spreadload.electrical.source import SourceEstimate
from spreadload.job.site import Circuit
from spreadload.network.assumed import CIRCUIT_M, FEED_M, RING_SHARE
from spreadload.network.records import BOARD
from spreadload.units import MILLI


@dataclass(frozen=True, slots=True)
class Wire:
    """A run of fixed cable.

    Attributes:
        ohm: Loop impedance [Ω].
        length_m: Length [m].
        size: Conductor size as printed.
        words: Where it comes from, for a reader.
        is_assumed: Whether any of it was neither read nor stated.
        is_ring: Whether it is two ways round in parallel.
    """

    ohm: complex
    length_m: float
    size: str
    words: str
    is_assumed: bool
    is_ring: bool = False


class Wires:
    """Looks up the cable to every outlet and sub-board of a job."""

    def __init__(self, facts: Facts, estimates: dict[str, SourceEstimate]) -> None:
        """Keep the job and what was read."""
        self._facts = facts
        self._read = {at: each for at, each in estimates.items() if each.used}
        self._kept: dict[tuple[str, str | None], Wire] = {}

    def to_outlet(self, circuit_id: str, outlet_id: str | None) -> Wire:
        """Return the cable from a circuit's board to an outlet, or to its far end.

        A pair of readings at the outlet, and one at the board it hangs on, wins.
        """
        key = (circuit_id, outlet_id)
        if key not in self._kept:
            estimated = self.estimated(circuit_id, outlet_id)
            self._kept[key] = self._as_read(circuit_id, outlet_id, estimated) or estimated
        return self._kept[key]

    def estimated(self, circuit_id: str, outlet_id: str | None) -> Wire:
        """Return the cable to an outlet from what is stated and what is usual."""
        circuit = self._facts.job.circuits[circuit_id]
        length_m, length_said = self._length(circuit, outlet_id)
        rating_a = self._facts.circuits[circuit_id].breaker_ma / MILLI
        size, size_said = self._size(circuit.cable_mm2, rating_a, ring=bool(circuit.ring))
        ohm = loop_impedance_ohm(size, length_m, strand=Strand.FIXED)
        said = f"{self._facts.lengths.near(length_m)} {length_said}, {size} {size_said}"
        if circuit.ring:
            ohm *= RING_SHARE.value
            said += ", two ways in parallel"
        is_assumed = circuit.cable_mm2 is None or circuit.cable_in_m is None
        return Wire(ohm, length_m, size, said, is_assumed, is_ring=bool(circuit.ring))

    def to_sub_board(self, board_id: str) -> Wire:
        """Return the feed cable of a sub-board."""
        board = self._facts.job.sub_boards[board_id]
        length_m = FEED_M.value if board.cable_in_m is None else board.cable_in_m
        size, size_said = self._size(board.cable_mm2, board.feed_a, ring=False)
        ohm = loop_impedance_ohm(size, length_m, strand=Strand.FIXED)
        said = "assumed" if board.cable_in_m is None else "stated"
        is_assumed = board.cable_in_m is None or board.cable_mm2 is None
        words = f"{self._facts.lengths.near(length_m)} {said}, {size} {size_said}"
        wire = Wire(ohm, length_m, size, words, is_assumed)
        return self._between(board_id, board.fed_from or BOARD, wire) or wire

    def joints(self) -> tuple[str, ...]:
        """Return every measured run that reads like more cable than there is, in plain words."""
        found = []
        for at in self._read:
            for name, upstream, wire in self._runs_to(at):
                if upstream not in self._read:
                    continue
                likely, low, _ = circuit_ohm(self._read[at], self._read[upstream])
                # The two ways round a ring read like one cable of half the length.
                length_m = max(wire.length_m, 1.0) * (RING_SHARE.value if wire.is_ring else 1.0)
                check = joint_check(
                    likely, likely - low, wire.size, length_m, lengths=self._facts.lengths
                )
                if check.is_suspect:
                    ring = " (a ring: a leg of it may be open)" if wire.is_ring else ""
                    found.append(f"the run to {name}{ring} {check.words}")
        return tuple(found)

    def _runs_to(self, at: str) -> list[tuple[str, str, Wire]]:
        job = self._facts.job
        if at in job.outlets and job.outlets[at].circuit is not None:
            circuit_id = job.outlets[at].circuit or ""
            upstream = job.circuits[circuit_id].sub_board or BOARD
            return [(at, upstream, self.estimated(circuit_id, at))]
        return []

    def _as_read(self, circuit_id: str, outlet_id: str | None, wire: Wire) -> Wire | None:
        if outlet_id is None or self._facts.job.outlets[outlet_id].circuit not in (
            None,
            circuit_id,
        ):
            return None
        upstream = self._facts.job.circuits[circuit_id].sub_board or BOARD
        return self._between(outlet_id, upstream, wire)

    def _between(self, at: str, upstream: str, wire: Wire) -> Wire | None:
        """Return a cable from the readings at both its ends, or None without them."""
        if at not in self._read or upstream not in self._read:
            return None
        likely, low, high = circuit_ohm(self._read[at], self._read[upstream])
        words = f"{likely:.2f} Ω read ({low:.2f} to {high:.2f})"
        return Wire(complex(likely), wire.length_m, wire.size, words, is_assumed=False)

    def _length(self, circuit: Circuit, outlet_id: str | None) -> tuple[float, str]:
        if circuit.cable_in_m is not None:
            return circuit.cable_in_m, "stated"
        start = self._board_spot(circuit.sub_board)
        if start is None or outlet_id is None:
            return CIRCUIT_M.value, "assumed"
        end = outlet_spot(self._facts.job, outlet_id)
        if end.at is None:
            return CIRCUIT_M.value, "assumed"
        return self._facts.route.length_m(start, end), "along the walls from the board"

    def _board_spot(self, sub_board: str | None) -> Spot | None:
        job = self._facts.job
        at, floor = job.supply.board_at_in_m, job.supply.board_floor
        if sub_board is not None:
            at, floor = job.sub_boards[sub_board].at_in_m, job.sub_boards[sub_board].floor
        return None if at is None else Spot(None, floor_level(floor), at)

    def _size(self, stated_mm2: float | None, rating_a: float, *, ring: bool) -> tuple[str, str]:
        if stated_mm2 is not None:
            return f"{stated_mm2:g} mm²", "stated"
        rings = practice.ring_cables()
        if ring and rating_a <= rings.rows[-1].up_to_a:
            return rings.behind(rating_a).size, f"assumed for a ring of {rating_a:g} A"
        usual = practice.house_cables(self._facts.job.region)
        return usual.behind(rating_a).size, f"assumed for {rating_a:g} A"
