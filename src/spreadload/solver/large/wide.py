"""A search for sites too large to be handed to CP-SAT as one model, again and again.

It begins with a plan made without a search and never lets go of a plan: every round frees a few
circuits, places or outlets and puts the rest in as numbers (``engine/excerpt.py``). First nothing
is on a power board and the goals on circuits are settled (``levelling.py``), beside bounds that
need no search (``percent_bound.py``); then runs through boards are laid near where the units are,
and the goals on runs follow.
"""

from collections import defaultdict
from dataclasses import dataclass, field
from itertools import zip_longest

import numpy as np

from spreadload.derived.asked import Demand
from spreadload.derived.facts import Facts
from spreadload.job.preferences import Goal
from spreadload.solver.engine.calls import Answer, Effort, Status, solve
from spreadload.solver.engine.excerpt import Ints, Source
from spreadload.solver.engine.limits import DETERMINISTIC_PER_S, Clock, SolverConfig
from spreadload.solver.large.cable_bound import cable_bound
from spreadload.solver.large.held import Held
from spreadload.solver.large.known import as_placed, fixed, laid, split_of, straight
from spreadload.solver.large.levelling import EVEN_GOALS, Levelling
from spreadload.solver.large.near_dealt import LEAST_MEND_S, NearDealt
from spreadload.solver.large.near_rounds import NearRounds
from spreadload.solver.large.percent_bound import percent_bounds
from spreadload.solver.large.placing import Placed
from spreadload.solver.large.proof import Range
from spreadload.solver.large.shares import prices_s, sharing
from spreadload.solver.large.straight import BUILD_S_PER_OPTION, build_s, straight_model
from spreadload.solver.model.candidates import Candidate, Options
from spreadload.solver.model.goals import GOALS
from spreadload.solver.model.nearness import rough_cable, rough_metres
from spreadload.solver.model.rules import RULES
from spreadload.solver.model.several import most_of
from spreadload.solver.model.variables import (
    Linear,
    Relaxations,
    Variables,
    evaluate,
    is_constant,
    total,
    weighted,
)
from spreadload.solver.pieces.small_rounds import SmallRounds
from spreadload.solver.staged.calls import Split
from spreadload.solver.staged.stages import RUN_GOALS, Stages

_LEVEL_SHARE = 0.5
# More work for levelling than this gains the largest site at most a point, and leaves too little
# time for what is dealt out [s].
_LEVEL_MOST_S = 18.0
# Dealing out takes so many times the work of its prices, and then some for the last units.
_DEAL_PER_PRICES = 1.5
_MEND_PER_PRICES = 3.0
_KEEP_SHARE = 0.15
_LATE_SHARE = 0.15
# What a re-plug is worth in metres of lead while circuits are levelled: more than any one lead.
_MOVE_WORTH = 50
# What one less of an earlier goal, re-plugs among them, is worth in metres of cable.
_EARLY_WORTH = 1_000
_DEAL_SHARE = 0.7
# Dealing out shortens nothing until all of it is laid: where the wall clock is so far behind the
# work [s], as on a busy machine, it would not come to that in time.
_LATE_S = 0.5
_REPAIR_SHARE = 0.4
# So many neighbouring circuits go together while what was dealt out is laid, and at most.
_REPAIR_CIRCUITS = 1
_NEAR_CIRCUITS = 2
_MOST_CIRCUITS = 6
_GOAL_SHARE = 0.1
_FILL_SHARE = 0.2
# What models take by the way on a site that leaves work to deal out, of what the whole one does:
# rounds that need no dealing out take less time than their work, which makes up for it.
_MODELS = 0.8
# Of the work, what building the model of the runs may take; and points for each demand at least.
_NEAR_SHARE = 0.04
_LEAST_NEAR = 6


@dataclass
class Wide:
    """One search that begins with units at points, each on a run of its own.

    Attributes:
        options: Everything each plugged-in demand may use.
        start: Units of each demand at each point.
        near: What the model of the runs was left with; None as long as there is none.
        reached: What each finished goal reached.
        unproven: Goals whose best value is not proved, with the proved bound.
    """

    facts: Facts
    options: Options
    goals: tuple[Goal, ...]
    config: SolverConfig
    clock: Clock
    start: Split
    near: dict[Demand, tuple[Candidate, ...]] | None = None
    reached: dict[Goal, int] = field(default_factory=dict)
    unproven: dict[Goal, tuple[int, int]] = field(default_factory=dict)
    _early: tuple[Goal, ...] = ()
    _late: tuple[Goal, ...] = ()
    _bounds: dict[str, int] = field(default_factory=dict)
    _full: dict[str, int] = field(default_factory=dict)
    _moved: int = 0
    _least_cable_m: int = 0

    def run(self) -> Stages | None:
        """Return a finished search with its plan, or None when the start does not hold."""
        where = next((n for n, goal in enumerate(self.goals) if goal in RUN_GOALS), None)
        self._early = self.goals[:where]
        self._late = () if where is None else self.goals[where:]
        straight = self._settle_circuits()
        if straight is None:
            return None
        self.unproven |= dict.fromkeys(self._late, (-1, 0))
        if not self._late:
            return straight
        split = split_of(straight.v, straight.values)
        return self._lay_runs(split, self._dealt(split)) or straight

    def _settle_circuits(self) -> Stages | None:
        """Settle the goals that do not need runs, with every unit straight."""
        v = straight_model(self.facts, self.options)
        bounds = self._bounds = percent_bounds(self.facts, self.options)
        sums = {goal: GOALS[goal](v) for goal in self._early}
        moves = GOALS[Goal.REPLUGS](v) if Goal.REPLUGS in self._late else 0
        rough = rough_cable(v, [])
        level = Levelling(
            v, bounds, frozenset(self._early), weighted([(_MOVE_WORTH, moves), (1, rough)])
        )
        every = total([*sums.values(), level.aim])
        values = self._filled(v, fixed(v, self.start), every)
        is_level = False
        for goal, aim in sums.items():
            if values is None:
                return None
            if goal in EVEN_GOALS:
                if not is_level and _value(aim, values):
                    values = self._levelled(v, level, values)
                    values = self._filled(v, fixed(v, split_of(v, values)), every)
                    is_level = True
            elif _value(aim, values):
                values = self._improved(v, goal, aim, rough, values, _GOAL_SHARE)
            if values is not None:
                self._hold(v, goal, aim, values, _bound(goal, bounds))
        if values is None:
            return None
        self._full = {setup_id: level.fullest(values, setup_id) for setup_id in bounds}
        self._moved = _value(moves, values)
        return self._finished(v, values)

    def _levelled(self, v: Variables, level: Levelling, values: Ints) -> Ints:
        said = ", ".join(goal for goal in self._early if goal in EVEN_GOALS)
        self.config.progress(f"improving: {said}")
        v.model.minimize(level.aim)
        most_s = self.clock.work_left_s * _LEVEL_SHARE
        share = self.clock.part(min(most_s, _LEVEL_MOST_S))
        values = level.run(values, self._effort(_LEVEL_SHARE), share, most_s)
        if Goal.REPLUGS not in self._late:
            return values
        self.config.progress(f"improving: {Goal.REPLUGS}")
        share = self.clock.part(self.clock.work_left_s * _KEEP_SHARE)
        return level.keep_plugged(values, self._effort(_KEEP_SHARE), share)

    def _dealt(self, split: Split) -> Placed | None:
        """Return where units would be that are dealt out by prices of cable, if cable counts."""
        if Goal.CABLE not in self._late:
            return None
        what = sharing(self.facts, self.options)
        work_s = self.clock.work_left_s
        least_s = _DEAL_PER_PRICES * prices_s(what)
        least_s += min(_MEND_PER_PRICES * prices_s(what), LEAST_MEND_S)
        is_late = self.clock.left_s + _LATE_S < work_s
        if is_late or least_s > work_s * _DEAL_SHARE:
            self._least_cable_m = cable_bound(self.facts, self.options)
            return None
        self.config.progress(f"dealing out: {Goal.CABLE}")
        reached = dict(self.reached)
        if Goal.REPLUGS in self._late[: self._late.index(Goal.CABLE)]:
            reached[Goal.REPLUGS] = self._moved
        self.clock.spend_s(build_s(self.options) * _MODELS)
        clock = self.clock.part(self.clock.work_left_s * _DEAL_SHARE)
        held = Held.of(self._full, reached)
        near = NearDealt(self.facts, self.options, what, held, clock)
        placed = near.plan(split, self._effort(_DEAL_SHARE))
        within = Range.of(self._bounds, reached)
        self._least_cable_m = near.proved_m(held, within)
        return placed

    def _lay_runs(self, split: Split, dealt: Placed | None) -> Stages | None:
        """Lay runs for units that stay near where they are, and settle the goals on runs."""
        near = self._near(split, dealt)
        v = Variables.of(self.facts, Relaxations(), frozenset(), near)
        for rule in RULES:
            rule(v)
        sums = {goal: GOALS[goal](v) for goal in self.goals}
        values = None if dealt is None else self._repaired(v, sums, dealt)
        is_dealt = values is not None
        self._hold_early(v, sums, values)
        if values is None:
            values = self._filled(v, straight(v, split), total(sums.values()))
        if values is None:
            return None
        self.near = near
        for goal, after in zip_longest(self._late, self._late[1:]):
            beside = sums[after] if after is not None else 0
            share = _LATE_SHARE if after is not None else 1.0
            if is_dealt and _value(sums[goal], values):
                values = self._near_improved(v, sums[goal], beside, values, share)
            if _value(sums[goal], values):
                values = self._improved(v, goal, sums[goal], beside, values, share)
            bound = self._least_cable_m if goal is Goal.CABLE else 0
            self._hold(v, goal, sums[goal], values, bound)
        return self._finished(v, values)

    def _hold_early(self, v: Variables, sums: dict[Goal, Linear], values: Ints | None) -> None:
        """Keep what the goals before the runs reached, or what dealing out came to."""
        for goal in self._early:
            if values is not None:
                self._hold(v, goal, sums[goal], values, _bound(goal, self._bounds))
            elif not is_constant(sums[goal]):
                v.model.add(sums[goal] <= self.reached[goal])

    def _repaired(self, v: Variables, sums: dict[Goal, Linear], dealt: Placed) -> Ints | None:
        """Return values of what was dealt out, level again; None where a goal would be worse."""
        moves = sums.get(Goal.REPLUGS, 0) if Goal.REPLUGS in self._late else 0
        others = total(sums[goal] for goal in self._early if goal not in EVEN_GOALS)
        beside = weighted([(_EARLY_WORTH, total([others, moves])), (1, sums[Goal.CABLE])])
        level = Levelling(v, self._full, frozenset(self._early), beside, self._full)
        every = total([*sums.values(), level.aim])
        values = self._filled(v, as_placed(v, dealt), every)
        if values is None:
            values = self._filled(v, fixed(v, dealt.split), every)
        if values is None:
            return None
        v.model.minimize(level.aim)
        share = self.clock.part(self.clock.work_left_s * _REPAIR_SHARE)
        effort = self._effort(_REPAIR_SHARE)
        if not level.is_level(values):
            values = level.bring_to(self._full, values, effort, share)
            if not level.is_level(values):
                return None
        rounds = NearRounds(v, effort, share)
        values = rounds.run(values, _REPAIR_CIRCUITS)
        if _value(moves, values) > self._moved:
            values = rounds.around(values, level.moves, _MOST_CIRCUITS)
        values = self._filled(v, laid(v, values), every)
        if values is None or _value(moves, values) > self._moved:
            return None
        is_as_good = all(_value(sums[goal], values) <= self.reached[goal] for goal in self._early)
        return values if is_as_good else None

    def _finished(self, v: Variables, values: Ints) -> Stages:
        stages = Stages(v, self.goals, self.config, self.clock)
        stages.values, stages.reached = values.tolist(), self.reached
        stages.unproven = self.unproven
        return stages

    def _near(self, split: Split, dealt: Placed | None) -> dict[Demand, tuple[Candidate, ...]]:
        """Return the points nearest to every demand, and those where units like its own are.

        What was dealt out is worth a larger model, paid for before.
        """
        work_s = self.clock.work_left_s if dealt is None else self.clock.limit_s
        splits = [split] if dealt is None else [split, dealt.split]
        most = work_s * _NEAR_SHARE / BUILD_S_PER_OPTION
        each = max(int(most / max(len(self.options), 1)), _LEAST_NEAR)
        used: dict[tuple[str, str | None], set[str]] = defaultdict(set)
        for demand, point_id in (where for split in splits for where in split):
            used[demand.load, demand.place].add(point_id)
        found: dict[Demand, tuple[Candidate, ...]] = {}
        for demand, options in self.options.items():
            kept = {option.point.id for option in sorted(options, key=self._distance)[:each]}
            kept |= used[demand.load, demand.place]
            found[demand] = tuple(option for option in options if option.point.id in kept)
        return found

    def _distance(self, option: Candidate) -> tuple[int, float]:
        place = option.demand.place
        route_m = 0.0 if place is None else self.facts.route_m(place, option.point)
        return rough_metres(self.facts, option), route_m

    def _improved(
        self, v: Variables, goal: Goal, aim: Linear, beside: Linear, values: Ints, share: float
    ) -> Ints:
        """Return values improved piece by piece, with a second sum to keep small besides."""
        self.config.progress(f"improving: {goal}")
        worth = most_of(v, beside) + 1
        both = worth * aim + beside
        v.model.minimize(both)
        answer = Answer(Status.GOOD, tuple(values.tolist()), _value(both, values), 0)
        rounds = SmallRounds(v, self._effort(share), self.clock)
        return np.array(rounds.by_pieces(answer).values, dtype=np.int64)

    def _near_improved(
        self, v: Variables, aim: Linear, beside: Linear, values: Ints, share: float
    ) -> Ints:
        """Return values improved on neighbouring circuits, with a second sum to keep small."""
        v.model.minimize((most_of(v, beside) + 1) * aim + beside)
        clock = self.clock.part(self.clock.work_left_s * share)
        return NearRounds(v, self._effort(share), clock).run(values, _NEAR_CIRCUITS)

    def _hold(self, v: Variables, goal: Goal, aim: Linear, values: Ints, bound: int) -> None:
        """Keep what a goal reached."""
        self.reached[goal] = _value(aim, values)
        self.unproven.pop(goal, None)
        if self.reached[goal] > bound and not is_constant(aim):
            self.unproven[goal] = (self.reached[goal], bound)
        if not is_constant(aim):
            v.model.add(aim <= self.reached[goal])

    def _filled(self, v: Variables, known: dict[int, int], aim: Linear) -> Ints | None:
        """Return a value for every decision, given some, with a sum as small as can be."""
        v.model.minimize(aim)
        source = Source(v.model)
        values = np.zeros(len(source.low), dtype=np.int64)
        free = np.ones(len(values), dtype=bool)
        values[list(known)] = list(known.values())
        free[list(known)] = False
        part = source.excerpt(values, free)
        work_s = max(self.clock.work_left_s * _FILL_SHARE, self.clock.grace_left_s)
        wall_s = max(self.clock.left_s, self.clock.grace_left_s)
        effort = Effort(wall_s, work_s * DETERMINISTIC_PER_S, 1, self.config.seed, linearization=1)
        found = solve(part.model, effort, self.clock)
        return part.whole(values, found.values) if found.values else None

    def _effort(self, share: float) -> Effort:
        work_s = self.clock.work_left_s * share
        deterministic = work_s * DETERMINISTIC_PER_S
        return Effort(self.clock.left_s, deterministic, self.config.workers, self.config.seed)


def _bound(goal: Goal, bounds: dict[str, int]) -> int:
    if goal is Goal.TIGHTEST:
        return max(bounds.values(), default=0)
    return sum(bounds.values()) if goal is Goal.EACH_SETUP else 0


def _value(aim: Linear, values: Ints) -> int:
    return evaluate(aim, values.tolist())
