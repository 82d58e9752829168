"""Whole units from a mixture of fills: the surest fills are kept, and the rest is dealt out anew.

What the linear programme of ``dealing.py`` mixes is no plan yet. A few fills that it uses almost
whole are taken as they are, their units are crossed off, and the programme is asked again about
what is left, with fills made for that (diving, as in column generation). Nothing is taken back; a
few units that find no room at the end are left to whoever asked.
"""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from spreadload.derived.asked import Demand
from spreadload.solver.engine.excerpt import Flags
from spreadload.solver.engine.limits import Clock
from spreadload.solver.large.dealing import Dealing
from spreadload.solver.large.fills import Fill
from spreadload.solver.large.prices import Prices
from spreadload.solver.large.shares import Bin, Shares
from spreadload.solver.large.terms import Terms

# Of the circuits left, so many are settled at a time, and with them all that are as good as whole.
_AT_ONCE = 0.12
_WHOLE = 0.99
_LEAST = 1e-6
_DIGITS = 6
_ROUNDS = 2
_INERTIA = 0.5
# What no unit is worth to a circuit that it must not be on [m].
_NEVER = -1e6

Dealt = dict[tuple[Demand, Bin], int]


@dataclass
class Dive:
    """One dive from the prices and fills of a settled programme.

    Attributes:
        dealing: The programme; no use afterwards.
        barred: Per bin, whether each demand must not be dealt to it.
        clock: The clock of this part of the search.
    """

    dealing: Dealing
    barred: Mapping[Bin, Flags]
    clock: Clock
    _kept: dict[Bin, Fill] = field(default_factory=dict)

    def run(self) -> Dealt:
        """Return units of each demand on each circuit; some may be missing."""
        self._left = self.dealing.terms.counts.copy()
        self._bar_fills(0)
        self.dealing.programme.ask_whole()
        prices: Prices | None = self.dealing.prices
        while prices is not None and len(self._kept) < len(self.dealing.terms.bins):
            prices = self._settled(prices)
            if prices is None or not self._keep_some():
                break
            if not self.clock.left_s or not self.clock.work_left_s or not self._left.any():
                break
        return self._dealt()

    def _dealt(self) -> Dealt:
        found: Dealt = defaultdict(int)
        left = self.dealing.terms.counts.copy()
        for where, fill in self._kept.items():
            for k, count in fill.units.items():
                units = min(count, int(left[k]))
                left[k] -= units
                if units:
                    found[self.dealing.terms.what.demands[k], where] += units
        return dict(found)

    def _settled(self, prices: Prices) -> Prices | None:
        """Return prices after a few rounds of further fills for what is left."""
        bins = self._bins_left()
        for _ in range(_ROUNDS):
            first = len(self.dealing.programme.parts)
            fills, _ = self.dealing.fill_all(prices, bins)
            self.dealing.programme.take(fills)
            self._bar_fills(first)
            found, _ = self.dealing.programme.solve()
            if found is None:
                return None
            if len(self.dealing.programme.parts) == first:
                break
            prices = found.towards(prices, _INERTIA)
        return prices

    def _bins_left(self) -> dict[Bin, tuple[Shares, ...]]:
        """Return the circuits still open, with the shares of what is left."""
        known: dict[tuple[int, bytes], Shares] = {}
        found: dict[Bin, tuple[Shares, ...]] = {}
        for where in self.dealing.terms.bins:
            if where in self._kept:
                continue
            most = np.where(self.barred[where], 0, self._left)
            narrowed = []
            for shares in self.dealing.terms.what.bins[where]:
                here = most[shares.demands]
                key = (id(shares), here.tobytes())
                if key not in known:
                    known[key] = shares.only(np.flatnonzero((shares.units <= here).all(axis=1)))
                if len(known[key].metres):
                    narrowed.append(known[key])
            found[where] = tuple(narrowed)
        return found

    def _bar_fills(self, first: int) -> None:
        """Rule out fills that hold too much, or what must not be there."""
        for n in range(first, len(self.dealing.programme.fills)):
            where, fill = self.dealing.programme.fills[n]
            percent = self.dealing.terms.held.percents[where[0]]
            if fill.amps_ma > self.dealing.terms.room_ma(where, percent) or any(
                self.barred[where][k] for k in fill.units
            ):
                self.dealing.programme.parts[n].upper_bound = 0.0

    def _keep_some(self) -> bool:
        """Keep the fills that the programme uses most; return whether there were any."""
        values = self.dealing.programme.values
        used = [
            (-round(values[part], _DIGITS), n)
            for n, part in enumerate(self.dealing.programme.parts)
            if values[part] > _LEAST and self.dealing.programme.fills[n][0] not in self._kept
        ]
        most = max(1, round(_AT_ONCE * (len(self.dealing.terms.bins) - len(self._kept))))
        kept = 0
        for value, n in sorted(used):
            where, fill = self.dealing.programme.fills[n]
            if where in self._kept or (kept >= most and -value < _WHOLE):
                continue
            is_all_needed = all(count <= self._left[k] for k, count in fill.units.items())
            if kept and not is_all_needed:
                continue
            self._keep(n)
            kept += 1
        return kept > 0

    def _keep(self, n: int) -> None:
        where, fill = self.dealing.programme.fills[n]
        self._kept[where] = fill
        self.dealing.programme.parts[n].lower_bound = 1.0
        for k, count in fill.units.items():
            self._left[k] = max(self._left[k] - count, 0)


def missing(terms: Terms, dealt: Dealt) -> dict[Demand, int]:
    """Return how many units of each demand found no room."""
    left = {demand: demand.count for demand in terms.what.demands}
    for (demand, _), units in dealt.items():
        left[demand] -= units
    return {demand: units for demand, units in left.items() if units}
