"""What rounds of switching teach about lamps: the circuits each of them may still be on.

A lamp is placed when one circuit is left: seen for sure where wirings were drawn, or following from
all wirings where every one is listed. Imports its neighbours and numpy only.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache, cached_property

import numpy as np
from numpy.typing import NDArray

from spreadload.wiring.maps import Maps

Rows = tuple[int, ...]
Off = tuple[int, ...]


@dataclass(frozen=True)
class State:
    """What is known in the middle of a session.

    Attributes:
        rows: Wirings that would have shown all this.
        left: Per lamp, the circuits it may be on, a bit each.
    """

    rows: Rows
    left: tuple[int, ...]

    @cached_property
    def is_known(self) -> bool:
        """Whether every lamp has one circuit left."""
        return all(some & (some - 1) == 0 for some in self.left)


@dataclass(frozen=True)
class Board:
    """The wirings of some lamps, and the circuits that may be switched.

    Attributes:
        maps: Wirings of the lamps; a sample where there are too many to look at each.
        switches: Numbers of the circuits that may be switched.
        possible: Per lamp, every circuit it may be on, a bit each; all that nobody may switch
            share one, since they cannot be told apart.
    """

    maps: Maps
    switches: Off
    possible: tuple[int, ...]

    @classmethod
    def of(cls, maps: Maps, lamps: Sequence[str], may_switch: Sequence[str], most: int) -> "Board":
        """Look at some lamps only, on so many wirings at most."""
        lit = [o for o in maps.outlets if o in set(lamps)]
        known = maps.merged(lit)
        if len(known) > most:
            known = replace(maps.first(most).merged(lit), is_exact=False)
        switches = tuple(n for n, c in enumerate(maps.circuits) if c in set(may_switch))
        every = cls(maps.merged(lit), switches, ())
        possible = tuple(int(bits) for bits in np.bitwise_or.reduce(every.bits, axis=0))
        return cls(known, switches, possible)

    @cached_property
    def bits(self) -> NDArray[np.int64]:
        """Per wiring and lamp, the bit of its circuit."""
        unseen = 1 << len(self.maps.circuits)
        table = [1 << n if n in self.switches else unseen for n in range(len(self.maps.circuits))]
        return np.array(table, dtype=np.int64)[self.maps.on]

    @cached_property
    def numbers(self) -> NDArray[np.intp]:
        """Per wiring and lamp, the number of its circuit; one number for all that stay on."""
        seen = np.isin(self.maps.on, self.switches)
        numbers: NDArray[np.intp] = np.where(seen, self.maps.on, len(self.maps.circuits)).astype(
            np.intp
        )
        return numbers

    @property
    def start(self) -> State:
        """What is known before the first round."""
        return self._state(tuple(range(len(self.maps))), self.possible)

    def after(self, state: State, off: Off) -> list[State]:
        """Return what may be known after one more round."""
        mask = mask_of(off)
        dark = (self.bits[list(state.rows)] & mask) != 0
        parts: dict[bytes, list[int]] = {}
        for row, seen in zip(state.rows, np.packbits(dark, axis=1), strict=True):
            parts.setdefault(seen.tobytes(), []).append(row)
        return [
            self._state(tuple(part), self._left(state, part[0], mask)) for part in parts.values()
        ]

    def tells(self, state: State, off: Off) -> bool:
        """Whether a round may tell anything that is not known yet."""
        mask = mask_of(off)
        return any(some & mask and some & ~mask for some in state.left)

    def open_circuits(self, state: State) -> Off:
        """Return the circuits that some lamp may or may not be on."""
        return tuple(n for n in self.switches if self.tells(state, (n,)))

    def weight(self, state: State) -> float:
        """Return the weight of the wirings that would have shown all this."""
        return float(self.maps.weights[list(state.rows)].sum())

    def to_part(self, state: State, row: int) -> frozenset[tuple[int, int]]:
        """Return the pairs of circuits that have to be parted by some round on one wiring.

        Whatever the order, a lamp is only seen to be on its circuit once every other circuit it may
        be on has been the other way round in some round.
        """
        here = set(zip(self.bits[row].tolist(), state.left, strict=True))
        return frozenset().union(*(_pairs(own, some) for own, some in here))

    def _state(self, rows: Rows, left: tuple[int, ...]) -> State:
        if self.maps.is_exact:
            # Every wiring is listed: what none of those left has is out, seen or not.
            seen = np.bitwise_or.reduce(self.bits[list(rows)], axis=0).tolist()
            left = tuple(a & b for a, b in zip(left, seen, strict=True))
        return State(rows, left)

    def _left(self, state: State, row: int, mask: int) -> tuple[int, ...]:
        return tuple(
            some & mask if bit & mask else some & ~mask
            for some, bit in zip(state.left, self.bits[row].tolist(), strict=True)
        )


@cache
def _pairs(own: int, some: int) -> frozenset[tuple[int, int]]:
    """Return a circuit paired with every other that a lamp may be on."""
    return frozenset((min(own, other), max(own, other)) for other in single_bits(some & ~own))


def mask_of(off: Off) -> int:
    """Return circuits as bits."""
    return sum(1 << n for n in off)


def single_bits(bits: int) -> list[int]:
    """Return the bits of a number one by one."""
    return [1 << n for n in range(bits.bit_length()) if bits >> n & 1]
