"""One plan from one staged search, seated: every unit has its socket, its board and its leads.

The search counts the power boards of a plate where it can. Dealing units out over them is a packing
of its own, which may fail. Then the boards there are told apart: in a search from the start when
there is time, else in the plan at hand, with as little moved as possible.
"""

from dataclasses import dataclass, field

from spreadload.derived.facts import Facts
from spreadload.errors import InternalError
from spreadload.job.preferences import Goal
from spreadload.plan import Plan, Search, Verdict
from spreadload.solver.engine.found import Found
from spreadload.solver.engine.limits import Clock, SolverConfig
from spreadload.solver.large.straight import build_s, is_wide
from spreadload.solver.model.candidates import Options, all_candidates
from spreadload.solver.model.packing import CannotSeatError
from spreadload.solver.model.readback import read_plan
from spreadload.solver.model.request import LIT_GOALS, NOTHING_RELAXED, Request
from spreadload.solver.model.rules import RULES
from spreadload.solver.model.variables import Variables
from spreadload.solver.search.gap_words import search_of
from spreadload.solver.search.greedy import NOTHING_IMPROVED, Greedy
from spreadload.solver.staged.calls import Split
from spreadload.solver.staged.repair import Repair
from spreadload.solver.staged.stages import Stages

_AGAIN_TAKES = 1.5
_FIRST_LOOK_SHARE = 0.3


@dataclass
class Proposal:
    """Looks for one plan.

    Attributes:
        unproven: Of the plan found, per goal not settled, what the model reached and its bound.
        options: What each plugged-in demand may use; everything it can when None.
    """

    facts: Facts
    config: SolverConfig
    clock: Clock
    request: Request
    start: Split = field(default_factory=dict)
    unproven: dict[Goal, tuple[int, int]] = field(default_factory=dict)
    options: Options | None = None

    def find(self) -> tuple[Found, Plan | None]:
        """Return how the search ended, with its plan."""
        told_apart: frozenset[str] = frozenset()
        last = self._first() if self._is_plain else None
        if last is not None and last[0] is Found.NONE_EXISTS:
            return last
        wide = self._wide() if self.start else None
        self.start |= self.request.start
        if last is None and self._is_too_late():
            return Found.NOTHING, None
        while True:
            before_s = self.clock.work_left_s
            stages, found = wide or self._staged(told_apart)
            if found is Found.NONE_EXISTS or (found is Found.NOTHING and last is None):
                return found, None
            if found is Found.NOTHING and last is not None:
                return last
            try:
                return found, self._read(stages)
            except CannotSeatError as error:
                told_apart |= error.points
            kept = self._repaired(stages, told_apart)
            last = kept or last
            left_s = min(self.clock.left_s, self.clock.work_left_s)
            is_late = before_s - self.clock.work_left_s > left_s / _AGAIN_TAKES
            if (is_late or wide) and last is not None:
                return last

    def gaps_of(self, plan: Plan, verdict: Verdict) -> Plan:
        """Return the plan with what is open told by the judge's values.

        A goal cut short may hold its variable above what the plan is worth.
        """
        if not self.unproven:
            return plan
        worth = {goal.goal: goal.value for goal in verdict.goals}
        unproven = {
            goal: (min(best, worth.get(goal.value, best)), bound)
            for goal, (best, bound) in self.unproven.items()
        }
        return plan.model_copy(update={"search": search_of(self.facts, self.config, unproven)})

    def _read(self, stages: Stages) -> Plan:
        search = search_of(self.facts, self.config, stages.unproven)
        plan = read_plan(stages.v, stages.value, search)
        self.unproven = stages.unproven
        return plan

    @property
    def _is_plain(self) -> bool:
        """Whether nothing out of the ordinary is asked."""
        return not self.request.wishes and self.request.relaxed == NOTHING_RELAXED

    def _first(self) -> tuple[Found, Plan | None] | None:
        """Return a plan to have in hand should the search be cut short, or that none exists."""
        plan = Greedy(self.facts).plan()
        if plan is None:
            return self._first_look()
        self.config.progress("a first plan is there")
        for p in plan.placements:
            demand = next(
                d
                for d in self.facts.demands[p.setup]
                if (d.load, d.place) == (p.load, p.place) and d.circuit is None
            )
            self.start[demand, p.point] = self.start.get((demand, p.point), 0) + 1
        return Found.GOOD, plan

    def _first_look(self) -> tuple[Found, Plan | None] | None:
        """Return what a search for no more than what is lit finds, where more is asked."""
        goals = self.request.goals_of(self.facts)
        if self.request.rules != RULES or set(goals) <= set(LIT_GOALS):
            return None
        share = self.clock.beside(self.clock.work_left_s * _FIRST_LOOK_SHARE)
        found, plan = Proposal(self.facts, self.config, share, Request(goals=LIT_GOALS)).find()
        if plan is None:
            return (found, None) if found is Found.NONE_EXISTS else None
        self.config.progress("a first plan is there")
        return Found.GOOD, plan.model_copy(update={"search": Search(gap=NOTHING_IMPROVED)})

    def _is_too_late(self) -> bool:
        """Whether one more plan of a large site would take longer to ask for than is left."""
        options = all_candidates(self.facts)
        if not self.request.wishes or not is_wide(options, self.clock.limit_s):
            return False
        return build_s(options) > min(self.clock.left_s, self.clock.work_left_s)

    def _wide(self) -> tuple[Stages, Found] | None:
        """Return a search in small pieces, where the site is too large for another one."""
        options = all_candidates(self.facts)
        if self.request.rules != RULES or not is_wide(options, self.clock.limit_s):
            return None
        from spreadload.solver.large.wide import Wide  # noqa: PLC0415 - loads a linear solver

        goals = self.request.goals_of(self.facts)
        wide = Wide(self.facts, options, goals, self.config, self.clock, self.start)
        stages = wide.run()
        if stages is None:
            return None
        self.options = wide.near
        return stages, Found.GOOD if stages.unproven else Found.BEST

    def _repaired(self, stages: Stages, told_apart: frozenset[str]) -> tuple[Found, Plan] | None:
        """Return the plan at hand with the boards of some points told apart."""
        everywhere = frozenset(self.facts.points)
        for points in (told_apart, everywhere):
            v = self._variables(points)
            repair = Repair(v, stages.goals, self.config, self.clock, self.request.rules)
            if repair.take_over(stages, points):
                found = Found.GOOD if repair.unproven else Found.BEST
                try:
                    return found, self._read(repair)
                except CannotSeatError:
                    continue
        return None

    def _variables(self, told_apart: frozenset[str] | None) -> Variables:
        v = Variables.of(self.facts, self.request.relaxed, told_apart, self.options)
        for wish in self.request.wishes:
            wish(v)
        return v

    def _staged(self, told_apart: frozenset[str]) -> tuple[Stages, Found]:
        """Return a finished search: without runs first, with runs throughout when that fails."""
        goals = self.request.goals_of(self.facts)
        exact = self.request.relaxed.breakers_may_overload
        for is_core_first in (True, False):
            v = self._variables(None if exact else told_apart)
            stages = Stages(
                v, goals, self.config, self.clock, self.request.rules, is_core_first, self.start
            )
            found = stages.run()
            if found is not Found.CORE_FAILED:
                return stages, found
        raise InternalError("a search with runs throughout cannot fail for want of runs")
