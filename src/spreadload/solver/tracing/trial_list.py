"""The tests that could be made in a house, with lamps where they tell most for the plan."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from spreadload.job.job import Job
from spreadload.job.site import RcdKind
from spreadload.practice.wiring import wiring_habits
from spreadload.solver.tracing.weighing import Weighing
from spreadload.wiring.disturbance import circuits_behind, may_switch
from spreadload.wiring.maps import Maps
from spreadload.wiring.ties import evened
from spreadload.wiring.trials import Trial, TrialKind, labels
from spreadload.wiring.ways import entropy_of

OPEN = 0.02
_LAMPS = 6
_PAIRS = 3
_STEPS = 12
_LEAST_GAIN = 1e-6


@dataclass(frozen=True)
class TrialList:
    """What could be tested.

    Attributes:
        job: The job.
        weighing: Plans to weigh tests on.
        people: 1 or 2.
        lamps: Outlets to put lamps in; chosen by what they tell when empty.
    """

    job: Job
    weighing: Weighing
    people: int
    lamps: tuple[str, ...]

    @property
    def maps(self) -> Maps:
        """The maps that tests are ranked on."""
        return self.weighing.pool.maps

    @cached_property
    def open_outlets(self) -> tuple[str, ...]:
        """Outlets whose circuit is not as good as known."""
        return tuple(o for o in self.maps.outlets if max(self.maps.chances(o).values()) < 1 - OPEN)

    @property
    def used_and_open(self) -> tuple[str, ...]:
        """Those of them that the best plan uses."""
        used = self.weighing.pool.outlets(self.weighing.pool.best)
        return tuple(o for o in self.open_outlets if o in used)

    @cached_property
    def circuits(self) -> tuple[str, ...]:
        """Circuits that some outlet may be on."""
        there = np.unique(self.maps.on)
        return tuple(c for n, c in enumerate(self.maps.circuits) if n in there)

    def trials(self) -> list[Trial]:
        """Return every test worth weighing, lamps placed."""
        return [self.lit(trial) for trial in self._candidates()]

    def _candidates(self) -> Iterator[Trial]:
        if self.people == 1:
            for circuit in self.circuits:
                yield Trial(TrialKind.LISTEN, off=(circuit,))
                yield Trial(TrialKind.FILM, off=(circuit,))
        else:
            yield from (Trial(TrialKind.BREAKER, off=(c,)) for c in self.circuits)
            yield from self._several()
        for rcd, row in self.job.rcds.items():
            behind = circuits_behind(self.job, rcd)
            if row.kind is not RcdKind.RCBO and set(behind) & set(self.circuits):
                yield Trial(TrialKind.RCD, off=behind, rcd=rcd, walks=self.people == 1)
        yield from self._asked()
        if not may_switch(self.job, self.weighing.pool.robust.fitted):
            yield from self._steps()

    def _several(self) -> Iterator[Trial]:
        """Yield the pairs of breakers off together that tell most."""
        pairs = [(a, b) for i, a in enumerate(self.circuits) for b in self.circuits[i + 1 :]]
        told = {pair: self._told(pair) for pair in pairs}
        pairs.sort(key=lambda pair: (-evened(told[pair]), pair))
        yield from (Trial(TrialKind.SEVERAL, off=p) for p in pairs[:_PAIRS] if told[p] > 0)

    def _told(self, off: tuple[str, ...]) -> float:
        """Return how much one look at every outlet would tell [bit]."""
        seen = labels(Trial(TrialKind.SEVERAL, off, self.maps.outlets), self.maps)
        return entropy_of(seen, self.maps.weights)

    def _asked(self) -> Iterator[Trial]:
        sure = wiring_habits(self.job.region).story_factor.value
        for outlet in self.used_and_open:
            chances = self.maps.chances(outlet)
            off = tuple(c for c in self.circuits if c in chances)
            if len(off) > 1:
                yield Trial(TrialKind.ASK, off, sure=sure).with_lamps((outlet,))

    def _steps(self) -> Iterator[Trial]:
        outlets = self.used_and_open
        pairs = [(a, b) for i, a in enumerate(outlets) for b in outlets[i + 1 :]]
        yield from (Trial(TrialKind.LOAD_STEP).with_lamps(pair) for pair in pairs[:_STEPS])

    # Where the lamps go.

    def lit(self, trial: Trial) -> Trial:
        """Return a test with lamps where they tell most for the plan, one after the other."""
        if trial.lamps:
            return trial
        most = 1 if trial.kind is TrialKind.LISTEN else _LAMPS
        if self.lamps:
            return trial.with_lamps(self._best_of(trial, self.lamps, min(most, len(self.lamps))))
        return trial.with_lamps(self._best_of(trial, self.maps.outlets, most))

    def _best_of(self, trial: Trial, outlets: Sequence[str], most: int) -> tuple[str, ...]:
        if self.lamps and most == len(outlets) and trial.kind is not TrialKind.FILM:
            return tuple(outlets)
        chosen: tuple[str, ...] = ()
        value = self.weighing.on_fitted(trial)
        while len(chosen) < most:
            near = self._may_be_lit(trial, outlets, chosen)
            with_one = [trial.with_lamps((*chosen, o)) for o in near]
            options = [(self.weighing.on_fitted(t), t.lamps) for t in with_one]
            if not options:
                break
            reached, lamps = min(options)
            if reached > value - _LEAST_GAIN and chosen:
                break
            chosen, value = lamps, reached
        return tuple(sorted(chosen, key=self.maps.outlets.index))

    def _may_be_lit(
        self, trial: Trial, outlets: Sequence[str], chosen: tuple[str, ...]
    ) -> list[str]:
        """Return outlets that may still get a lamp; one room only where a phone films."""
        numbers = [n for n, c in enumerate(self.maps.circuits) if c in trial.off]
        share = self.maps.weights @ np.isin(self.maps.on, numbers)
        telling = {o for n, o in enumerate(self.maps.outlets) if OPEN < share[n] < 1 - OPEN}
        free = [o for o in outlets if o in telling and o not in chosen]
        if trial.kind is not TrialKind.FILM or not chosen:
            return free
        rooms = {self.job.outlets[o].room for o in chosen}
        return [o for o in free if self.job.outlets[o].room in rooms]
