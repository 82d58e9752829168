"""What is equal on paper is equal here, on every machine.

The last bits of a sum depend on the order in which a processor adds it up, so of two plans that
fail on the same weight of wirings one machine would take the first and another the second.
"""

from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

_DIGITS = 9

Sums = TypeVar("Sums", float, NDArray[np.float64])


def evened(sums: Sums) -> Sums:
    """Return sums without the digits in which processors differ.

    Args:
        sums: Weights of maps, 0 to 1, or what is added to them to guide a search.
    """
    if isinstance(sums, float):
        return round(float(sums), _DIGITS)
    return np.round(sums, _DIGITS)
