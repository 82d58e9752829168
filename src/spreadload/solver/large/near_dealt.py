"""A plan with little cable that holds what is held, and a proof of how little there could be.

Prices deal the units out over circuits (``dealing.py``, ``dive.py``) and the nearest outlets take
them (``placing.py``).
"""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from spreadload.derived.facts import Facts
from spreadload.job.preferences import Goal
from spreadload.solver.engine.calls import Effort
from spreadload.solver.engine.excerpt import Flags
from spreadload.solver.engine.limits import Clock
from spreadload.solver.large.cable_bound import cable_bound
from spreadload.solver.large.dealing import Dealing, Held
from spreadload.solver.large.dive import Dive, missing
from spreadload.solver.large.mending import Mending
from spreadload.solver.large.placing import Placing
from spreadload.solver.large.shares import Bin, Sharing, bin_of, sharing
from spreadload.solver.model.candidates import Options
from spreadload.solver.staged.calls import Split

_FULL_PCT = 100
_SETTLE_SHARE = 0.6
_FASTER = 2.0


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
        most_pct = min(reached.get(Goal.TIGHTEST, _FULL_PCT), _FULL_PCT)
        together = reached.get(Goal.EACH_SETUP) if len(bounds) > 1 else None
        spare = _FULL_PCT if together is None else max(together - sum(bounds.values()), 0)
        most = {setup_id: min(most_pct, low + spare) for setup_id, low in bounds.items()}
        least = {setup_id: min(low, most[setup_id]) for setup_id, low in bounds.items()}
        return cls(least, most, together)


class NearDealt:
    """Units dealt out over circuits so that cable is short.

    Attributes:
        proved_m: What cable is never below.
    """

    def __init__(
        self,
        facts: Facts,
        options: Options,
        full: Mapping[str, int],
        reached: Mapping[Goal, int],
        bounds: Mapping[str, int],
        clock: Clock,
        what: Sharing | None = None,
    ) -> None:
        """Settle the prices, and prove by them.

        Args:
            facts: The job, worked out.
            options: Everything each plugged-in demand may use.
            full: How full the fullest device of each set-up is, and may be.
            reached: What each goal before the cable reached.
            bounds: What the fullest device of each set-up is never below.
            clock: The clock of this part of the search.
            what: What is dealt out, where that is known.
        """
        self._facts, self._options, self._full, self._clock = facts, options, full, clock
        self.proved_m = cable_bound(facts, options)
        self._what = what or sharing(facts, options)
        self._dealing: Dealing | None = None
        if not self._what.demands:
            return
        held = Held(
            full,
            reached.get(Goal.REPLUGS),
            reached.get(Goal.DISCHARGE_APART) == 0,
            reached.get(Goal.BALANCE),
        )
        share = clock.part(clock.work_left_s * _SETTLE_SHARE)
        self._dealing = Dealing(facts, options, self._what, held, share)
        self._dealing.settle()
        within = Range.of(bounds, reached)
        proved_m = self._dealing.proof(within.least, within.most, within.together)
        self.proved_m = max(self.proved_m, proved_m)

    def plan(self, before: Split, effort: Effort) -> Split | None:
        """Return where units would be, or None where some find no socket.

        Loads that are not ours stay where they are, heads keep away from last-resort outlets and
        from the circuits of what heats, unless they are there already.

        Args:
            before: Where every unit is in the plan in hand.
            effort: Seed and workers.
        """
        if self._dealing is None:
            return None
        barred = self._barred(before)
        dealt = Dive(self._dealing, barred, self._clock).run()
        # Rounds this small take about half the time that their work usually takes.
        clock = self._clock.beside(self._clock.work_left_s, _FASTER)
        most_s = clock.work_left_s
        dealt = Mending(self._dealing, barred, dealt).run(effort, clock)
        self._clock.spend_s((most_s - clock.work_left_s) / _FASTER)
        fixed = {where: units for where, units in before.items() if where[0] not in self._dealt}
        placing = Placing(self._facts, self._options, self._full)
        return placing.place(dealt, missing(self._dealing, dealt), fixed)

    @property
    def _dealt(self) -> frozenset[object]:
        return frozenset(self._what.demands)

    def _barred(self, before: Split) -> dict[Bin, Flags]:
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
