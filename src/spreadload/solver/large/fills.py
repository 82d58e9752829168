"""The best that one circuit can carry in one set-up, when every unit carried is worth a price.

One share of each place at most, no more amps than there is room for, one big discharge unit at most
where these are to be kept apart. Amps are counted in steps, each share's rounded down: what is
found may be a little too much to hold, and what is best is never less than what holds.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from spreadload.solver.engine.excerpt import Ints
from spreadload.solver.large.shares import Shares

# Prices are in thousandths of a metre, so that sums of them are exact.
PRICE = 1000
# Amps are counted in so many steps of the largest room there is.
STEPS = 1200


@dataclass(frozen=True)
class Fill:
    """What one circuit carries in one set-up.

    Attributes:
        units: Units by the number of their demand.
        metres: What their leads and boards cost at least.
        amps_ma: What they count against the breaker [mA].
        boards: Power boards that these metres take.
    """

    units: dict[int, int]
    metres: int
    amps_ma: int
    boards: int


@dataclass
class Knapsack:
    """Fills circuits by prices.

    Attributes:
        step_ma: One step of amps.
        one_big: Whether a circuit carries one big discharge unit at most.
        looks: How often a share was held against every step: the work done so far.
    """

    step_ma: int
    one_big: bool
    looks: int = 0
    _chosen: list[tuple[Shares, Ints]] = field(default_factory=list)

    def worths(
        self, places: Sequence[Shares], prices: Ints, room_ma: int, board_price: int = 0
    ) -> Ints:
        """Return what is best with every number of steps of room, in thousandths of a metre.

        Args:
            places: The shares of every place in reach.
            prices: What a unit of each demand is worth here.
            room_ma: The most room there is.
            board_price: What a power board is worth, where they are scarce.
        """
        room = room_ma // self.step_ma
        layers = 2 if self.one_big else 1
        best = np.zeros((layers, room + 1), dtype=np.int64)
        self._chosen.clear()
        for shares in places:
            gains = shares.units @ prices[shares.demands] - PRICE * shares.metres
            gains -= board_price * shares.boards
            steps = shares.amps_ma // self.step_ma
            worth_it = _undominated(gains, steps, shares.big, room, layers)
            if not len(worth_it):
                continue
            chosen = np.full(best.shape, -1, dtype=np.int64)
            better = best.copy()
            for n in worth_it:
                big, step = (int(shares.big[n]) if layers > 1 else 0), int(steps[n])
                there = best[: layers - big, : room + 1 - step] + gains[n]
                now, by = better[big:, step:], chosen[big:, step:]
                is_better = there > now
                now[is_better] = there[is_better]
                by[is_better] = n
            self.looks += len(worth_it)
            self._chosen.append((shares, chosen))
            best = better
        self._best = best
        return np.asarray(np.maximum.accumulate(best.max(axis=0)))

    def fill(self) -> Fill:
        """Return the best fill of what was asked for last."""
        layer, at = np.unravel_index(int(np.argmax(self._best)), self._best.shape)
        units: dict[int, int] = {}
        metres = amps_ma = boards = 0
        for shares, chosen in reversed(self._chosen):
            n = int(chosen[layer, at])
            if n < 0:
                continue
            for demand, count in zip(shares.demands, shares.units[n], strict=True):
                if count:
                    units[int(demand)] = int(count)
            metres += int(shares.metres[n])
            amps_ma += int(shares.amps_ma[n])
            boards += int(shares.boards[n])
            at -= shares.amps_ma[n] // self.step_ma
            layer -= shares.big[n] if self.one_big else 0
        return Fill(units, metres, amps_ma, boards)


def _undominated(gains: Ints, steps: Ints, big: Ints, room: int, layers: int) -> Ints:
    """Return the shares that gain something, fit, and gain more than any that takes no more."""
    fits = np.flatnonzero((gains > 0) & (steps <= room) & ((layers == 1) | (big < layers)))
    order = fits[np.lexsort((big[fits], -gains[fits], steps[fits]))]
    kept: list[int] = []
    most = [0] * layers
    for n in order.tolist():
        layer = int(big[n]) if layers > 1 else 0
        if gains[n] > max(most[: layer + 1]):
            most[layer] = int(gains[n])
            kept.append(n)
    return np.array(kept, dtype=np.int64)
