"""What is worth how much in a linear programme that deals units out over circuits."""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]


class Prices(NamedTuple):
    """What is worth how much.

    Attributes:
        units: A unit of each demand [m].
        stays: Each unit that stays on each circuit [m].
        move: What re-plugs cost one of [m].
        above: An amp of each device above circuits [m].
    """

    units: Floats
    stays: Floats
    move: float
    above: Floats

    def towards(self, other: "Prices", part: float) -> "Prices":
        """Return prices between these and others, so much of the others."""
        rest = 1 - part
        return Prices(
            part * other.units + rest * self.units,
            part * other.stays + rest * self.stays,
            part * other.move + rest * self.move,
            part * other.above + rest * self.above,
        )
