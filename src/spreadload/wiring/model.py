"""The wirings a house may have: prior and facts together, ready to enumerate or to sample.

Imports the job, practice, derived and its neighbours; never plans.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from spreadload.derived.reach import outlet_spot
from spreadload.derived.supply import circuit_facts, supply_facts
from spreadload.job.job import Job
from spreadload.job.observations import Log
from spreadload.job.site import HowKnown
from spreadload.wiring.atoms import atoms, spot_distance_m
from spreadload.wiring.beliefs import Beliefs
from spreadload.wiring.evidence import Odds, learned, outlet_odds, possible, without_guesses
from spreadload.wiring.layouts import DRAWS, Layouts, layouts
from spreadload.wiring.stray import strayed

_TINY = 1e-12
_NEVER = 1e-300

# Circuits left to each outlet that a statement speaks of.
Allowed = Mapping[str, frozenset[str]]
_SURPRISE = 1e-6


@dataclass(frozen=True, eq=False)
class WiringModel:
    """Everything needed to weigh or draw maps of one house; known by who it is.

    Attributes:
        job: The job with what the log proves put in, guesses left open.
        log: The log, for its soft observations.
        circuits: Circuits that some outlet might be on, in the order of the job.
        units: Outlets that share a circuit for sure, each group one unit.
        apart: Pairs of units that are on different circuits for sure.
        odds: Per layout, unit and circuit: prior chance times what is known of it, not scaled.
        log_layout: Log of the prior of each layout.
        is_exhaustive: Whether the layouts list every hand-out of groups to circuits.
        assumptions: What the prior is made of, in sentences.
    """

    job: Job
    log: Log
    circuits: tuple[str, ...]
    units: tuple[tuple[str, ...], ...]
    apart: tuple[tuple[int, int], ...]
    odds: NDArray[np.float32]
    log_layout: NDArray[np.float64]
    is_exhaustive: bool
    assumptions: tuple[str, ...]

    @classmethod
    def of(cls, job: Job, log: Log | None = None, draws: int = DRAWS) -> "WiringModel":
        """Build the model, from so many drawn groupings, of a job its log does not clash with."""
        log = log or Log()
        beliefs = Beliefs.of(job)
        known = learned(job, log)
        open_job = without_guesses(known)
        allowed = possible(known)
        # Where nothing on the board can feed outlets, any way must do for a home.
        homes = _feeding(open_job) or tuple(open_job.circuits)
        circuits = (*homes, *_elsewhere(open_job, allowed, homes))
        parts = atoms(open_job, homes, min(len(homes), len(open_job.outlets)))
        outlets = tuple(o for part in parts for o in part.outlets)
        tables = _Tables(open_job, beliefs, circuits, outlets, allowed)
        soft = (*outlet_odds(job, log), *_guesses(known, beliefs))
        fit = tables.fit(soft)[:, : len(homes)]
        found = _padded(layouts(parts, homes, beliefs, fit, draws), len(circuits))
        units = _units(open_job, outlets)
        joint = tables.unit_odds(tables.outlet_odds(found, soft), units)
        return cls(
            job=open_job,
            log=log,
            circuits=circuits,
            units=units,
            apart=_apart(open_job, units),
            odds=joint,
            log_layout=found.log_weight,
            is_exhaustive=found.is_exhaustive,
            assumptions=beliefs.in_words(job),
        )

    @cached_property
    def _log_mass(self) -> NDArray[np.float64]:
        """Log of how likely what is known of each unit is, per layout."""
        mass = self.odds.sum(axis=2, dtype=np.float64)
        log_mass: NDArray[np.float64] = np.log(np.maximum(mass, _NEVER))
        return log_mass

    def left(self, allowed: Allowed) -> dict[int, NDArray[np.float32]]:
        """Return, for each unit that a statement speaks of, which circuits it leaves."""
        found: dict[int, NDArray[np.float32]] = {}
        for unit, members in enumerate(self.units):
            for outlet in members:
                if outlet in allowed:
                    may = np.array([c in allowed[outlet] for c in self.circuits], dtype=np.float32)
                    found[unit] = found.get(unit, np.ones_like(may)) * may
        return found

    def log_joint(self, allowed: Allowed) -> NDArray[np.float64]:
        """Return, per layout, the log of its weight with what is known and a statement put in."""
        found: NDArray[np.float64] = self.log_layout + self._log_mass.sum(axis=1)
        for unit, may in self.left(allowed).items():
            mass = (self.odds[:, unit] @ may).astype(np.float64)
            found += np.log(np.maximum(mass, _NEVER)) - self._log_mass[:, unit]
        return found

    def chance(self, allowed: Allowed) -> float:
        """Return how likely a statement is, summed over all layouts; units kept apart are not."""
        without, joint = self.log_joint({}), self.log_joint(allowed)
        top = without.max()
        return float(np.exp(joint - top).sum() / np.exp(without - top).sum())

    @property
    def outlets(self) -> tuple[str, ...]:
        """Every outlet, unit by unit."""
        return tuple(o for unit in self.units for o in unit)


@dataclass(frozen=True)
class _Tables:
    """Chances of single outlets, given where every outlet is at home."""

    job: Job
    beliefs: Beliefs
    circuits: tuple[str, ...]
    outlets: tuple[str, ...]
    allowed: dict[str, frozenset[str]]

    def fit(self, soft: Sequence[Odds]) -> NDArray[np.float64]:
        """Return, per outlet and circuit, the log of how well its facts suit that home."""
        count = len(self.circuits)
        at_home = np.eye(count) * (1 - self.beliefs.stray) + self.beliefs.stray / max(count, 1)
        known = np.stack([self._known(outlet, soft) for outlet in self.outlets])
        log_fit: NDArray[np.float64] = np.log(np.maximum(known @ at_home, _TINY))
        return log_fit

    def outlet_odds(self, found: Layouts, soft: Sequence[Odds]) -> NDArray[np.float32]:
        """Return, per layout, outlet and circuit, prior chance times what is known of it."""
        pulls = [self._neighbours(own) for own in range(len(self.outlets))]
        near = np.stack([near for near, _ in pulls])
        is_close = np.array([close for _, close in pulls])
        odds = strayed(found.home, near, is_close, self.beliefs)
        for own, outlet in enumerate(self.outlets):
            stated = self.job.wiring.outlets.get(outlet)
            if stated:
                odds[:, own] = self._stated_odds(found.home, own, stated)
            odds[:, own] *= self._known(outlet, soft).astype(np.float32)
        return odds

    def unit_odds(
        self, odds: NDArray[np.float32], units: Sequence[Sequence[str]]
    ) -> NDArray[np.float32]:
        """Return the odds of outlets that share a circuit as one.

        Facts win over the prior: where it gives a unit no chance of anything it may be on, what it
        may be on becomes very unlikely instead of impossible.
        """
        at = {o: n for n, o in enumerate(self.outlets)}
        columns = [[at[o] for o in unit] for unit in units]
        is_one_each = columns == [[n] for n in range(len(self.outlets))]
        joint = (
            odds if is_one_each else np.stack([odds[:, c].prod(axis=1) for c in columns], axis=1)
        )
        may = np.array(
            [[all(self._may(o, c) for o in unit) for c in self.circuits] for unit in units]
        )
        may = np.where(may.any(axis=1, keepdims=True), may, 1.0).astype(np.float32)
        layout, unit = np.nonzero(joint.sum(axis=2) <= 0)
        joint[layout, unit] = np.float32(_SURPRISE) * may[unit]
        return joint

    def _may(self, outlet: str, circuit: str) -> bool:
        return circuit in self.allowed[outlet]

    def _stated_odds(
        self, home: NDArray[np.float32], own: int, stated: dict[str, float]
    ) -> NDArray[np.float32]:
        """Return the job's own odds for an outlet; a zone or room means wherever that is."""
        chance = np.zeros((len(home), len(self.circuits)), dtype=np.float32)
        whole = sum(stated.values()) or 1.0
        for target, weight in stated.items():
            if target in self.circuits:
                chance[:, self.circuits.index(target)] += weight / whole
                continue
            rooms = self.job.wiring.zones.get(target, (target,))
            there = [n for n, o in enumerate(self.outlets) if self.job.outlets[o].room in rooms]
            there = [n for n in there if n != own] or there
            for n in there:
                chance += home[:, n] * np.float32(weight / whole / len(there))
        return chance

    def _neighbours(self, own: int) -> tuple[NDArray[np.float32], bool]:
        """Return how strongly an outlet is drawn to each other, and whether one backs it."""
        spots = [outlet_spot(self.job, outlet) for outlet in self.outlets]
        here = spots[own]
        pull = np.zeros(len(self.outlets), dtype=np.float32)
        nearest_m = float("inf")
        for n, there in enumerate(spots):
            if n != own:
                away_m = spot_distance_m(self.beliefs, here, there)
                pull[n] = 2.0 ** (-away_m / self.beliefs.halving_m)
                if here.room != there.room:
                    nearest_m = min(nearest_m, away_m)
        return pull, here.at is not None and nearest_m <= self.beliefs.back_to_back_m

    def _known(self, outlet: str, soft: Sequence[Odds]) -> NDArray[np.float64]:
        """Return 1 for each circuit an outlet may be on, 0 for others, times the soft factors."""
        known = np.array([float(c in self.allowed[outlet]) for c in self.circuits])
        for odds in soft:
            if odds.outlet == outlet:
                named = np.array([c in odds.circuits for c in self.circuits])
                known = known * np.where(named, odds.factor, 1.0)
        return known


def _guesses(job: Job, beliefs: Beliefs) -> tuple[Odds, ...]:
    """Return written-down guesses as odds: so likely against everything else together."""
    factor = beliefs.guess / (1 - beliefs.guess) * max(len(_feeding(job)) - 1, 1)
    return tuple(
        Odds(f"guess for {o}", o, frozenset({outlet.circuit}), factor)
        for o, outlet in job.outlets.items()
        if outlet.circuit is not None and outlet.known is HowKnown.GUESSED
    )


def _feeding(job: Job) -> tuple[str, ...]:
    facts = circuit_facts(job, supply_facts(job))
    return tuple(c for c in job.circuits if facts[c].can_feed_outlets)


def _elsewhere(
    job: Job, allowed: dict[str, frozenset[str]], homes: tuple[str, ...]
) -> tuple[str, ...]:
    """Return circuits that some outlet is known or said to be on, though read as something else."""
    wanted = {c for some in allowed.values() for c in some} - set(homes)
    return tuple(c for c in job.circuits if c in wanted)


def _padded(found: Layouts, circuits: int) -> Layouts:
    """Return layouts with columns for circuits that are nobody's home."""
    more = circuits - found.home.shape[2]
    if not more:
        return found
    home = np.pad(found.home, ((0, 0), (0, 0), (0, more)))
    return replace(found, home=home)


def _units(job: Job, outlets: Sequence[str]) -> tuple[tuple[str, ...], ...]:
    leader = {o: o for o in outlets}
    for group in job.same_circuit:
        heads = {leader[o] for o in group if o in leader}
        if heads:
            first = min(heads, key=outlets.index)
            leader = {o: first if head in heads else head for o, head in leader.items()}
    joined: dict[str, list[str]] = {}
    for outlet in outlets:
        joined.setdefault(leader[outlet], []).append(outlet)
    return tuple(tuple(members) for members in joined.values())


def _apart(job: Job, units: Sequence[Sequence[str]]) -> tuple[tuple[int, int], ...]:
    unit_of = {o: n for n, unit in enumerate(units) for o in unit}
    pairs = {
        (min(unit_of[a], unit_of[b]), max(unit_of[a], unit_of[b]))
        for group in job.different_circuit
        for a, b in combinations(group, 2)
        if a in unit_of and b in unit_of
    }
    return tuple(sorted(pair for pair in pairs if pair[0] != pair[1]))
