"""Outlets that stray: the chance of every circuit, given where every outlet is at home.

All outlets of many layouts are worked out at once, which is most of what a model of a large house
takes. Imports its neighbours and numpy only.
"""

import numpy as np
from numpy.typing import NDArray

from spreadload.wiring.beliefs import Beliefs

_TINY = 1e-12
# Layouts at a time: what is in hand then fits the memory of a small machine.
_BLOCK = 1000


def strayed(
    home: NDArray[np.float32],
    near: NDArray[np.float32],
    is_close: NDArray[np.bool_],
    beliefs: Beliefs,
) -> NDArray[np.float32]:
    """Return, per layout, outlet and circuit, the chance that the outlet is on the circuit.

    Args:
        home: Per layout, outlet and circuit, how likely the circuit is the outlet's own.
        near: Per outlet, how strongly it is drawn to each other; 0 to itself.
        is_close: Per outlet, whether one of another room stands back to back with it.
        beliefs: The numbers of the prior.
    """
    chance = np.empty(home.shape, dtype=np.float32)
    for n in range(0, len(home), _BLOCK):
        block = slice(n, n + _BLOCK)
        chance[block] = _strayed(home[block], near, is_close, beliefs)
    return chance


def _strayed(
    home: NDArray[np.float32],
    near: NDArray[np.float32],
    is_close: NDArray[np.bool_],
    beliefs: Beliefs,
) -> NDArray[np.float32]:
    is_away = (home == 0).astype(np.float32)
    elsewhere = (near @ home) * is_away
    total = elsewhere.sum(axis=2, keepdims=True)
    even = is_away / np.maximum(is_away.sum(axis=2, keepdims=True), 1)
    spread = np.where(total > _TINY, elsewhere / np.maximum(total, _TINY), even)
    share = beliefs.stray_anywhere
    away = (1 - share) * spread + share * even
    stray = _share_that_strays(home, is_away, near, is_close, beliefs)
    stray = np.where(away.sum(axis=2) > 0, stray, 0.0)[:, :, None]
    chance: NDArray[np.float32] = (1 - stray) * home + stray * away
    return chance.astype(np.float32, copy=False)


def _share_that_strays(
    home: NDArray[np.float32],
    is_away: NDArray[np.float32],
    near: NDArray[np.float32],
    is_close: NDArray[np.bool_],
    beliefs: Beliefs,
) -> NDArray[np.float32]:
    """Return, per layout and outlet, how often it strays: rarer far from every other circuit."""
    on_others = is_away @ home.transpose(0, 2, 1)
    nearest = (near * on_others).max(axis=2)
    reach = 2.0 ** (-beliefs.stray_reach_m / beliefs.halving_m)
    least = np.where(is_close, beliefs.back_to_back, 0.0).astype(np.float32)
    share: NDArray[np.float32] = np.maximum(beliefs.stray * np.minimum(nearest / reach, 1.0), least)
    return share
