"""A plan with little cable that holds what is held, and a proof of how little there could be.

Prices deal the units out over circuits (``dealing.py``, ``dive.py``) and the nearest outlets take
them (``placing.py``).
"""

from collections import defaultdict

import numpy as np

from spreadload.derived.facts import Facts
from spreadload.solver.engine.calls import Effort
from spreadload.solver.engine.excerpt import Flags
from spreadload.solver.engine.limits import Clock
from spreadload.solver.large.cable_bound import cable_bound
from spreadload.solver.large.dealing import Dealing
from spreadload.solver.large.dive import Dive, missing
from spreadload.solver.large.held import Held
from spreadload.solver.large.mending import Mending
from spreadload.solver.large.placing import Placed, Placing
from spreadload.solver.large.proof import Range, proved_m
from spreadload.solver.large.shares import Bin, Sharing, bin_of
from spreadload.solver.large.terms import Terms
from spreadload.solver.model.candidates import Options
from spreadload.solver.staged.calls import Split

_SETTLE_SHARE = 0.6
# Rounds that find room for the last units may do as much work as what came before, or this [s].
LEAST_MEND_S = 3.0
# The models of these rounds are so small that they are solved in half the time their work says.
_SOONER = 2.0


class NearDealt:
    """Units dealt out over circuits so that cable is short."""

    def __init__(
        self, facts: Facts, options: Options, what: Sharing, hoped: Held, clock: Clock
    ) -> None:
        """Settle the prices.

        Args:
            facts: The job, worked out.
            options: Everything each plugged-in demand may use.
            what: What is dealt out.
            hoped: What circuits are to hold; no more than what earlier goals hold.
            clock: The clock of this part of the search.
        """
        self._facts, self._options, self._what, self._clock = facts, options, what, clock
        self._had_s = clock.work_left_s
        share = clock.part(clock.work_left_s * _SETTLE_SHARE)
        self._hoped = hoped
        self._dealing: Dealing | None = None
        if what.demands:
            self._dealing = Dealing(Terms(facts, options, what, hoped), share)
            self._dealing.settle()
            self._prices = self._dealing.prices

    def proved_m(self, held: Held, within: Range) -> int:
        """Return what cable is never below [m].

        Args:
            held: What earlier goals hold.
            within: How full set-ups may be.
        """
        least_m = cable_bound(self._facts, self._options)
        if self._dealing is None:
            return least_m
        terms = Terms(self._facts, self._options, self._what, held)
        return max(least_m, proved_m(terms, self._prices, within))

    def plan(self, before: Split, effort: Effort) -> Placed | None:
        """Return where units would be, or None where some find no socket.

        Loads that are not ours stay where they are, heads keep away from last-resort outlets and
        from the circuits of what heats, unless they are there already.

        Args:
            before: Where every unit is in the plan in hand.
            effort: Seed and workers.
        """
        if self._dealing is None:
            return None
        barred = self._kept_away(before)
        self._dealing.price_boards()
        dealt = Dive(self._dealing, barred, self._clock).run()
        mending = Mending(self._dealing.terms, barred, dealt)
        spent_s = self._had_s - self._clock.work_left_s
        clock = self._clock.part(max(spent_s, LEAST_MEND_S), sooner=_SOONER)
        dealt = mending.run(effort, clock)
        if not mending.is_whole:
            clock = self._clock.part(self._clock.work_left_s, sooner=_SOONER)
            dealt = mending.run(effort, clock, until_whole=True)
        numbers = frozenset(self._what.demands)
        fixed = {where: units for where, units in before.items() if where[0] not in numbers}
        placing = Placing(self._facts, self._options, self._hoped.percents)
        return placing.place(dealt, missing(self._dealing.terms, dealt), fixed)

    def _kept_away(self, before: Split) -> dict[Bin, Flags]:
        """Return, per bin, whether each demand is to keep away."""
        numbers = {demand: n for n, demand in enumerate(self._what.demands)}
        made = {where: np.zeros(len(numbers), dtype=bool) for where in self._what.bins}
        hot: set[Bin] = set()
        now: dict[Bin, set[int]] = defaultdict(set)
        for demand, each in self._options.items():
            for option in each:
                if before.get((demand, option.point.id)):
                    now[bin_of(option)].add(numbers.get(demand, -1))
                    if self._facts.loads[demand.load].is_department_heat:
                        hot.add(bin_of(option))
        for demand, n in numbers.items():
            is_head = self._facts.loads[demand.load].is_head
            good = {bin_of(o) for o in self._options[demand] if not o.point.is_last_resort}
            for where, flags in made.items():
                may = is_head and where in good and where not in hot
                flags[n] = n not in now[where] and not may
        return made
