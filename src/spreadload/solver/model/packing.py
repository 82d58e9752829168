"""Which unit sits on which power board or in which socket of a plate: a small packing."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass


class CannotSeatError(Exception):
    """No way of dealing units out over the boards of a point holds.

    Attributes:
        points: The points whose boards have to be told apart.
    """

    def __init__(self, points: frozenset[str]) -> None:
        """Name the points."""
        super().__init__(", ".join(sorted(points)))
        self.points = points


@dataclass(frozen=True)
class Bin:
    """A socket (``board`` None) or a power board of a kind, with its ways and its amps [mA]."""

    board: int | None
    ways: int
    full_ma: int


def pack(
    sizes_ma: Sequence[int], bins: Sequence[Bin], first: Collection[int] = ()
) -> list[int] | None:
    """Return the bin of every unit, or None when no packing exists.

    Depth first, largest unit first, one of several equal bins only: exact, and quick for the few
    units of one plate.

    Args:
        sizes_ma: Current of every unit [mA].
        bins: Sockets and boards, those to fill first leading.
        first: Units that choose before the others.
    """
    order = sorted(range(len(sizes_ma)), key=lambda n: (n not in first, -sizes_ma[n]))
    room = [[b.ways, b.full_ma] for b in bins]
    chosen = [0] * len(sizes_ma)

    def place(step: int) -> bool:
        if step == len(order):
            return True
        unit = order[step]
        tried: set[tuple[int, int]] = set()
        for n, (ways, left_ma) in enumerate(room):
            if ways and sizes_ma[unit] <= left_ma and (ways, left_ma) not in tried:
                tried.add((ways, left_ma))
                room[n] = [ways - 1, left_ma - sizes_ma[unit]]
                chosen[unit] = n
                if place(step + 1):
                    return True
                room[n] = [ways, left_ma]
        return False

    return chosen if place(0) else None
