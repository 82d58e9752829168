"""Goals in order: improve the first, hold it, improve the next.

A first solve looks for a good all-round plan with a rough weighing of the preferences. Each goal is
then improved on its own, starting from the best plan so far, and held at what was reached. A goal
that the plan in hand already meets perfectly costs no solve.
"""

from dataclasses import dataclass, field
from enum import Enum, auto

from ortools.sat.python import cp_model

from spreadload.job.preferences import Goal
from spreadload.solver.goals import GOALS
from spreadload.solver.limits import Clock, SolverConfig
from spreadload.solver.variables import Linear, Variables, weighted

# In the rough first weighing one unit of a goal is worth this many of the next.
_ROUGH_STEP = 12
_LONG_GOALS = frozenset({Goal.TIGHTEST, Goal.EACH_SETUP, Goal.BALANCE, Goal.REPLUGS, Goal.CABLE})
_FIRST_SHARE = 0.5
_STAGE_SHARE = 0.6
_LEAST_S = 0.05


class Found(Enum):
    """What a staged search ended with."""

    BEST = auto()
    GOOD = auto()
    NOTHING = auto()
    NONE_EXISTS = auto()


@dataclass
class Stages:
    """One staged search over one set of decisions.

    Attributes:
        values: Value of every decision in the best plan so far.
        reached: What each finished goal reached.
        unproven: Goals whose best value is not proved, with the proven bound.
    """

    v: Variables
    goals: tuple[Goal, ...]
    config: SolverConfig
    clock: Clock
    values: list[int] = field(default_factory=list)
    reached: dict[Goal, int] = field(default_factory=dict)
    unproven: dict[Goal, tuple[int, int]] = field(default_factory=dict)

    def run(self) -> Found:
        """Improve every goal in order and say how it ended."""
        sums = {goal: GOALS[goal](self.v) for goal in self.goals if goal not in _LONG_GOALS}
        found = self._first(sums)
        if found in (Found.NOTHING, Found.NONE_EXISTS):
            return found
        for goal in self.goals:
            aim = sums[goal] if goal in sums else GOALS[goal](self.v)
            self._improve(goal, aim, is_fresh=goal not in sums)
            if self.clock.is_interrupted:
                break
        return Found.GOOD if self.unproven else Found.BEST

    def value(self, aim: Linear) -> int:
        """Return the value of a sum in the best plan so far."""
        return evaluate(aim, self.values)

    def _first(self, sums: dict[Goal, Linear]) -> Found:
        rough = weighted(
            (_ROUGH_STEP ** (len(sums) - rank - 1), aim) for rank, aim in enumerate(sums.values())
        )
        self.v.model.minimize(rough)
        solver, status = self._solve(self.clock.left_s * _FIRST_SHARE)
        if status == cp_model.INFEASIBLE:
            return Found.NONE_EXISTS
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return Found.NOTHING
        self._keep(solver)
        return Found.GOOD

    def _improve(self, goal: Goal, aim: Linear, *, is_fresh: bool) -> None:
        if is_constant(aim):
            self.reached[goal] = self.value(aim)
            return
        if not is_fresh and self.value(aim) == 0:
            self._hold(goal, aim, 0)
            return
        self.config.progress(f"improving: {goal.value}")
        self.v.model.minimize(aim)
        self._hint()
        solver, status = self._solve(max(self.clock.left_s * _STAGE_SHARE, _LEAST_S))
        if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            self._keep(solver)
            best = round(solver.objective_value)
            if status == cp_model.FEASIBLE:
                self.unproven[goal] = (best, round(solver.best_objective_bound))
            self._hold(goal, aim, best)
        else:
            self.unproven[goal] = (-1, 0)

    def _hold(self, goal: Goal, aim: Linear, best: int) -> None:
        self.reached[goal] = best
        self.v.model.add(aim <= best)

    def _hint(self) -> None:
        self.v.model.clear_hints()
        for index, value in enumerate(self.values):
            self.v.model.add_hint(self.v.model.get_int_var_from_proto_index(index), value)

    def _keep(self, solver: cp_model.CpSolver) -> None:
        self.values = list(solver.response_proto.solution)

    def _solve(self, limit_s: float) -> tuple[cp_model.CpSolver, int]:
        solver = cp_model.CpSolver()
        solver.parameters.max_time_in_seconds = limit_s
        solver.parameters.random_seed = self.config.seed
        solver.parameters.num_workers = self.config.workers
        status = solver.solve(self.v.model)
        stopped = status in (cp_model.FEASIBLE, cp_model.UNKNOWN)
        if stopped and solver.wall_time < limit_s * 0.9:
            self.clock.is_interrupted = True
        return solver, status


def is_constant(aim: Linear) -> bool:
    """Whether a sum holds no decision at all."""
    return isinstance(aim, int) or not cp_model.FlatIntExpr(aim).vars


def evaluate(aim: Linear, values: list[int]) -> int:
    """Return the value of a sum over the decisions, given the value of each."""
    if isinstance(aim, int):
        return aim
    flat = cp_model.FlatIntExpr(aim)
    terms = zip(flat.vars, flat.coeffs, strict=True)
    return flat.offset + sum(coeff * values[var.index] for var, coeff in terms)
