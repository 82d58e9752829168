"""Goals in order: improve the first, hold it, improve the next.

Most goals look only at which point a unit is on. They are settled first on the core model, without
runs; what they reach there is a bound for the full model too. Then the runs are laid with those
values held. When runs exist, every bound was reached and all those goals are proved; when none
exist, the search starts again on the full model (``CORE_FAILED``).
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from spreadload.job.preferences import Goal
from spreadload.solver.engine.calls import Answer, Status, solve
from spreadload.solver.engine.found import Found
from spreadload.solver.engine.limits import Clock, SolverConfig
from spreadload.solver.model.goals import GOALS
from spreadload.solver.model.implied import (
    few_big_units,
    few_big_units_on_boards,
    no_board_for_one,
    seats_at_points,
    serve_places,
    sockets_before_boards,
)
from spreadload.solver.model.nearness import rough_cable
from spreadload.solver.model.rules import CORE_RULES, RULES, Rule
from spreadload.solver.model.several import ceiling, most_of, one_sum, opened
from spreadload.solver.model.variables import (
    Linear,
    Relaxations,
    Variables,
    evaluate,
    is_constant,
    total,
)
from spreadload.solver.pieces.polish import Polish
from spreadload.solver.staged.calls import LEAST_S, Split, StageCalls

_MERGED_CEILING = 10**9
_STAGE_SHARE = 0.4
_PROBE_SHARE = 0.1
_RETRY_SHARE = 0.8
SETTLE_SHARE = 0.5
_CORE_SHARE = 0.1
_NEAR_SHARE = 0.1
_NEAR_MOST_S = 0.5
# Enough to prove the shortest cable of a house at once, which polishing first only delays.
_FIRST_SHARE = {Goal.REPLUGS: 0.05, Goal.CABLE: 0.35}
_FIRST_MOST_S = 1.25
_LONG_SHARE = {Goal.TIGHTEST: 0.15, Goal.EACH_SETUP: 0.1, Goal.BALANCE: 0.1}
_AGAIN_SHARE = 0.3
_POLISH_SHARE = 0.6
_FIXED_SHARE = 0.1
_CABLE_SHARE = 0.9
# Laying short runs for a split of a house or hall takes a few hundredths [s].
_SHORT_S = 0.5
# Where a goal over points is proved in this much work, cable is proved as soon from any split [s].
_EASY_S = 0.3
_PERCENT_GOALS = frozenset({Goal.TIGHTEST})


@dataclass
class Stages(StageCalls):
    """One staged search over one set of decisions.

    Attributes:
        rules: Hard rules to keep.
        start: Where units are in a plan to start from.
        is_core_first: Whether goals that do not need runs are settled without them.
        values: Value of every decision in the best plan so far.
        reached: What each finished goal reached.
        unproven: Goals whose best value is not proved, with the proven bound.
    """

    v: Variables
    goals: tuple[Goal, ...]
    config: SolverConfig
    clock: Clock
    rules: tuple[Rule, ...] = RULES
    is_core_first: bool = True
    start: Split = field(default_factory=dict)
    values: list[int] = field(default_factory=list)
    reached: dict[Goal, int] = field(default_factory=dict)
    unproven: dict[Goal, tuple[int, int]] = field(default_factory=dict)
    _sums: dict[Goal, Linear] = field(default_factory=dict)
    _bounds: dict[Goal, int] = field(default_factory=dict)
    _boards: list[Linear] = field(default_factory=list)
    _without_runs_s: float = 0.0

    def run(self) -> Found:
        """Improve every goal in order and say how it ended."""
        early, late = self._split()
        for rule in self.rules:
            if rule in CORE_RULES:
                rule(self.v)
        self._boards = seats_at_points(self.v)
        few_big_units(self.v)
        if not self.is_core_first:
            self._lay_runs()
        found = self._in_order(early)
        if found is None and self.is_core_first:
            found = self._settle(late)
        if found is None:
            found = self._in_order([goal for goal in late if goal not in self.reached])
        return found or (Found.GOOD if self.unproven else Found.BEST)

    def _split(self) -> tuple[tuple[Goal, ...], tuple[Goal, ...]]:
        where = next((n for n, goal in enumerate(self.goals) if goal in RUN_GOALS), None)
        return self.goals[:where], () if where is None else self.goals[where:]

    def _lay_runs(self) -> None:
        for rule in self.rules:
            if rule not in CORE_RULES:
                rule(self.v)
        serve_places(self.v)
        no_board_for_one(self.v)
        sockets_before_boards(self.v)
        few_big_units_on_boards(self.v)

    def _in_order(self, goals: Sequence[Goal]) -> Found | None:
        """Improve goals on what the model holds now; return an end only without a plan."""
        group: dict[Goal, Linear] = {}
        for goal in goals:
            aim = self._sum(goal)
            if is_constant(aim):
                self.reached[goal] = evaluate(aim, [])
                continue
            is_apart = goal in _LONG_GOALS
            if group and (is_apart or ceiling(self.v, (*group.values(), aim)) > _MERGED_CEILING):
                found = self._improve(group)
                if found is not None:
                    return found
                group = {}
            group[goal] = aim
            if is_apart:
                found = self._improve(group)
                if found is not None:
                    return found
                group = {}
        return self._improve(group) if group or not self.values else None

    def _improve(self, sums: dict[Goal, Linear]) -> Found | None:
        goals = list(sums)
        if self.values and all(self._is_perfect(aim) for aim in sums.values()):
            self._hold(sums)
            return None
        self.config.progress("improving: " + ", ".join(goals))
        self.v.model.minimize(one_sum(self.v, sums))
        enough = self._bounds.get(goals[0]) if len(goals) == 1 else None
        answer = self._first_answer()
        if answer.status not in (Status.BEST, Status.NONE_EXISTS):
            answer = self._best(goals[0], enough) if goals else self._call(_STAGE_SHARE)
        if answer.status is Status.NOTHING and not self.values and not self.start:
            answer = self._call(_RETRY_SHARE, linearization=1)
        if answer.status is Status.NONE_EXISTS and not self.values:
            return Found.NONE_EXISTS
        if answer.values:
            self._take(sums, answer)
        elif not self.values:
            return Found.NOTHING
        else:
            self.unproven |= dict.fromkeys(goals, (-1, 0))
        return None

    def _first_answer(self) -> Answer:
        """Return what a short call finds where no plan is in hand, or ways to fill circuits."""
        if self.values or self.start:
            return Answer(Status.NOTHING)
        self._hint()
        effort = replace(self._effort(_PROBE_SHARE), linearization=1)
        answer = solve(self.v.model, effort, self.clock)
        if answer.values:
            self.values = list(answer.values)
        elif answer.status is Status.NOTHING and self.v.relaxed == Relaxations():
            self._fill_circuits()
        return answer

    def _fill_circuits(self) -> None:
        """Take the plan in which every circuit is filled as far as it goes, if there is one."""
        from spreadload.solver.staged.filling import filled  # noqa: PLC0415 - loads a linear solver

        self.config.progress("looking for ways to fill the circuits")
        split = filled(self.v, self.clock)
        if split is None:
            return
        self.v.model.clear_hints()
        for key, units in self.v.spread.items():
            self.v.model.add_hint(units, split.get(key, 0))
        effort = replace(self._effort(_FIXED_SHARE, self.clock.grace_left_s), is_fixed=True)
        self.values = list(solve(self.v.model, effort, self.clock).values)

    def _best(self, goal: Goal, enough: int | None) -> Answer:
        """Return what the effort that suits a goal finds."""
        if goal not in RUN_GOALS:
            return self._call(_LONG_SHARE.get(goal, _STAGE_SHARE), linearization=1)
        most = _FIRST_MOST_S / max(self.clock.work_left_s, LEAST_S)
        answer = self._call(min(_FIRST_SHARE[goal], most), enough=enough)
        if answer.status is Status.NOTHING and self._is_known(self._sum(goal)):
            best = self.value(self._sum(goal))
            answer = Answer(Status.GOOD, tuple(self.values), best, enough or 0)
        if answer.status is not Status.GOOD:
            return answer
        if goal is Goal.CABLE:
            from spreadload.solver.cable.shortening import shorten  # noqa: PLC0415 - loads a linear solver

            held = [
                (self._sums[goal], most)
                for goal, most in self.reached.items()
                if not is_constant(self._sums[goal])
            ]
            effort, told = self._effort(_CABLE_SHARE), self.config.progress
            return shorten(self.v, answer, effort, self.clock, told, held)
        answer = self._polished_with_cable(goal, answer)
        if answer.status is Status.BEST:
            return answer
        self.values = list(answer.values)
        again = self._call(_AGAIN_SHARE, enough=enough)
        return again if again.values and again.best <= answer.best else answer

    def _polished_with_cable(self, goal: Goal, answer: Answer) -> Answer:
        """Improve a goal piece by piece with the cable a distant second, so that both are good.

        Each set-up is first given the shortest cable it can have by itself.
        """
        aim, cable = self._sum(goal), self._sum(Goal.CABLE)
        worth = most_of(self.v, cable) + 1
        polish = Polish(self.v, self._effort(_POLISH_SHARE), self.clock)
        self.v.model.minimize(cable)
        start = polish.by_setups(replace(answer, best=evaluate(cable, answer.values), bound=0))
        self.v.model.minimize(worth * aim + cable)
        both = worth * evaluate(aim, start.values) + start.best
        start = replace(start, best=both, bound=worth * answer.bound)
        better = polish.by_pieces(polish.by_setups(start))
        self.v.model.minimize(aim)
        best = evaluate(aim, better.values)
        status = Status.BEST if best <= answer.bound else Status.GOOD
        return Answer(status, better.values, best, answer.bound)

    def _take(self, sums: dict[Goal, Linear], answer: Answer) -> None:
        self.values = list(answer.values)
        if answer.status is Status.GOOD:
            self.unproven |= opened(self.v, sums, self.values, answer.bound)
        self._hold(sums)

    def _is_perfect(self, aim: Linear) -> bool:
        return self._is_known(aim) and self.value(aim) == 0

    def _hold(self, sums: dict[Goal, Linear]) -> None:
        for goal, aim in sums.items():
            self.reached[goal] = self.value(aim)
            self.v.model.add(aim <= self.reached[goal])
            if goal in _PERCENT_GOALS:
                few_big_units(self.v, percent=self.reached[goal])

    def _settle(self, late: Sequence[Goal]) -> Found | None:
        """Find runs for what was reached without them.

        The first of the late goals is tried without runs too. If a split that reaches its bound has
        runs, the goal is done; if not, its bound helps on, and any split will do to go on.
        """
        goal = late[0] if late and late[0] in _POINT_GOALS else None
        if goal is not None and is_constant(self._sum(goal)):
            goal = None
        best = None if goal is None else self._without_runs(goal)
        easy = self._aside_if_easy(best)
        near = None if easy is not None else self.near(goal, best)
        self._lay_runs()
        aims = {} if goal is None else {goal: self._sums[goal]}
        for split in self._splits(goal, best, near, easy):
            if split is None or not self._fixed(split.values, aims):
                continue
            if goal is not None and self.value(aims[goal]) <= self._bounds.get(goal, 0):
                self._hold(aims)
            return None
        self.v.model.clear_objective()
        answer = self._call(SETTLE_SHARE, grace_s=self.clock.grace_left_s, linearization=1)
        if answer.status is Status.NONE_EXISTS:
            return Found.CORE_FAILED
        if not answer.values:
            return Found.NOTHING
        self.values = list(answer.values)
        return None

    def _splits(
        self, goal: Goal | None, best: Answer | None, near: Answer | None, easy: "Stages | None"
    ) -> Iterator[Answer | None]:
        """Yield the splits to lay runs for, the most promising first.

        Where the search without runs was easy, its split is as good a start as one that keeps near,
        which then is looked for only when the first has no runs.
        """
        yield best if easy is not None else near
        yield easy.near(goal, best) if easy is not None else best
        yield self._answer_in_hand()

    def _aside_if_easy(self, best: Answer | None) -> "Stages | None":
        """Return the same search on a copy of the model as it stands, if it was easy up to here."""
        if best is None or best.status is not Status.BEST or self._without_runs_s > _EASY_S:
            return None
        return replace(self, v=replace(self.v, model=self.v.model.clone()))

    def _answer_in_hand(self) -> Answer:
        return Answer(Status.GOOD, tuple(self.values))

    def near(self, goal: Goal | None, best: Answer | None) -> Answer | None:
        """Return a split that keeps near, with the first late goal still before it."""
        rough = rough_cable(self.v, self._boards)
        worth = most_of(self.v, rough) + 1
        aim = rough if goal is None else worth * self._sums[goal] + rough
        self.v.model.minimize(aim)
        if best is not None:
            self.values = list(best.values)
        most = _NEAR_MOST_S / max(self.clock.work_left_s, LEAST_S)
        answer = self._call(min(_NEAR_SHARE, most))
        if answer.status is Status.NOTHING and self._is_known(aim):
            answer = Answer(Status.GOOD, tuple(self.values), self.value(aim))
        if answer.status is Status.GOOD:
            answer = Polish(self.v, self._effort(_NEAR_SHARE), self.clock).by_pieces(answer)
        return answer if answer.values else None

    def _without_runs(self, goal: Goal) -> Answer | None:
        self.config.progress(f"improving: {goal}")
        self.v.model.minimize(self._sum(goal))
        before_s = self.clock.work_left_s
        answer = self._call(_CORE_SHARE)
        self._without_runs_s = before_s - self.clock.work_left_s
        self._bounds[goal] = answer.bound
        return answer if answer.values else None

    def _fixed(self, split: Sequence[int], aims: dict[Goal, Linear]) -> bool:
        """Whether one split of the units over the points has runs; if so it is the plan in hand."""
        kept = {x.index for x in (*self.v.at.values(), *self.v.off.values())}
        kept |= {x.index for x in self.v.left_out.values()}
        self.v.model.clear_hints()
        for index in sorted(kept):
            self.v.model.add_hint(self.v.model.get_int_var_from_proto_index(index), split[index])
        answer = self._fixed_on_little_cable(aims)
        if answer.status is Status.NOTHING:
            self.v.model.minimize(total(aims.values()))
            effort = self._effort(_FIXED_SHARE, self.clock.grace_left_s)
            answer = solve(self.v.model, replace(effort, is_fixed=True), self.clock)
        if answer.values:
            self.values = list(answer.values)
        return bool(answer.values)

    def _fixed_on_little_cable(self, aims: dict[Goal, Linear]) -> Answer:
        """Return runs for the split that is hinted, on the shortest leads a short call finds."""
        if Goal.CABLE not in self.goals:
            return Answer(Status.NOTHING)
        self.v.model.minimize(one_sum(self.v, aims | {Goal.CABLE: self._sum(Goal.CABLE)}))
        share = _SHORT_S / max(self.clock.work_left_s, LEAST_S)
        effort = replace(self._effort(min(_FIXED_SHARE, share)), is_fixed=True)
        return solve(self.v.model, effort, self.clock)

    def _sum(self, goal: Goal) -> Linear:
        if goal not in self._sums:
            self._sums[goal] = GOALS[goal](self.v)
        return self._sums[goal]


RUN_GOALS = frozenset({Goal.REPLUGS, Goal.CABLE})
_POINT_GOALS = frozenset({Goal.REPLUGS})
_LONG_GOALS = frozenset({Goal.TIGHTEST, Goal.EACH_SETUP, Goal.BALANCE, Goal.REPLUGS, Goal.CABLE})
