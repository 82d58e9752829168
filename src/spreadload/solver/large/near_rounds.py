"""Rounds over neighbouring circuits: the units on a few of them find outlets and runs anew.

On a large site a few outlets drawn anywhere have nothing to exchange. The units on one circuit,
with its outlets, are a small model that is solved to the end; then circuits go two, three and more
together, always with those that serve the same places. What was solved to the end is not asked
again before something there has changed.
"""

from collections import defaultdict
from collections.abc import Callable, Hashable, Iterator, Sequence
from dataclasses import replace
from random import Random

from spreadload.derived.records import Exposure
from spreadload.solver.engine.calls import Effort, Status, solve
from spreadload.solver.engine.excerpt import Ints, Source
from spreadload.solver.engine.limits import Clock
from spreadload.solver.model.nearness import rough_metres
from spreadload.solver.model.variables import Variables
from spreadload.solver.pieces.freed import Freed, Where

_ROUND_DETERMINISTIC = 0.06
# More outlets than this that might all be on the same circuits are taken one by one.
_MOST_POINTS = 16
# Neighbours are drawn from so many for each that is wanted, after the first sweep.
_DRAWN = 2
# Rounds around what is amiss begin with so many circuits, and so many without gain end them.
_FIRST_AROUND = 3
_PATIENCE = 40

Group = Hashable


class NearRounds:
    """Shortens what a model minimises, a few neighbouring circuits at a time."""

    def __init__(self, v: Variables, effort: Effort, clock: Clock) -> None:
        """Read the model once.

        Args:
            v: The decisions, with the sum to be minimised.
            effort: Seed and workers of every round.
            clock: The clock of these rounds alone.
        """
        self._v, self._effort, self._clock = v, effort, clock
        self._source = Source(v.model)
        self._freed = Freed(v, self._source)
        self._random = Random(effort.seed)  # noqa: S311 - a search order, not a secret
        self._points = _grouped(v)
        self._near = _neighbours(v, self._points)
        self._changed: dict[Group, int] = dict.fromkeys(self._points, 0)
        self._settled: dict[frozenset[Group], int] = {}
        self._rounds = 0

    def run(self, values: Ints, most: int | None = None) -> Ints:
        """Return values that are at least as good.

        Args:
            values: The plan in hand, with a value for every decision.
            most: So many circuits together at most; all when None.
        """
        most = len(self._points) if most is None else min(most, len(self._points))
        size, sweep = 1, 0
        while not self._is_over and size <= most:
            before = self._source.worth(values)
            values, asked = self._swept(values, size, is_first=sweep == 0)
            gained = before - self._source.worth(values)
            sweep += 1
            if not gained or asked == 0:
                size, sweep = size + 1, 0
        return values

    def around(
        self, values: Ints, wanting: Callable[[Ints], Sequence[Sequence[Exposure]]], most: int
    ) -> Ints:
        """Return values after rounds around what is wanting, until nothing is, or none helps.

        Args:
            values: The plan in hand, with a value for every decision.
            wanting: Tells for values the circuits that each thing amiss is on.
            most: So many circuits together at most.
        """
        size, idle = _FIRST_AROUND, 0
        while (amiss := wanting(values)) and idle < _PATIENCE and not self._is_over:
            seeds = [each for each in self._random.choice(amiss) if each in self._points]
            if not seeds:
                break
            drawn = self._near[seeds[0]][1 : 1 + _DRAWN * size]
            others = [group for group in drawn if group not in seeds]
            more = max(size - len(seeds), 1)
            chosen = [*seeds, *self._random.sample(others, min(more, len(others)))]
            before = self._source.worth(values)
            values, was_decided = self._round(values, chosen)
            idle = 0 if self._source.worth(values) < before else idle + 1
            size = min(size + 1, most) if was_decided else max(size - 1, _FIRST_AROUND)
        return values

    @property
    def _is_over(self) -> bool:
        return not self._clock.left_s or not self._clock.work_left_s

    def _swept(self, values: Ints, size: int, *, is_first: bool) -> tuple[Ints, int]:
        """Return values after a round around every circuit, and how many rounds that took."""
        order = list(self._points)
        self._random.shuffle(order)
        asked = 0
        for seed in order:
            if self._is_over:
                break
            chosen = self._chosen(seed, size, is_first=is_first)
            key = frozenset(chosen)
            since = self._settled.get(key, -1)
            if since >= max(self._changed[group] for group in chosen):
                continue
            asked += 1
            values, was_decided = self._round(values, chosen)
            if was_decided:
                self._settled[key] = self._rounds
        return values, asked

    def _chosen(self, seed: Group, size: int, *, is_first: bool) -> list[Group]:
        near = self._near[seed]
        if is_first or size == 1:
            return near[:size]
        drawn = near[1 : 1 + _DRAWN * (size - 1)]
        return [seed, *self._random.sample(drawn, min(size - 1, len(drawn)))]

    def _round(self, values: Ints, chosen: list[Group]) -> tuple[Ints, bool]:
        self._rounds += 1
        part = self._source.excerpt(
            values, self._freed.with_units(self._piece(values, chosen)), self._source.worth(values)
        )
        effort = replace(
            self._effort,
            deterministic=_ROUND_DETERMINISTIC,
            linearization=2,
            wall_s=self._clock.left_s,
        )
        found = solve(part.model, effort, self._clock)
        was_decided = found.status in (Status.BEST, Status.NONE_EXISTS)
        if not found.values:
            return values, was_decided
        for group in chosen:
            self._changed[group] = self._rounds
        return part.whole(values, found.values), was_decided

    def _piece(self, values: Ints, chosen: list[Group]) -> Iterator[Where]:
        """Yield the units on some circuits, at all outlets of these."""
        there = [where for group in chosen for where in self._points[group]]
        here = {demand for demand, point_id in there if values[self._v.at[demand, point_id].index]}
        return (where for where in there if where[0] in here)


def _grouped(v: Variables) -> dict[Group, list[Where]]:
    """Return what may be plugged in where, by what the outlets might be on."""
    points: dict[Group, set[str]] = defaultdict(set)
    for options in v.options.values():
        for option in options:
            points[option.point.exposure].add(option.point.id)
    found: dict[Group, list[Where]] = defaultdict(list)
    for demand, options in v.options.items():
        for option in options:
            exposure = option.point.exposure
            is_small = len(points[exposure]) <= _MOST_POINTS
            found[exposure if is_small else option.point.outlet].append((demand, option.point.id))
    return dict(found)


def _neighbours(v: Variables, points: dict[Group, list[Where]]) -> dict[Group, list[Group]]:
    """Return all groups by how well they serve the places that each serves, itself first."""
    at = {
        (demand, option.point.id): option for demand, opts in v.options.items() for option in opts
    }
    cost: dict[Group, dict[Hashable, int]] = {}
    for group, where in points.items():
        own: dict[Hashable, int] = {}
        for each in where:
            place = each[0].place or each[0].load
            metres = rough_metres(v.facts, at[each])
            own[place] = min(metres, own.get(place, metres))
        cost[group] = own
    number = {group: n for n, group in enumerate(points)}
    near: dict[Group, list[Group]] = {}
    for group, own in cost.items():
        worth = {
            other: sum(1.0 / (1 + own[p] + its[p]) ** 2 for p in own.keys() & its.keys())
            for other, its in cost.items()
        }
        others = [other for other in points if other != group]
        near[group] = [group, *sorted(others, key=lambda o: (-worth[o], number[o]))]
    return near
