"""One call of CP-SAT: parameters in, an answer out.

The limit that counts is in deterministic time, so that the same input gives the same plan on any
machine; the wall clock is only a safety net.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import Enum, auto

from spreadload.solver.engine.cp import cp_model
from spreadload.solver.engine.limits import DETERMINISTIC_PER_S, SLOWER, Clock

# In models of a house, simplifying them the usual three times takes longer than solving them once
# simplified; trying out decisions one by one pays only where a bound is hard to come by.
_PRESOLVE_ROUNDS = 1
_FOR_BOUNDS = 2


class Status(Enum):
    """What a call ended with."""

    BEST = auto()
    GOOD = auto()
    NOTHING = auto()
    NONE_EXISTS = auto()


@dataclass(frozen=True)
class Effort:
    """How hard one call may try.

    Attributes:
        wall_s: Safety net [s].
        deterministic: Limit in the solver's own deterministic time.
        workers: Strategies that take turns or run side by side; always with the same outcome.
        seed: Seed of random choices.
        enough: A sum that is known to be the best there can be; the call ends when it is reached.
        is_fixed: Whether what is hinted is fixed.
        linearization: 2 where a bound is needed, 1 where any plan will do.
        is_for_bound: Whether to raise the lower bound node by node rather than look for plans.
        is_near: Whether the plan asked for is near the one hinted; then it is found sooner in the
            model as it stands than that is simplified.
    """

    wall_s: float
    deterministic: float
    workers: int
    seed: int
    enough: int | None = None
    is_fixed: bool = False
    linearization: int = 2
    is_for_bound: bool = False
    is_near: bool = False


@dataclass(frozen=True)
class Answer:
    """What a call found.

    Attributes:
        values: Value of every decision; empty without a plan.
        best: Value of the sum in it.
        bound: What the sum is proved never to fall below.
    """

    status: Status
    values: tuple[int, ...] = ()
    best: int = 0
    bound: int = 0


_ANY = 10**12
_STATUS = {
    cp_model.OPTIMAL: Status.BEST,
    cp_model.FEASIBLE: Status.GOOD,
    cp_model.INFEASIBLE: Status.NONE_EXISTS,
}


def solve(model: cp_model.CpModel, effort: Effort, clock: Clock) -> Answer:
    """Return the best values found for a model, with a proved bound; the clock is told the work."""
    solver = cp_model.CpSolver()
    parameters = solver.parameters
    parameters.max_time_in_seconds = effort.wall_s
    parameters.max_deterministic_time = effort.deterministic
    parameters.random_seed = effort.seed
    parameters.num_workers = effort.workers
    parameters.linearization_level = effort.linearization
    parameters.interleave_search = effort.workers > 1
    parameters.catch_sigint_signal = False
    parameters.optimize_with_lb_tree_search = effort.is_for_bound
    parameters.fix_variables_to_their_hinted_value = effort.is_fixed
    parameters.cp_model_presolve = not effort.is_near
    parameters.max_presolve_iterations = _PRESOLVE_ROUNDS
    parameters.add_cg_cuts = parameters.add_rlt_cuts = False  # they cost more than they bound
    if effort.is_fixed or effort.linearization < _FOR_BOUNDS:
        parameters.cp_model_probing_level = 0
    enough = None if effort.enough is None else _Enough(effort.enough)
    code = clock.interruption.run(lambda: solver.solve(model, enough), solver.stop_search)
    clock.spend(solver.response_proto.deterministic_time, rows_of(model))
    status = _STATUS.get(code, Status.NOTHING)
    if status is Status.NONE_EXISTS:
        return Answer(status)
    bound = max(round(solver.best_objective_bound), 0)  # no goal is ever below nothing
    if status is Status.NOTHING:
        return Answer(status, bound=bound)
    best = round(solver.objective_value)
    if effort.enough is not None:
        bound = max(bound, min(effort.enough, best))
        status = Status.BEST if best <= bound else status
    return Answer(status, tuple(solver.response_proto.solution), best, bound)


def asking_for_less(model: cp_model.CpModel) -> tuple[cp_model.CpModel, Callable[[int], None]]:
    """Return a copy of a model, and what holds the sum it minimises below a value there.

    The row is in the copy alone, so that no other search has to keep it.
    """
    copy = model.clone()
    aim = copy.proto.objective
    terms = [copy.get_int_var_from_proto_index(x) for x in aim.vars]
    offset = round(aim.offset)
    row = copy.add(cp_model.LinearExpr.weighted_sum(terms, list(aim.coeffs)) <= _ANY)

    def below(value: int) -> None:
        row.proto.linear.domain[1] = value - 1 - offset

    return copy, below


def limited(clock: Clock, work_s: float) -> cp_model.CpSolver:
    """Return a solver that may do some work of a search, with one worker.

    Args:
        clock: The clock of the search, for the safety net.
        work_s: The work [s].
    """
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = min(work_s * SLOWER, max(clock.left_s, work_s))
    solver.parameters.max_deterministic_time = work_s * DETERMINISTIC_PER_S
    solver.parameters.num_workers = 1
    solver.parameters.catch_sigint_signal = False  # else a later Ctrl-C ends Python without a word
    solver.parameters.max_presolve_iterations = _PRESOLVE_ROUNDS
    return solver


def hint_all(model: cp_model.CpModel, values: Sequence[int]) -> None:
    """Start the next call from a value for every decision, in the order they were made.

    One by one this took as long as a quick call.
    """
    hint = model.proto.solution_hint
    hint.vars.extend(range(len(values)))
    hint.values.extend(values)


def rows_of(model: cp_model.CpModel) -> int:
    """Return the decisions and rules of a model."""
    return len(model.proto.variables) + len(model.proto.constraints)


class _Enough(cp_model.CpSolverSolutionCallback):  # type: ignore[misc]  # untyped there
    """Ends a call at a value that cannot be beaten."""

    def __init__(self, value: int) -> None:
        super().__init__()
        self._value = value

    def on_solution_callback(self) -> None:
        if round(self.objective_value) <= self._value:
            self.stop_search()
