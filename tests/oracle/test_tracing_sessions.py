"""Tracing sessions against the best decision tree there is, found by trying every round.

Small houses, a few of them with every wiring listed, others with wirings drawn at random. The tree
is searched in plain Python that shares nothing with the package: wirings as dictionaries, lamps
placed when one circuit is left to each.
"""

import random
from functools import cache
from itertools import combinations
from statistics import fmean

import numpy as np
import pytest

from spreadload.wiring.maps import Maps
from spreadload.wiring.session import Session, session

pytestmark = pytest.mark.slow

Left = tuple[frozenset[int], ...]

HOUSES = 60
WITHIN = 1.10


def house(seed: int, *, is_exact: bool) -> Maps:
    """Return a small house with made-up wirings, weights and outlets."""
    rng = random.Random(seed)
    circuits = tuple(f"C{n}" for n in range(rng.randint(2, 5)))
    outlets = tuple(f"O{n}" for n in range(rng.randint(1, 4)))
    rows = {tuple(rng.randrange(len(circuits)) for _ in outlets) for _ in range(rng.randint(2, 12))}
    weights = np.array([rng.random() + 0.05 for _ in rows])
    on = np.array(sorted(rows), dtype=np.int16)
    share = weights / weights.sum()
    return Maps(outlets, circuits, on, share, is_exact, float(len(rows)), seed)


def best_tree(maps: Maps) -> float:
    """Return the least expected number of rounds over all ways to go about it."""
    lamps = range(len(maps.outlets))
    circuits = range(len(maps.circuits))
    subsets = [
        frozenset(some)
        for size in range(1, len(maps.circuits))
        for some in combinations(circuits, size)
    ]
    every = tuple(range(len(maps)))
    on = [tuple(int(c) for c in row) for row in maps.on]
    possible = tuple(frozenset(row[lamp] for row in on) for lamp in lamps)

    def narrowed(rows: tuple[int, ...], left: Left) -> Left:
        if not maps.is_exact:
            return left
        return tuple(left[lamp] & {on[r][lamp] for r in rows} for lamp in lamps)

    @cache
    def rounds(rows: tuple[int, ...], left: Left) -> float:
        if all(len(some) == 1 for some in left):
            return 0.0
        whole = sum(maps.weights[r] for r in rows)
        best = float("inf")
        for off in subsets:
            parts: dict[tuple[bool, ...], list[int]] = {}
            for r in rows:
                parts.setdefault(tuple(c in off for c in on[r]), []).append(r)
            then = []
            for seen, part in parts.items():
                after = tuple(
                    some & off if dark else some - off
                    for some, dark in zip(left, seen, strict=True)
                )
                then.append((tuple(part), narrowed(tuple(part), after)))
            if any((part, after) == (rows, left) for part, after in then):
                continue
            share = [sum(maps.weights[r] for r in part) / whole for part, _ in then]
            best = min(best, 1 + sum(s * rounds(*t) for s, t in zip(share, then, strict=True)))
        return best

    return rounds(every, narrowed(every, possible))


def found(maps: Maps) -> Session:
    """Return the session the package plans for every outlet of a house."""
    return session(maps, maps.outlets, may_switch=maps.circuits, people=2)


@pytest.mark.parametrize("is_exact", [True, False])
def test_rounds_are_near_the_best_tree_and_never_worse_than_one_by_one(*, is_exact: bool) -> None:
    """Each house within ten in a hundred of the best tree; no bound above it; none beats it."""
    ratios = []
    for seed in range(HOUSES):
        maps = house(seed, is_exact=is_exact)
        planned, best = found(maps), best_tree(maps)
        assert planned.adaptive.rounds >= best - 1e-9, seed
        assert planned.adaptive.rounds <= WITHIN * best + 1e-9, seed
        assert planned.adaptive.rounds <= planned.plain.rounds + 1e-9, seed
        assert planned.bound_rounds <= best + 1e-9, seed
        ratios.append(planned.adaptive.rounds / best if best else 1.0)
    assert fmean(ratios) <= 1.01


def test_a_tree_with_known_figures() -> None:
    """Four circuits, one lamp, all alike: two rounds; one by one (1 + 2 + 3 + 3) / 4 = 2.25."""
    on = np.arange(4, dtype=np.int16)[:, None]
    maps = Maps(("O",), ("A", "B", "C", "D"), on, np.full(4, 0.25), True, 4.0, 0)  # noqa: FBT003
    planned = found(maps)
    assert planned.adaptive.rounds == pytest.approx(2.0)
    assert planned.plain.rounds == pytest.approx(2.25)
    assert planned.bound_rounds == pytest.approx(2.0)
    assert best_tree(maps) == pytest.approx(2.0)
