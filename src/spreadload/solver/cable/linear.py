"""The cable goal as a linear programme in whole numbers, for a solver that bounds such sums well.

CP-SAT finds plans at once and proves the logical goals; metres of cable are an ordinary assignment
cost, where branch and bound on the linear relaxation proves an optimum far sooner. Both solvers
come in the OR-Tools wheel. The same rows are handed over; whole-number values that come back are
held against every row in exact arithmetic before they are believed.
"""

from collections.abc import Sequence
from copy import copy
from dataclasses import dataclass
from datetime import timedelta
from math import ceil, floor, inf

from ortools.math_opt.python import mathopt
from ortools.math_opt.solvers import highs_pb2
from ortools.sat import cp_model_pb2

from spreadload.solver.engine.calls import Answer, Status
from spreadload.solver.engine.cp import cp_model
from spreadload.solver.engine.excerpt import proto_of
from spreadload.solver.engine.limits import SLOWER, Clock

# What the root and a node cost for each decision in a row [s], fitted to the hall and two houses:
# of a tree that also looks for plans, and of one that only proves.
_ROOT_S_PER_TERM = 1 / 6000
_NODE_S_PER_TERM = 1 / 120_000
_PROOF_ROOT_S_PER_TERM = 1 / 8000
_PROOF_NODE_S_PER_TERM = 1 / 420_000
_LEAST_S = 0.2
# A least sum of whole numbers is seldom further above the linear relaxation; then twice as far.
_FIRST_ABOVE = 0.04
_RELIABLE_AFTER = 2
_SURE = 1e-4


class Rows:
    """The linear rows of a model: enforced rows are loosened by their largest possible excess."""

    def __init__(self, proto: cp_model_pb2.CpModelProto) -> None:
        """Read the rows.

        Raises:
            ValueError: A constraint that is not linear.
        """
        self.low: list[int] = [v.domain[0] for v in proto.variables]
        self.high: list[int] = [v.domain[len(v.domain) - 1] for v in proto.variables]
        self.rows: list[tuple[dict[int, int], float, float]] = []
        for constraint in proto.constraints:
            self._read(constraint)
        self.aim = dict(zip(proto.objective.vars, proto.objective.coeffs, strict=True))
        self.offset = int(proto.objective.offset)

    def within(self, most: int) -> "Rows":
        """Return the same rows with one more: so much of the sum at most."""
        asked = copy(self)
        asked.rows = [*self.rows, (dict(self.aim), -inf, most - self.offset)]
        return asked

    def holds(self, values: Sequence[int]) -> bool:
        """Whether whole values keep every bound and every row."""
        inside = all(
            low <= value <= high
            for low, value, high in zip(self.low, values, self.high, strict=True)
        )
        return inside and all(
            low <= sum(c * values[x] for x, c in row.items()) <= high
            for row, low, high in self.rows
        )

    def worth(self, values: Sequence[int]) -> int:
        """Return the sum to be minimised."""
        return self.offset + int(sum(c * values[x] for x, c in self.aim.items()))

    def _read(self, constraint: cp_model_pb2.ConstraintProto) -> None:
        kind = constraint.WhichOneof("constraint")
        if kind == "linear":
            self._read_linear(constraint)
        elif kind in {"at_most_one", "exactly_one", "bool_or"}:
            low = -inf if kind == "at_most_one" else 1
            high = inf if kind == "bool_or" else 1
            self._add(dict.fromkeys([], 0), list(getattr(constraint, kind).literals), low, high)
        elif kind is not None:
            raise ValueError(f"no linear form of {kind}")

    def _read_linear(self, constraint: cp_model_pb2.ConstraintProto) -> None:
        linear = constraint.linear
        row: dict[int, int] = {}
        for x, c in zip(linear.vars, linear.coeffs, strict=True):
            row[x] = row.get(x, 0) + c
        low, high = linear.domain[0], linear.domain[len(linear.domain) - 1]
        least = sum(c * (self.low[x] if c > 0 else self.high[x]) for x, c in row.items())
        most = sum(c * (self.high[x] if c > 0 else self.low[x]) for x, c in row.items())
        switches = list(constraint.enforcement_literal)
        if not switches:
            self.rows.append((row, low if low > least else -inf, high if high < most else inf))
            return
        if high < most:
            self._add(row, switches, -inf, high, most - high)
        if low > least:
            self._add(row, switches, low, inf, least - low)

    def _add(
        self, row: dict[int, int], literals: list[int], low: float, high: float, slack: int = 1
    ) -> None:
        """Add row + slack * sum(literals) <= high + slack * len(literals), or a plain clause."""
        is_clause = not row
        made = dict(row)
        shift = 0 if is_clause else slack * len(literals)
        for literal in literals:
            x = literal if literal >= 0 else -literal - 1
            made[x] = made.get(x, 0) + (slack if literal >= 0 else -slack)
            shift -= 0 if literal >= 0 else slack
        self.rows.append((made, low + shift, high + shift))


def programme(rows: Rows, *, is_whole: bool = True) -> tuple[mathopt.Model, list[mathopt.Variable]]:
    """Return the rows as a model for any linear solver, in whole numbers or in any."""
    model = mathopt.Model()
    decisions = [
        model.add_variable(lb=low, ub=high, is_integer=is_whole)
        for low, high in zip(rows.low, rows.high, strict=True)
    ]
    for row, low, high in rows.rows:
        terms = mathopt.fast_sum([c * decisions[x] for x, c in row.items()])
        if low > -inf or high < inf:
            model.add_linear_constraint(lb=low, ub=high, expr=terms)
    model.minimize(mathopt.fast_sum([c * decisions[x] for x, c in rows.aim.items()]) + rows.offset)
    return model, decisions


@dataclass(frozen=True)
class Bounded:
    """What branch and bound found of a sum.

    Attributes:
        answer: The plan in hand, or a better one, with the better bound.
        work_s: What it cost, in the seconds this usually takes; the same on every machine.
    """

    answer: Answer
    work_s: float


def root_work_s(model: cp_model.CpModel) -> float:
    """Return what the root of the tree costs before anything can be stopped [s]."""
    return _terms(model) * _PROOF_ROOT_S_PER_TERM


def bounded(model: cp_model.CpModel, answer: Answer, work_s: float, clock: Clock) -> Bounded:
    """Return a better bound, and a plan below the one in hand if there is one, as far as it goes.

    Only plans with less of the sum are looked for, so that most of the tree is never grown: first
    little above the linear relaxation, and further up for as long as it is proved that none exists.
    No such question depends on how good the plan in hand is, unless that is below it.

    Args:
        model: A model with the sum to be minimised.
        answer: The plan in hand with its bound.
        work_s: The work it may do [s]; the wall clock is a safety net.
        clock: The clock of the search.
    """
    rows = Rows(proto_of(model))
    root_s, spent_s = root_work_s(model), 0.0
    relaxed = _relaxed(rows)
    above = _FIRST_ABOVE
    while True:
        while floor(relaxed * (1 + above)) <= answer.bound < answer.best - 1:
            above *= 2
        most = min(answer.best - 1, floor(relaxed * (1 + above)))
        tree = _tree(model, rows, answer, most, work_s - spent_s, clock)
        spent_s += tree.work_s
        is_open = tree.answer.best == answer.best and tree.answer.bound > most
        answer = tree.answer
        if answer.best <= answer.bound or not is_open or work_s - spent_s <= root_s:
            return Bounded(answer, min(spent_s, work_s))


def _relaxed(rows: Rows) -> float:
    """Return the least sum of any numbers that keep the rows, whole or not; infinite if unknown."""
    linear, _ = programme(rows, is_whole=False)
    result = mathopt.solve(linear, mathopt.SolverType.GLOP)
    is_best = result.termination.reason is mathopt.TerminationReason.OPTIMAL
    return max(result.objective_value(), 1.0) if is_best else inf


def _tree(
    model: cp_model.CpModel, rows: Rows, answer: Answer, most: int, work_s: float, clock: Clock
) -> Bounded:
    """Return what one tree finds among the plans with so much of the sum at most."""
    asked = rows.within(most)
    linear, decisions = programme(asked)
    root_s, node_s = root_work_s(model), _terms(model) * _PROOF_NODE_S_PER_TERM
    parameters = mathopt.SolveParameters(
        time_limit=timedelta(seconds=max(min(clock.left_s, work_s * SLOWER), _LEAST_S)),
        node_limit=max(int((work_s - root_s) / node_s), 1),
        relative_gap_tolerance=0.0,
        highs=_settings(),
    )
    result = clock.interruption.run(
        lambda: mathopt.solve(linear, mathopt.SolverType.HIGHS, params=parameters), lambda: None
    )
    if result is None:
        return Bounded(answer, work_s)
    grown_s = min(root_s + node_s * result.solve_stats.node_count, work_s)
    return Bounded(_better(asked, answer, most, result, decisions), grown_s)


def first_values(
    model: mathopt.Model, terms: int, work_s: float, clock: Clock
) -> dict[mathopt.Variable, float] | None:
    """Return any whole numbers that keep the rows of a programme, or None when none were found.

    Args:
        model: The programme.
        terms: Decisions in all its rows together.
        work_s: The work it may do [s]; the wall clock is a safety net.
        clock: The clock of the search, which is told the work.
    """
    nodes = int((work_s - terms * _ROOT_S_PER_TERM) / max(terms * _NODE_S_PER_TERM, _SURE))
    if nodes < 1 or not clock.left_s:
        return None
    parameters = mathopt.SolveParameters(
        time_limit=timedelta(seconds=min(clock.left_s, work_s * SLOWER)), node_limit=nodes
    )
    result = clock.interruption.run(
        lambda: mathopt.solve(model, mathopt.SolverType.HIGHS, params=parameters), lambda: None
    )
    if result is None:
        return None
    grown_s = terms * (_ROOT_S_PER_TERM + _NODE_S_PER_TERM * result.solve_stats.node_count)
    clock.spend_s(min(grown_s, work_s))
    return result.variable_values() if result.has_primal_feasible_solution() else None


def _terms(model: cp_model.CpModel) -> int:
    """Return the number of decisions in all rows together."""
    return sum(len(c.linear.vars) for c in model.proto.constraints if c.has_linear())


def _settings() -> highs_pb2.HighsOptionsProto:
    """Return settings for a proof: the search for plans is done elsewhere, and better.

    Trees within the tree, which look for plans, are left out by name: without any effort for them
    the root grew some all the same.
    """
    settings = highs_pb2.HighsOptionsProto()
    settings.double_options["mip_heuristic_effort"] = 0.0
    for name in ("rins", "rens", "root_reduced_cost"):
        settings.bool_options[f"mip_heuristic_run_{name}"] = False
    settings.bool_options["mip_allow_restart"] = False
    settings.int_options["mip_pscost_minreliable"] = _RELIABLE_AFTER
    return settings


def _better(
    rows: Rows,
    answer: Answer,
    most: int,
    result: mathopt.SolveResult,
    decisions: list[mathopt.Variable],
) -> Answer:
    """Return the plan in hand or the one found, with what follows for all with less of the sum."""
    best, values = answer.best, answer.values
    if result.termination.reason is mathopt.TerminationReason.INFEASIBLE:
        proved = float(most + 1)
    else:
        proved = min(result.termination.objective_bounds.dual_bound, most + 1)
    if result.has_primal_feasible_solution():
        found = tuple(round(value) for value in result.variable_values(decisions))
        if rows.worth(found) < best and rows.holds(found):
            best, values = rows.worth(found), found
    bound = max(answer.bound, ceil(proved - _SURE)) if proved > -inf else answer.bound
    status = Status.BEST if best <= bound else Status.GOOD
    return Answer(status, values, best, min(bound, best))
