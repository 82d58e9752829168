"""The fixed wiring between boards and outlets: measured, stated, or assumed and said to be so."""

from dataclasses import dataclass, replace

from spreadload import practice
from spreadload.derived.facts import Facts
from spreadload.derived.reach import Spot, floor_level, outlet_spot
from spreadload.derived.supply import feed_chain
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


@dataclass(frozen=True, slots=True)
class Stretch:
    """What was read across sub-boards that nobody read at.

    Attributes:
        boards: These, the nearest to the reading first.
        upstream: The next point read in front of them.
        ohm: Loop resistance from there to the next point read in front of them [Ω].
        estimated_ohm: The same by what is stated and what is usual [Ω].
    """

    boards: tuple[str, ...]
    upstream: str
    ohm: float
    estimated_ohm: float

    @property
    def share(self) -> float:
        """How many times the estimate was read."""
        return self.ohm / self.estimated_ohm


class Wires:
    """Looks up the cable to every outlet and sub-board of a job."""

    def __init__(self, facts: Facts, estimates: dict[str, SourceEstimate]) -> None:
        """Keep the job and what was read."""
        self._facts = facts
        self._read = {at: each for at, each in estimates.items() if each.used}
        self._kept: dict[tuple[str, str | None], Wire] = {}
        every = {at: self._stretch(at) for at in self._read}
        self._stretches = {at: found for at, found in every.items() if found is not None}

    def to_outlet(self, circuit_id: str, outlet_id: str | None) -> Wire:
        """Return the cable from a circuit's board to an outlet, or to its far end.

        A pair of readings at the outlet, and one at a board in front of it, wins.
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
        """Return the feed cable of a sub-board; readings at both its ends, or across it, win."""
        wire = self._feed(board_id)
        upstream = self._facts.job.sub_boards[board_id].fed_from or BOARD
        return self._between(board_id, upstream, wire) or self._across(board_id, wire) or wire

    def _feed(self, board_id: str) -> Wire:
        """Return the feed cable of a sub-board from what is stated and what is usual."""
        board = self._facts.job.sub_boards[board_id]
        length_m = FEED_M.value if board.cable_in_m is None else board.cable_in_m
        size, size_said = self._size(board.cable_mm2, board.feed_a, ring=False)
        ohm = loop_impedance_ohm(size, length_m, strand=Strand.FIXED)
        said = "assumed" if board.cable_in_m is None else "stated"
        is_assumed = board.cable_in_m is None or board.cable_mm2 is None
        words = f"{self._facts.lengths.near(length_m)} {said}, {size} {size_said}"
        return Wire(ohm, length_m, size, words, is_assumed)

    def _across(self, board_id: str, wire: Wire) -> Wire | None:
        """Return a feed's part of what was read across it, or None where nothing was.

        Of several readings the one that leaves least for the feed counts: what the others show
        beyond it lies behind the board.
        """
        across = {at: each for at, each in self._stretches.items() if board_id in each.boards}
        if not across:
            return None
        at = min(across, key=lambda name: across[name].share)
        ohm = wire.ohm * across[at].share
        words = f"{ohm.real:.2f} Ω, its part of {across[at].ohm:.2f} Ω read across it at {at}"
        return Wire(ohm, wire.length_m, wire.size, words, is_assumed=False)

    def _stretch(self, at: str) -> Stretch | None:
        """Return what was read from a point to the next one read in front of it.

        None where that is the board it hangs on, or where nothing in front of it was read.
        """
        job, own_ohm = self._facts.job, 0.0
        if at in job.sub_boards:
            chain = list(feed_chain(job, at))
        elif at in job.outlets and job.outlets[at].circuit is not None:
            circuit_id = job.outlets[at].circuit or ""
            chain = list(self._facts.circuits[circuit_id].feeds)
            own_ohm = self.estimated(circuit_id, at).ohm.real
        else:
            return None
        is_nearer = (board != at and board in self._read for board in chain)
        unread = chain[: next((n for n, is_read in enumerate(is_nearer) if is_read), len(chain))]
        upstream = next(iter(chain[len(unread) :]), BOARD)
        if upstream not in self._read or unread in ([], [at]):
            return None
        likely, _, _ = circuit_ohm(self._read[at], self._read[upstream])
        estimated = own_ohm + sum(self._feed(board).ohm.real for board in unread)
        return Stretch(tuple(unread), upstream, likely, estimated)

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
        if (stretch := self._stretches.get(at)) is not None:
            # All of it as cable of the feed, whose size is the one that is best known.
            feed = self._feed(stretch.boards[-1])
            length_m = feed.length_m * stretch.estimated_ohm / feed.ohm.real
            return [(at, stretch.upstream, replace(feed, length_m=length_m))]
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
        if (stretch := self._stretches.get(outlet_id)) is not None:
            feeds = sum(self.to_sub_board(board).ohm.real for board in stretch.boards)
            rest = max(stretch.ohm - feeds, 0.0)
            words = f"{rest:.2f} Ω, the rest of {stretch.ohm:.2f} Ω read at it"
            return Wire(complex(rest), wire.length_m, wire.size, words, is_assumed=False)
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
