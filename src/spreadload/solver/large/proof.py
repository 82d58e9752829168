"""What prices prove of cable, summed again in whole numbers.

Prices are rounded to whole thousandths of a metre. Any prices prove something, so rounding in the
linear programme cannot make the bound wrong.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from spreadload.job.preferences import Goal
from spreadload.solver.large.fills import PRICE
from spreadload.solver.large.prices import Prices, at_a_price, most_worth
from spreadload.solver.large.terms import Terms
from spreadload.units import FULL_PCT, MILLI


@dataclass(frozen=True)
class Range:
    """How full set-ups may be, as earlier goals hold it [per cent].

    Attributes:
        least: What the fullest device of each set-up is never below.
        most: What it may be.
        together: What all may come to, added up; None when that is not held.
    """

    least: Mapping[str, int]
    most: Mapping[str, int]
    together: int | None

    @classmethod
    def of(cls, bounds: Mapping[str, int], reached: Mapping[Goal, int]) -> "Range":
        """Return what goals that were reached leave.

        Args:
            bounds: What the fullest device of each set-up is never below.
            reached: What each goal before the cable reached.
        """
        most_pct = min(reached.get(Goal.TIGHTEST, FULL_PCT), FULL_PCT)
        together = reached.get(Goal.EACH_SETUP) if len(bounds) > 1 else None
        spare = FULL_PCT if together is None else max(together - sum(bounds.values()), 0)
        most = {setup_id: min(most_pct, low + spare) for setup_id, low in bounds.items()}
        least = {setup_id: min(low, most[setup_id]) for setup_id, low in bounds.items()}
        return cls(least, most, together)


def proved_m(terms: Terms, prices: Prices, within: Range) -> int:
    """Return what cable is never below, whichever way the held per cents are dealt out [m].

    Args:
        terms: What is dealt out, and what has to hold.
        prices: What is worth how much.
        within: How full set-ups may be.
    """
    least, most, together = within.least, within.most, within.together
    knapsack = terms.knapsack()
    worths = {setup_id: [0] * (most[setup_id] - low + 1) for setup_id, low in least.items()}
    for where, shares in terms.what.bins.items():
        setup_id = where[0]
        room_ma = terms.room_ma(where, most[setup_id])
        if room_ma <= 0:
            continue
        board_m = at_a_price(float(prices.boards[terms.setups[setup_id]]))
        each = knapsack.worths(shares, terms.worths(prices, where), room_ma, PRICE * board_m)
        for n in range(len(worths[setup_id])):
            steps = terms.room_ma(where, least[setup_id] + n) // knapsack.step_ma
            worths[setup_id][n] += int(each[steps]) if steps > 0 else 0
    for device, price in zip(terms.above, prices.above.tolist(), strict=True):
        for n in range(len(worths[device.setup])):
            room_ma = max(device.room_ma(least[device.setup] + n), 0)
            worths[device.setup][n] += -(-round(price * PRICE) * room_ma // MILLI)
    units = np.rint(prices.units * PRICE).astype(np.int64)
    proved = int(terms.counts @ units) - _move_price(terms, prices) * terms.most_moves
    for price in prices.boards.tolist():
        proved -= PRICE * at_a_price(price) * terms.boards
    slack = None if together is None else together - sum(least.values())
    proved -= most_worth(list(worths.values()), slack)
    return max(-(-proved // PRICE), 0) + terms.what.apart_m


def _move_price(terms: Terms, prices: Prices) -> int:
    """Return a price of a re-plug that no stay is worth more than [thousandths of a metre]."""
    if not terms.stays or not terms.most_moves:
        return 0
    stays = np.rint(prices.stays * PRICE).astype(np.int64)
    costs = np.array([max(stay.cost, 1) for stay in terms.stays], dtype=np.int64)
    return int((-(-stays // costs[:, None])).max())
