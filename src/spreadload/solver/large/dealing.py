"""Units dealt out over circuits by prices, so that leads and power boards cost least.

A linear programme (``programme.py``) mixes fills of single circuits (``fills.py``) until every unit
is carried and what stays plugged in stays. Its prices say which further fill of each circuit would
help; where none does, no way of dealing costs less (column generation; Gilmore and Gomory, 1961,
from memory). What prices prove is summed again in whole numbers (``proof.py``).
"""

from collections.abc import Mapping

import numpy as np

from spreadload.solver.engine.limits import Clock
from spreadload.solver.large.fills import PRICE, Fill
from spreadload.solver.large.prices import Floats, Prices
from spreadload.solver.large.programme import MISSING_M, Programme
from spreadload.solver.large.shares import Bin, Shares
from spreadload.solver.large.terms import Terms
from spreadload.units import MILLI

# Such a part of the price in hand stays when prices of the programme come in.
_INERTIA = 0.5
_FIRST_INERTIA = 0.2
_FIRST_ROUNDS = 10
_CLOSE_M = 0.5
_NEAR_SHARE = 0.05
_ROUNDS = 150
# Work of one look of a knapsack [s] (fitted).
_LOOK_S = 6e-6


class Dealing:
    """Prices, and the fills found with them.

    Attributes:
        terms: What is dealt out, and what has to hold.
        programme: The linear programme with the fills found so far.
        prices: The prices in hand.
        proved_m: The least that cable costs with them, not yet in whole numbers.
    """

    def __init__(self, terms: Terms, clock: Clock) -> None:
        """Begin with no fill at all.

        Args:
            terms: What is dealt out, and what has to hold.
            clock: The clock of this part of the search.
        """
        self.terms, self._clock = terms, clock
        self._knapsack = terms.knapsack()
        self.proved_m = 0.0
        first = self._first_prices()
        stays = np.zeros((len(terms.stays), len(terms.poles)))
        above, scarce = np.zeros(len(terms.above)), np.zeros(len(terms.setups))
        self.prices = Prices(first, stays, 0.0, above, scarce)
        self.programme = Programme(terms, first, clock)

    def _first_prices(self) -> Floats:
        """Return the price of each unit where its place fills boards as well as can be."""
        made = np.full(len(self.terms.what.demands), MISSING_M)
        for each in self.terms.what.bins.values():
            for shares in each:
                rate = float((shares.metres / np.maximum(shares.amps_ma, 1)).min())
                alone = shares.units.sum(axis=1) == 1
                for row, amps_ma in zip(
                    shares.units[alone], shares.amps_ma[alone].tolist(), strict=True
                ):
                    k = int(shares.demands[int(np.argmax(row))])
                    made[k] = min(made[k], rate * amps_ma)
        return made

    def settle(self) -> None:
        """Look for fills until none helps, or the work is done."""
        centre, is_wide = self.prices, False
        for n in range(_ROUNDS):
            fills, worth = self.fill_all(self.prices, dict(self.terms.what.bins))
            proved_m = float(self.terms.counts @ self.prices.units) - worth
            proved_m -= self.prices.move * self.terms.most_moves
            proved_m -= float(self.prices.above @ np.array(self.terms.rooms_above_ma()) / MILLI)
            proved_m -= float(self.prices.boards.sum()) * self.terms.boards
            if proved_m > self.proved_m:
                self.proved_m, centre = proved_m, self.prices
            self.programme.take(fills)
            found, cost_m = self.programme.solve(is_new=True)
            if found is None:
                break
            if cost_m - self.proved_m < (_CLOSE_M if is_wide else _NEAR_SHARE * cost_m):
                if is_wide:
                    break
                self.programme.widen()
                is_wide = True
            if not self._clock.left_s or not self._clock.work_left_s:
                break
            part = _FIRST_INERTIA if n < _FIRST_ROUNDS else _INERTIA
            self.prices = found.towards(centre, part)
        self.prices = centre

    def fill_all(
        self, prices: Prices, bins: Mapping[Bin, tuple[Shares, ...]]
    ) -> tuple[list[tuple[Bin, Fill]], float]:
        """Return the best fill of each bin, and what all are worth together [m]."""
        before = self._knapsack.looks
        found, worth = [], 0
        for where, shares in bins.items():
            room_ma = self.terms.room_ma(where, self.terms.held.percents[where[0]])
            if room_ma <= 0:
                continue
            board_price = self._board_price(prices, where[0])
            worths = self._knapsack.worths(
                shares, self.terms.worths(prices, where), room_ma, board_price
            )
            worth += int(worths[-1])
            found.append((where, self._knapsack.fill()))
        self._clock.spend_s((self._knapsack.looks - before) * _LOOK_S)
        return found, worth / PRICE

    def _board_price(self, prices: Prices, setup_id: str) -> int:
        """Return what a board is worth beyond what it costs, in thousandths of a metre."""
        return round(float(prices.boards[self.terms.setups[setup_id]]) * PRICE)

    def price_boards(self) -> None:
        """Count what scarce boards are worth among the metres, from now on.

        Whole units are dealt out at these prices, which keep boards about as many as there are.
        """
        boards_m = np.rint(self.prices.boards).astype(np.int64).tolist()
        self.programme.price_boards(boards_m)
        prices_m = {setup_id: boards_m[n] for setup_id, n in self.terms.setups.items()}
        self.terms.what = self.terms.what.at_prices(prices_m)
        self.prices = self.prices._replace(boards=np.zeros(len(self.terms.setups)))
