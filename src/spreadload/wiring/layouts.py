"""Layouts: which outlets hang together and on which circuits, each with its weight.

A layout is drawn like this. Most houses are wired room by room, some along the walls from outlet to
outlet. Circuits whose label names rooms get those rooms; a label is wrong now and then, and then
says nothing. Rooms (or single outlets) are joined, shortest cable run first, each run's length
uncertain, until as many groups are left as there are circuits; now and then a circuit feeds
nothing. Groups of an unusual number of outlets count for less. Groups go to circuits without a
preference of their own: what is known of single outlets decides later. A few houses follow no
pattern at all: there every circuit is as likely as any other for every outlet.

Imports its neighbours only.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise, permutations
from math import log, perm

import numpy as np
from numpy.typing import NDArray

from spreadload.wiring.atoms import Atom, distance_m, run_m
from spreadload.wiring.beliefs import Beliefs
from spreadload.words import natural

DRAWS = 400
MAX_WAYS = 12_000
MAX_LAYOUTS = 8_000
_SEED = 20_011
# A castle is drawn more coarsely than a house, so that its answer comes in the same minute: fewer
# groupings, fewer hand-outs, and past some hundred outlets no guess at runs from one to the next.
_MOST_STEPS = 3_000_000_000
_LEAST_DRAWS = 20
_MOST_ON_RUNS = 250
_MOST_CELLS = 50_000_000

Grouping = tuple[tuple[frozenset[int], tuple[int, ...]], ...]


@dataclass(frozen=True)
class Layouts:
    """Weighted layouts.

    Attributes:
        home: Per layout and outlet, how likely each circuit is its own; rows add up to one.
        log_weight: Prior of each layout.
        is_exhaustive: Whether every way of handing groups to circuits is in it.
    """

    home: NDArray[np.float32]
    log_weight: NDArray[np.float64]
    is_exhaustive: bool


def layouts(
    rooms: Sequence[Atom],
    circuits: Sequence[str],
    beliefs: Beliefs,
    fit: NDArray[np.float64],
    draws: int = DRAWS,
) -> Layouts:
    """Return the layouts of a house.

    Args:
        rooms: Groups of outlets believed to be wired together.
        circuits: Circuits that can feed outlets.
        beliefs: The numbers of the prior.
        fit: Per outlet (in the order of ``rooms``) and circuit, log of how well its own facts suit
            that home; only used to draw good hand-outs where there are too many to list.
        draws: How many groupings to draw.
    """
    rng = np.random.default_rng(_SEED)
    found = _groupings(rooms, circuits, beliefs, rng, draws)
    total = sum(found.values())
    most = max(1, min(MAX_LAYOUTS, _MOST_CELLS // max(1, fit.size)))
    is_exhaustive = sum(_ways(grouping, len(circuits)) for grouping in found) <= MAX_WAYS
    homes: list[NDArray[np.float32]] = []
    weights: list[NDArray[np.float64]] = []
    for grouping, count in found.items():
        prior = log(count / total) + _size_score(grouping, beliefs)
        share = max(1, round(most * count / total))
        handed = (
            _every_way(grouping, len(circuits))
            if is_exhaustive
            else _some_ways(grouping, len(circuits), fit, rng, share)
        )
        homes.append(_homes(grouping, handed, len(fit), len(circuits)))
        log_each = 0.0 if is_exhaustive else log(len(handed.log_weight))
        weights.append(prior + handed.log_weight - log_each)
    log_weight = np.concatenate(weights)
    log_weight -= log_weight.max() + np.log(np.exp(log_weight - log_weight.max()).sum())
    if beliefs.odd > 0:
        # The house without a pattern, with its share of the prior.
        homes.append(np.full((1, len(fit), len(circuits)), 1 / len(circuits), dtype=np.float32))
        log_weight = np.append(log_weight + log(1 - beliefs.odd), log(beliefs.odd))
    return Layouts(np.concatenate(homes), log_weight, is_exhaustive)


def _groupings(
    rooms: Sequence[Atom],
    circuits: Sequence[str],
    beliefs: Beliefs,
    rng: np.random.Generator,
    draws: int,
) -> dict[Grouping, int]:
    """Draw groupings of outlets and count them; stated zones and no doubt leave a single one."""
    singles = [single for room in rooms for single in room.singles()]
    members = np.cumsum([0, *(len(room.outlets) for room in rooms)])
    inside = [tuple(range(a, b)) for a, b in pairwise(members.tolist())]
    by_room_m = np.array([[distance_m(beliefs, a, b) for b in rooms] for a in rooms])
    may_run = len(singles) <= _MOST_ON_RUNS
    along = singles if may_run else []
    by_run_m = np.array([[run_m(beliefs, a, b) for b in along] for a in along])
    found: Counter[Grouping] = Counter()
    by_name = sorted(circuits, key=natural)
    sigma = float(np.log1p(beliefs.run_spread))
    steps = max(len(along), len(rooms)) ** 3
    for _ in range(max(min(draws, _LEAST_DRAWS), min(draws, _MOST_STEPS // max(1, steps)))):
        is_run = rng.random() < beliefs.by_run and may_run
        metres = by_run_m if is_run else by_room_m
        noisy = np.triu(metres * np.exp(rng.normal(0.0, sigma, metres.shape)), 1)
        believed = {c for c in by_name if rng.random() >= beliefs.label_wrong}
        unseen = bool(rng.random() < beliefs.unseen)
        parts = singles if is_run else rooms
        joined = _join(parts, circuits, noisy + noisy.T, believed, beliefs, unseen=unseen)
        if not is_run:
            joined = tuple(
                (label, tuple(o for n in group for o in inside[n])) for label, group in joined
            )
        found[joined] += 1
    return dict(found)


def _join(
    atoms: Sequence[Atom],
    circuits: Sequence[str],
    metres: NDArray[np.float64],
    believed: set[str],
    beliefs: Beliefs,
    *,
    unseen: bool,
) -> Grouping:
    """Join atoms into as many groups as there are circuits; groups with labels stay apart."""
    index = {c: n for n, c in enumerate(circuits)}
    ties = [frozenset(index[c] for c in a.labels if c in believed) for a in atoms]
    by_tie: dict[frozenset[int], list[int]] = {}
    for n, tie in enumerate(ties):
        by_tie.setdefault(tie, []).append(n)
    groups = [[n] for n in by_tie.pop(frozenset(), [])] + list(by_tie.values())
    labels = [ties[members[0]] for members in groups]
    free = len(circuits) - len(frozenset().union(*labels)) if labels else 0
    wanted = max(len(by_tie) + max(free - int(unseen and free > 1), 0), 1)
    _merge(groups, labels, metres, [len(a.outlets) for a in atoms], (wanted, beliefs))
    parts = [(label, tuple(sorted(g))) for label, g in zip(labels, groups, strict=True)]
    return tuple(sorted(parts, key=lambda part: part[1]))


def _merge(
    groups: list[list[int]],
    labels: list[frozenset[int]],
    metres: NDArray[np.float64],
    outlets: Sequence[int],
    aim: tuple[int, Beliefs],
) -> None:
    """Merge the nearest two groups until enough are left; crowded circuits reach less far."""
    wanted, beliefs = aim
    order = [n for members in groups for n in members]
    starts = np.cumsum([0, *(len(members) for members in groups)])[:-1]
    between = metres[order][:, order]
    between = np.minimum.reduceat(np.minimum.reduceat(between, starts, axis=0), starts, axis=1)
    sizes = np.array([sum(outlets[n] for n in members) for members in groups], dtype=float)
    is_tied = np.array([bool(label) for label in labels], dtype=bool)
    # A group that went into another stays as a blocked row: nothing has to be copied.
    blocked = is_tied[:, None] & is_tied[None, :]
    np.fill_diagonal(blocked, val=True)
    for _ in range(len(groups) - wanted):
        crowd = np.sqrt(sizes[:, None] + sizes[None, :]) / beliefs.outlets_per_circuit
        cost = np.where(blocked, np.inf, between * crowd)
        keep, drop = sorted(int(n) for n in divmod(int(cost.argmin()), len(groups)))
        if not np.isfinite(cost[keep, drop]):
            break
        groups[keep] += groups[drop]
        groups[drop] = []
        labels[keep] |= labels[drop]
        between[keep] = np.minimum(between[keep], between[drop])
        between[:, keep] = between[keep]
        sizes[keep] += sizes[drop]
        blocked[drop] = blocked[:, drop] = True
        if is_tied[drop] and not is_tied[keep]:
            is_tied[keep] = True
            blocked[keep] |= is_tied
            blocked[:, keep] |= is_tied
    labels[:] = [label for label, members in zip(labels, groups, strict=True) if members]
    groups[:] = [members for members in groups if members]


def _size_score(grouping: Grouping, beliefs: Beliefs) -> float:
    """Return the log of how usual the numbers of outlets per circuit are, up to a constant."""
    spread = max(log(beliefs.size_factor), 1e-6)
    score = 0.0
    for label, members in grouping:
        outlets = len(members) / max(len(label), 1)
        off = log(max(outlets, 0.5) / beliefs.outlets_per_circuit) / spread
        score -= 0.5 * min(off, 3.0) ** 2
    return score


def _free(grouping: Grouping, circuits: int) -> tuple[list[int], list[int]]:
    tied = {c for label, _ in grouping for c in label}
    groups = [n for n, (label, _) in enumerate(grouping) if not label]
    return groups, [c for c in range(circuits) if c not in tied]


def _ways(grouping: Grouping, circuits: int) -> int:
    groups, free = _free(grouping, circuits)
    if len(groups) > len(free):
        return int(max(len(free), 1) ** len(groups))
    return perm(len(free), len(groups))


@dataclass(frozen=True)
class _Handed:
    """Ways of handing groups without a label to circuits: one row each, one column per group."""

    groups: list[int]
    circuit: NDArray[np.intp]
    log_weight: NDArray[np.float64]


def _every_way(grouping: Grouping, circuits: int) -> _Handed:
    groups, free = _free(grouping, circuits)
    ways = list(permutations(free, len(groups)))
    circuit = np.array(ways, dtype=np.intp).reshape(len(ways), len(groups))
    even = -log(_ways(grouping, circuits))
    return _Handed(groups, circuit, np.full(len(ways), even))


def _some_ways(
    grouping: Grouping,
    circuits: int,
    fit: NDArray[np.float64],
    rng: np.random.Generator,
    number: int,
) -> _Handed:
    """Draw hand-outs that suit what is known, each with the log of its weight (importance)."""
    groups, free = _free(grouping, circuits)
    suits = {g: fit[list(grouping[g][1])].sum(axis=0)[free] for g in groups}
    clear = sorted(groups, key=lambda g: -float(np.ptp(suits[g])) if free else 0.0)
    is_left = np.ones((number, len(free)), dtype=bool)
    circuit = np.zeros((number, len(clear)), dtype=np.intp)
    log_drawn = np.zeros(number)
    for column, g in enumerate(clear):
        odds = np.where(is_left, np.exp(suits[g] - suits[g].max()), 0.0)
        odds /= odds.sum(axis=1, keepdims=True)
        pick = _draw(odds, rng)
        log_drawn += np.log(odds[np.arange(number), pick])
        is_left[np.arange(number), pick] = False
        circuit[:, column] = np.array(free, dtype=np.intp)[pick]
    return _Handed(clear, circuit, -log(_ways(grouping, circuits)) - log_drawn)


def _draw(odds: NDArray[np.float64], rng: np.random.Generator) -> NDArray[np.intp]:
    """Draw one column per row by its odds; a column without odds is never drawn."""
    steps = odds.cumsum(axis=1)
    aim = rng.random((len(odds), 1)) * steps[:, -1:]
    picked: NDArray[np.intp] = (steps <= aim).sum(axis=1).astype(np.intp)
    return picked


def _homes(grouping: Grouping, handed: _Handed, outlets: int, circuits: int) -> NDArray[np.float32]:
    """Return, per way, how likely each circuit is each outlet's own."""
    number = len(handed.log_weight)
    home = np.zeros((number, outlets, circuits), dtype=np.float32)
    for label, members in grouping:
        for own in label:
            home[:, list(members), own] = 1.0 / len(label)
    rows = np.arange(number)[:, None]
    for column, group in enumerate(handed.groups):
        inside = np.array(grouping[group][1], dtype=np.intp)
        home[rows, inside[None, :], handed.circuit[:, [column]]] = 1.0
    return home
