"""What is worth how much in a linear programme that deals units out over circuits."""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from spreadload.solver.large.cable_bound import BOARD_PRICES_M

Floats = npt.NDArray[np.float64]


class Prices(NamedTuple):
    """What is worth how much.

    Attributes:
        units: A unit of each demand [m].
        stays: Each unit that stays on each circuit [m].
        move: What re-plugs cost one of [m].
        above: An amp of each device above circuits [m].
        boards: A power board in each set-up, beyond what it costs [m].
    """

    units: Floats
    stays: Floats
    move: float
    above: Floats
    boards: Floats

    def towards(self, other: "Prices", part: float) -> "Prices":
        """Return prices between these and others, so much of the others."""
        rest = 1 - part
        return Prices(
            part * other.units + rest * self.units,
            part * other.stays + rest * self.stays,
            part * other.move + rest * self.move,
            part * other.above + rest * self.above,
            part * other.boards + rest * self.boards,
        )


def at_a_price(board_m: float) -> int:
    """Return the nearest price at which every share is known to be served its cheapest way [m]."""
    return min(BOARD_PRICES_M, key=lambda price: abs(price - board_m))


def most_worth(worths: list[list[int]], slack: int | None) -> int:
    """Return the most that set-ups are worth together when they share some per cents."""
    if slack is None:
        return sum(each[-1] for each in worths)
    best = [0] * (max(slack, 0) + 1)
    for each in worths:
        best = [
            max(best[left - n] + each[n] for n in range(min(left, len(each) - 1) + 1))
            for left in range(len(best))
        ]
    return best[-1]
