"""Which test is worth making: by how much it lowers the chance that the best plan still trips.

Every test is weighed by averaging, over its outcomes, the risk of the best plan after it, taken
from a pool of plans that grows where an outcome has none that is good. Held against it is doing
nothing, and leaving an outlet alone.
"""

from collections.abc import Sequence
from dataclasses import replace
from math import sqrt

import numpy as np

from spreadload.solver.engine.found import Found
from spreadload.solver.engine.limits import Clock, SolverConfig
from spreadload.solver.robust.least_risk import Robust
from spreadload.solver.tracing.pool import Floats, Pool
from spreadload.solver.tracing.trial_list import TrialList
from spreadload.solver.tracing.weighing import Weighing
from spreadload.solver.tracing.worth import WORTH, Tracing, Wanted, Worth
from spreadload.wiring.disturbance import Disturbance, disturbance, may_switch
from spreadload.wiring.model import WiringModel
from spreadload.wiring.session import Session, session
from spreadload.wiring.ties import evened
from spreadload.wiring.trials import Trial, outcomes

_SEARCHES = 24
_SEEDS = 12
_LEAST_WEIGHT = 0.01
_DRIVERS = 3
_CHECKS = 3
_HALF = 0.5


def trace(model: WiringModel, wanted: Wanted, config: SolverConfig) -> Tracing | Found:
    """Return what each test is worth, or why there is no plan to weigh them on.

    Args:
        model: The wirings the house may have.
        wanted: People, minutes, lamps, plan in hand.
        config: Time limit and seed.
    """
    clock = Clock(config.time_limit_s)
    pool = Pool.of(Robust.of(model, config), clock)
    if isinstance(pool, Found):
        return pool
    return Tracer(model, pool, wanted, clock).run()


class Tracer:
    """Weighs tests on a pool of plans, and lets the pool grow for them."""

    def __init__(self, model: WiringModel, pool: Pool, wanted: Wanted, clock: Clock) -> None:
        """Prepare to weigh tests.

        Args:
            model: The wirings the house may have.
            pool: Plans to weigh them on.
            wanted: People, minutes, lamps, plan in hand.
            clock: When to stop looking for more plans.
        """
        self.model, self.pool, self.wanted, self.clock = model, pool, wanted, clock
        self.weighing = Weighing(pool)
        lamps = tuple(o for o in wanted.lamps if o in pool.maps.outlets)
        self.list = TrialList(model.job, self.weighing, wanted.people, lamps)
        self.is_cut_short = False

    def run(self) -> Tracing:
        """Return what each test is worth."""
        self.pool.give_up_what_is_lost()
        self._seed()
        trials = self.list.trials()
        every = self.pool.robust.fitted
        whole = {t: disturbance(self.model.job, every, t) for t in trials}
        allowed = [t for t in trials if whole[t].is_allowed]
        self._grow(allowed)
        fitting = [t for t in allowed if self._fits(t)]
        avoid = self._without_one()
        worths = self._checked(fitting, whole)
        plan, now = self.wanted.plan, self.weighing.now
        return Tracing(
            now=now,
            planned=None if plan is None else self.pool.risk_of(plan),
            known=min(self.weighing.known, now),
            worths=self._with_second(worths),
            refused=tuple(t for t in trials if not whole[t].is_allowed),
            avoid={o: risk for o in avoid if (risk := self._risk_without(o)) is not None},
            session=self._session(),
            maps=len(self.pool.robust.fresh),
            noise=self._noise(now),
            plans=len(self.pool.states),
            is_cut_short=self.is_cut_short,
            lost=len(allowed) - len(fitting),
        )

    # Growing the pool.

    def _seed(self) -> None:
        """Give the likeliest turns of single outlets a plan of their own before lamps are set."""
        turns = []
        maps = self.pool.maps
        for outlet in self.list.open_outlets:
            column = maps.on[:, maps.outlets.index(outlet)]
            for number in np.unique(column):
                weights = np.where(column == number, maps.weights, 0.0)
                turns.append((self._left(weights), weights))
        turns.sort(key=lambda turn: -turn[0])
        for _, weights in turns[:_SEEDS]:
            if self._has_time():
                self.pool.grow(weights)

    def _grow(self, trials: Sequence[Trial]) -> None:
        """Give the outcomes that no plan of the pool serves well a plan of their own."""
        rows: list[tuple[float, tuple[int, ...], Floats]] = []
        for trial in trials:
            for likely in outcomes(trial, self.pool.maps):
                weights = likely * self.pool.maps.weights
                if weights.sum() >= _LEAST_WEIGHT:
                    key = tuple(np.flatnonzero(likely > 0).tolist())
                    rows.append((self._left(weights), key, weights))
        rows.sort(key=lambda row: (-row[0], row[1]))
        done: set[tuple[int, ...]] = set()
        for _, key, weights in rows:
            if len(done) >= _SEARCHES or not self._has_time():
                break
            if key not in done:
                done.add(key)
                self.pool.grow(weights)

    def _without_one(self) -> tuple[str, ...]:
        """Look for plans without the outlets that may as well be left alone, and name those."""
        outlets = self.list.used_and_open
        for outlet in outlets[:_DRIVERS]:
            if self._has_time():
                self.pool.grow(self.pool.maps.weights, banned=frozenset({outlet}))
        return outlets

    def _left(self, weights: Floats) -> float:
        """Return the risk the best plan of the pool leaves on some of the maps."""
        return evened(float((self.pool.fails @ weights).min()))

    def _has_time(self) -> bool:
        if self.clock.left_s > 0:
            return True
        self.is_cut_short = True
        return False

    # What it is worth.

    def _fits(self, trial: Trial) -> bool:
        return self.wanted.minutes is None or trial.minutes <= self.wanted.minutes

    def _checked(self, trials: Sequence[Trial], whole: dict[Trial, Disturbance]) -> list[Worth]:
        """Return the tests by worth, once the plans spoken of are known to be riggable."""
        worths = self._worths(trials, whole)
        for _ in range(_CHECKS):
            spoken_of = {self.pool.best}
            if worths:
                spoken_of |= self.weighing.plans_after(worths[0].trial)
            if not self._has_time():
                break
            if not self.pool.drop_what_breaks_a_rule(sorted(spoken_of), self.clock):
                break
            worths = self._worths(trials, whole)
        return worths

    def _worths(self, trials: Sequence[Trial], whole: dict[Trial, Disturbance]) -> list[Worth]:
        now = self.weighing.now
        worths = []
        for trial in trials:
            after = min(self.weighing.after(trial), now)
            worths.append(Worth(trial, after, now - after, whole[trial]))
        worths.sort(key=_most_per_minute)
        return worths

    def _noise(self, now: float) -> float:
        """Return two standard errors of a share measured on so many independent maps."""
        fresh = self.pool.robust.fresh
        return 0.0 if fresh.is_exact else 2 * sqrt(now * (1 - now) / fresh.effective)

    def _with_second(self, worths: list[Worth]) -> tuple[Worth, ...]:
        """Return the tests, the first with what one more of its kind would add."""
        first = next((w for w in worths if w.trial.darkens), None)
        if first is None:
            return tuple(worths)
        options = [
            (self.weighing.after(first.trial, other.trial), other.trial.off, other.trial)
            for other in worths
            if other.trial.kind is first.trial.kind and other.trial.off != first.trial.off
        ]
        if not options:
            return tuple(worths)
        after, _, trial = min(options, key=lambda option: option[:2])
        then = (trial, max(first.after - after, 0.0))
        return tuple(replace(w, then=then) if w is first else w for w in worths)

    def _risk_without(self, outlet: str) -> float | None:
        """Return the risk of the best plan that leaves an outlet alone, where that costs little."""
        without = [n for n in range(len(self.pool.states)) if outlet not in self.pool.outlets(n)]
        if not without:
            return None
        fitted = evened(self.pool.fails[without] @ self.pool.maps.weights)
        best = without[int(np.argmin(fitted))]
        risk = float(self.pool.fresh_fails[best] @ self.pool.fresh.maps.weights)
        return risk if risk <= self.weighing.now + WORTH.value * _HALF else None

    def _session(self) -> Session | None:
        """Return the plan for tracing every lamp at once."""
        every = self.pool.robust.fitted
        switches = may_switch(self.model.job, every)
        lamps = self.list.lamps or self.list.open_outlets
        if not switches or not lamps:
            return None
        return session(every, lamps, may_switch=switches, people=self.wanted.people)


def _most_per_minute(worth: Worth) -> tuple[float, float, int, tuple[str, ...]]:
    """Return what puts the best test first; of equals the one that disturbs least."""
    what = worth.disturbance
    disturbed = len(what.ask_leave) + len(what.shut_down)
    return -round(worth.per_minute, 6), worth.trial.minutes, disturbed, worth.trial.off
