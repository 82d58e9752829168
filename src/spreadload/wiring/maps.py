"""Maps still possible: listed one and all where they are few, drawn at random where they are many.

Drawing: a layout by its weight (how well it suits what is known included), then every unit's
circuit given the layout. Soft observations about several outlets at once become weights. The
effective sample size says how many equally weighted maps the drawn ones are worth.

Imports its neighbours and numpy only.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import product
from math import prod
from weakref import WeakKeyDictionary

import numpy as np
from numpy.typing import NDArray

from spreadload.wiring.likelihood import log_likelihood
from spreadload.wiring.model import Allowed, WiringModel
from spreadload.wiring.rows import different_rows
from spreadload.wiring.ties import evened

MAX_LISTED = 4096
_MAX_LISTED_WORK = 60_000_000


@dataclass(frozen=True)
class Maps:
    """Maps with weights that add up to one.

    Attributes:
        outlets: Names of the columns of ``on``.
        circuits: What the numbers in ``on`` stand for.
        on: Per map and outlet, its circuit.
        weights: Per map.
        is_exact: Whether every possible map is here.
        effective: How many equally weighted independent maps these are worth.
        seed: Seed they were drawn with.
    """

    outlets: tuple[str, ...]
    circuits: tuple[str, ...]
    on: NDArray[np.int16]
    weights: NDArray[np.float64]
    is_exact: bool
    effective: float
    seed: int

    def __len__(self) -> int:
        """Return how many maps there are."""
        return len(self.weights)

    def map(self, number: int) -> dict[str, str]:
        """Return one map: the circuit of every outlet."""
        return {
            outlet: self.circuits[circuit]
            for outlet, circuit in zip(self.outlets, self.on[number], strict=True)
        }

    def share(self, true: NDArray[np.bool_]) -> float:
        """Return the weight of the maps on which something is true."""
        return evened(float(self.weights @ true))

    def chances(self, outlet: str) -> dict[str, float]:
        """Return how likely each circuit is for an outlet."""
        column = self.on[:, self.outlets.index(outlet)]
        weights = np.bincount(column, self.weights, minlength=len(self.circuits))
        return {c: float(w) for c, w in zip(self.circuits, weights, strict=True) if w > 0}

    def typical(self) -> dict[str, str]:
        """Return the map that agrees best with the others, outlet by outlet."""
        agreed = np.zeros(len(self))
        for column in self.on.T:
            share = np.bincount(column, self.weights, minlength=len(self.circuits))
            agreed += np.log(np.maximum(share[column], 1e-12))
        return self.map(int(np.argmax(agreed)))

    def first(self, count: int) -> "Maps":
        """Return some of the maps, weighed up again; drawn maps come in no order."""
        step = max(len(self) // count, 1)
        weights = self.weights[::step]
        return replace(self, on=self.on[::step], weights=weights / weights.sum())

    def only(self, true: NDArray[np.bool_]) -> "Maps":
        """Return the maps on which something is true, weighed up again; there must be some."""
        weights = self.weights[true] / self.weights[true].sum()
        effective = min(self.effective, 1 / float(weights @ weights))
        return replace(self, on=self.on[true], weights=weights, effective=effective)

    def weighed(self, odds: NDArray[np.float64]) -> "Maps":
        """Return the maps, each as much likelier as it explains something better."""
        weights = self.weights * odds
        weights = weights / weights.sum()
        effective = min(self.effective, 1 / float(weights @ weights))
        return replace(self, weights=weights, effective=effective)

    def merged(self, outlets: Sequence[str]) -> "Maps":
        """Return the maps as seen by some outlets only, equal ones merged, heaviest first."""
        columns = [self.outlets.index(o) for o in outlets]
        rows, index = different_rows(self.on[:, columns], len(self.circuits))
        weights = np.bincount(index, self.weights, minlength=len(rows)).astype(np.float64)
        order = np.argsort(-weights, kind="stable")
        return Maps(
            tuple(outlets),
            self.circuits,
            rows[order],
            weights[order],
            self.is_exact,
            self.effective,
            self.seed,
        )


# What one command asks of the same maps comes from several rooms: search, chance, reasons.
_DRAWN: WeakKeyDictionary[WiringModel, dict[tuple[int, int], Maps]] = WeakKeyDictionary()


def maps_of(model: WiringModel, count: int, seed: int) -> Maps:
    """Return every map where they are few, else ``count`` maps drawn with a seed; drawn once."""
    known = _DRAWN.setdefault(model, {})
    is_listed = can_list(model)
    key = (0, 0) if is_listed else (count, seed)
    if key not in known:
        known[key] = listed_maps(model) if is_listed else drawn_maps(model, count, seed)
    return known[key]


def can_list(model: WiringModel) -> bool:
    """Whether all maps can be listed with their exact weights."""
    number = prod(len(choices) for choices in _choices(model))
    return (
        model.is_exhaustive
        and number <= MAX_LISTED
        and number * len(model.log_layout) * len(model.units) <= _MAX_LISTED_WORK
    )


def listed_maps(model: WiringModel) -> Maps:
    """Return every possible map with its exact weight under the stated prior."""
    rows = np.array(list(product(*_choices(model))), dtype=np.int16)
    for a, b in model.apart:
        rows = rows[rows[:, a] != rows[:, b]]
    log_odds = np.log(np.maximum(model.odds.astype(np.float64), 1e-300))
    log_joint = np.tile(model.log_layout[:, None], (1, len(rows)))
    for unit in range(rows.shape[1]):
        log_joint += log_odds[:, unit, :][:, rows[:, unit]]
    top = log_joint.max()
    weights = np.exp(log_joint - top).sum(axis=0)
    found = _maps(model, rows, np.log(np.maximum(weights, 1e-300)), seed=0, is_exact=True)
    return _without_empty(found)


def drawn_maps(model: WiringModel, count: int, seed: int, allowed: Allowed | None = None) -> Maps:
    """Return maps drawn at random; the same seed draws the same maps.

    Args:
        model: The house.
        count: How many.
        seed: What they are drawn with.
        allowed: A statement that has to be true on all of them.
    """
    rng = np.random.default_rng(seed)
    may = model.left(allowed or {})
    log_layout = model.log_joint(allowed or {})
    chance = np.exp(log_layout - log_layout.max())
    layout = _systematic(chance / chance.sum(), count, rng)
    rows = np.zeros((count, len(model.units)), dtype=np.int16)
    log_weight = np.zeros(count)
    near = _near(model)
    for unit in range(len(model.units)):
        odds = model.odds[layout, unit].astype(np.float64) * may.get(unit, 1.0)
        whole = odds.sum(axis=1)
        for other in near.get(unit, ()):
            odds[np.arange(count), rows[:, other]] = 0.0
        left = odds.sum(axis=1)
        if unit in near:
            log_weight += np.log(np.maximum(left, 1e-300) / np.maximum(whole, 1e-300))
        aim = rng.random(count) * left
        rows[:, unit] = np.minimum(
            (odds.cumsum(axis=1) <= aim[:, None]).sum(axis=1), odds.shape[1] - 1
        )
    found = _maps(model, rows, log_weight, seed=seed, is_exact=False)
    independent = _effective(chance)
    if model.is_exhaustive:
        return found
    worth = min(found.effective, independent)
    return Maps(found.outlets, found.circuits, found.on, found.weights, found.is_exact, worth, seed)


def _maps(
    model: WiringModel,
    rows: NDArray[np.int16],
    log_weight: NDArray[np.float64],
    *,
    seed: int,
    is_exact: bool,
) -> Maps:
    unit_of = [n for n, unit in enumerate(model.units) for _ in unit]
    on = rows[:, unit_of]
    log_weight = log_weight + log_likelihood(model, model.outlets, on)
    weights = np.exp(log_weight - log_weight.max())
    weights = weights / weights.sum()
    return Maps(model.outlets, model.circuits, on, weights, is_exact, _effective(weights), seed)


def _without_empty(maps: Maps) -> Maps:
    keep = maps.weights > 0
    return Maps(
        maps.outlets,
        maps.circuits,
        maps.on[keep],
        maps.weights[keep],
        maps.is_exact,
        maps.effective,
        maps.seed,
    )


def _choices(model: WiringModel) -> list[list[int]]:
    """Return the circuits each unit has any chance of."""
    some = model.odds.max(axis=0) > 0
    return [[int(c) for c in np.flatnonzero(row)] for row in some]


def _near(model: WiringModel) -> dict[int, tuple[int, ...]]:
    """Return, for every unit, the earlier units it must differ from."""
    near: dict[int, list[int]] = {}
    for a, b in model.apart:
        near.setdefault(b, []).append(a)
    return {unit: tuple(others) for unit, others in near.items()}


def _systematic(
    chance: NDArray[np.float64], count: int, rng: np.random.Generator
) -> NDArray[np.intp]:
    """Draw layouts evenly spaced along their weights: less noise than one by one."""
    aims = (np.arange(count) + rng.random()) / count
    return np.minimum(np.searchsorted(chance.cumsum(), aims), len(chance) - 1)


def _effective(weights: NDArray[np.float64]) -> float:
    """Return Kish's effective sample size.

    Source:
        L. Kish, Survey Sampling (Wiley, 1965): (sum of weights)² over the sum of their squares.
    """
    return float(weights.sum() ** 2 / (weights**2).sum())
