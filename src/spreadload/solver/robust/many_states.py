"""On which maps some group is over its limit, for many states of a plan at once.

The states of a group are the bits of whole numbers, so that a map looks at each of its groups once,
however many states there are.
"""

from typing import Any

import numpy as np
from numpy.typing import NDArray

Bools = NDArray[np.bool_]

_BYTE_BITS = 8
_WORD_BITS = 64


def any_of_each(over: Bools, groups: NDArray[np.intp]) -> Bools:
    """Return per map and state whether any group of the map is over its limit.

    Args:
        over: Per group and state.
        groups: Per device and map, the group.
    """
    states = over.shape[1]
    words: NDArray[Any] = over if states == 1 else _as_words(over)
    found: NDArray[Any] = np.zeros((groups.shape[1], words.shape[1]), dtype=words.dtype)
    for of_map in groups:
        found |= words.take(of_map, axis=0)
    if states > 1:
        found = np.unpackbits(found.view(np.uint8), axis=1, count=states).view(np.bool_)
    fails: Bools = found
    return fails


def _as_words(rows: Bools) -> NDArray[np.uint64]:
    """Return each row as the bits of whole numbers, padded with zeros."""
    used, words = -(-rows.shape[1] // _BYTE_BITS), -(-rows.shape[1] // _WORD_BITS)
    packed = np.zeros((len(rows), words * _WORD_BITS // _BYTE_BITS), dtype=np.uint8)
    packed[:, :used] = np.packbits(rows, axis=1)
    return packed.view(np.uint64)
