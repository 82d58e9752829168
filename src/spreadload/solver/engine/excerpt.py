"""A few decisions of a large model as a small model of its own.

What is not free stands as a number in the rows that the free decisions are in; all other rows are
left out. A round of improvement then costs what its piece costs, not what reading the whole model
costs: of the largest site a hundredth.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import numpy.typing as npt
from ortools.sat import cp_model_pb2

from spreadload.solver.engine.cp import cp_model

Ints = npt.NDArray[np.int64]
Flags = npt.NDArray[np.bool_]


def proto_of(model: cp_model.CpModel) -> cp_model_pb2.CpModelProto:
    """Return a model as a plain protocol buffer, whose lists are read at once and not one by one.

    The binding hands a model out as a text or a file only; the text of a large one takes seconds.
    """
    plain = cp_model_pb2.CpModelProto()
    with TemporaryDirectory() as folder:
        path = Path(folder) / "model.pb"
        if not model.export_to_file(str(path)):
            raise OSError(f"cannot write {path}")
        plain.ParseFromString(path.read_bytes())
    return plain


@dataclass(frozen=True)
class Excerpt:
    """A small model with what its decisions are in the whole.

    Attributes:
        model: The free decisions and the rows they are in.
        decisions: Index in the whole model of each decision, in order.
    """

    model: cp_model.CpModel
    decisions: Ints

    def whole(self, values: Sequence[int] | Ints, part: Sequence[int]) -> Ints:
        """Return values for the whole model: those of the excerpt, the rest as it was."""
        made = np.array(values, dtype=np.int64)
        made[self.decisions] = part
        return made


class Source:
    """The rows of a whole model, by row and by decision.

    Attributes:
        low, high: Bounds of every decision.
        aim: What one of each decision adds to the sum that is minimised.
    """

    def __init__(self, model: cp_model.CpModel) -> None:
        """Read the model.

        Raises:
            ValueError: A constraint that is neither linear nor a clause.
        """
        proto = proto_of(model)
        self.low = np.array([x.domain[0] for x in proto.variables], dtype=np.int64)
        self.high = np.array([x.domain[-1] for x in proto.variables], dtype=np.int64)
        self.aim = np.zeros(len(self.low), dtype=np.int64)
        self.aim[list(proto.objective.vars)] = list(proto.objective.coeffs)
        self.offset = int(proto.objective.offset)
        rows = [_row(constraint) for constraint in proto.constraints]
        self._bounds = [domain for _, _, domain, _ in rows]
        self._switches = {n: switches for n, (_, _, _, switches) in enumerate(rows) if switches}
        self._starts = np.cumsum([0, *(len(vars_) for vars_, _, _, _ in rows)])
        self._vars = np.array([x for vars_, _, _, _ in rows for x in vars_], dtype=np.int64)
        self._coeffs = np.array([c for _, coeffs, _, _ in rows for c in coeffs], dtype=np.int64)
        self._rows_of = self._by_decision()

    def _by_decision(self) -> tuple[Ints, Ints]:
        """Return for every decision where its rows start, and the rows."""
        switches = [(abs_index(x), n) for n, lits in self._switches.items() for x in lits]
        at = [self._vars, np.array([x for x, _ in switches], dtype=np.int64)]
        lengths = np.diff(self._starts)
        rows = [np.repeat(np.arange(len(lengths)), lengths)]
        rows.append(np.array([n for _, n in switches], dtype=np.int64))
        decisions, numbers = np.concatenate(at), np.concatenate(rows)
        order = np.argsort(decisions, kind="stable")
        counts = np.bincount(decisions, minlength=len(self.low))
        return np.concatenate([[0], np.cumsum(counts)]), numbers[order]

    def worth(self, values: Sequence[int] | Ints) -> int:
        """Return the sum that is minimised."""
        return self.offset + int(self.aim @ np.asarray(values, dtype=np.int64))

    def keep_below(self, row: int, most: int) -> None:
        """Give a row of one range another upper bound."""
        self._bounds[row] = [self._bounds[row][0], most]

    def rows_with(self, free: Flags) -> Ints:
        """Return the rows that hold a free decision, in order."""
        starts, rows = self._rows_of
        return np.unique(_gathered(rows, starts, np.flatnonzero(free)))

    def decisions_in(self, rows: Ints) -> Ints:
        """Return the decisions of some rows."""
        return np.unique(_gathered(self._vars, self._starts, rows))

    def length(self, rows: Ints) -> Ints:
        """Return how many decisions are in each of some rows."""
        return np.asarray(self._starts[rows + 1] - self._starts[rows])

    def excerpt(
        self, values: Sequence[int] | Ints, free: Flags, below: int | None = None
    ) -> Excerpt:
        """Return the free decisions with their rows, everything else standing as it is.

        Args:
            values: Value of every decision of the whole model.
            free: Whether each decision may change.
            below: Ask for less of the sum than this.
        """
        now = np.asarray(values, dtype=np.int64)
        decisions = np.flatnonzero(free)
        local = np.full(len(free), -1, dtype=np.int64)
        local[decisions] = np.arange(len(decisions))
        made = cp_model.CpModel()
        for low, high in zip(
            self.low[decisions].tolist(), self.high[decisions].tolist(), strict=True
        ):
            made.proto.variables.add().domain.extend((low, high))
        self._put_rows(made, now, local)
        weights = self.aim[decisions]
        used = np.flatnonzero(weights)
        rest = self.worth(now) - int(weights @ now[decisions])
        aim = made.proto.objective
        aim.vars.extend(used.tolist())
        aim.coeffs.extend(weights[used].tolist())
        aim.offset = float(rest)
        if below is not None:
            most = below - 1 - rest
            _put(made, used.tolist(), weights[used].tolist(), (-_ANY, most))
        made.proto.solution_hint.vars.extend(range(len(decisions)))
        made.proto.solution_hint.values.extend(now[decisions].tolist())
        return Excerpt(made, decisions)

    def _put_rows(self, made: cp_model.CpModel, now: Ints, local: Ints) -> None:
        """Put in the rows that free decisions are in, but those that hold whatever these are."""
        rows = self.rows_with(local >= 0)
        at = _ranges(self._starts, rows)
        vars_, coeffs = self._vars[at], self._coeffs[at]
        row_of = np.repeat(np.arange(len(rows)), self.length(rows))
        is_free = local[vars_] >= 0
        least = np.where(coeffs > 0, self.low[vars_], self.high[vars_])
        most = np.where(coeffs > 0, self.high[vars_], self.low[vars_])
        stands = _sums(row_of, np.where(is_free, 0, coeffs * now[vars_]), len(rows))
        least = _sums(row_of, np.where(is_free, coeffs * least, 0), len(rows)) + stands
        most = _sums(row_of, np.where(is_free, coeffs * most, 0), len(rows)) + stands
        ends = np.searchsorted(row_of[is_free], np.arange(len(rows) + 1))
        names, factors = local[vars_[is_free]].tolist(), coeffs[is_free].tolist()
        for n, (row, low, high, rest) in enumerate(
            zip(rows.tolist(), least.tolist(), most.tolist(), stands.tolist(), strict=True)
        ):
            domain = self._bounds[row]
            if len(domain) == _ONE_RANGE and domain[0] <= low and high <= domain[1]:
                continue
            switches = self._free_switches(row, now, local)
            if switches is None:
                continue
            some = slice(ends[n], ends[n + 1])
            bounds = [_shifted(bound, rest) for bound in domain]
            constraint = _put(made, names[some], factors[some], bounds)
            if switches:
                constraint.enforcement_literal.extend(switches)

    def _free_switches(self, row: int, now: Ints, local: Ints) -> list[int] | None:
        """Return the literals that still decide whether a row counts, or None if it does not."""
        left: list[int] = []
        for literal in self._switches.get(row, ()):
            x = abs_index(literal)
            if local[x] >= 0:
                left.append(int(local[x]) if literal >= 0 else -int(local[x]) - 1)
            elif bool(now[x]) != (literal >= 0):
                return None
        return left


_ONE_RANGE = 2
_ANY = 1 << 60


def abs_index(literal: int) -> int:
    """Return the decision of a literal; a negated one is minus its index, less one."""
    return literal if literal >= 0 else -literal - 1


def _row(
    constraint: cp_model_pb2.ConstraintProto,
) -> tuple[list[int], list[int], list[int], list[int]]:
    """Return decisions, coefficients, bounds and switches of a row.

    Raises:
        ValueError: It is neither linear nor a clause.
    """
    switches = list(constraint.enforcement_literal)
    kind = constraint.WhichOneof("constraint")
    if kind == "linear":
        linear = constraint.linear
        return list(linear.vars), list(linear.coeffs), list(linear.domain), switches
    if kind in _CLAUSES:
        literals = list(getattr(constraint, kind).literals)
        low, high = _CLAUSES[kind]
        negated = sum(literal < 0 for literal in literals)
        coeffs = [1 if literal >= 0 else -1 for literal in literals]
        bounds = [low - negated, min(high, len(literals)) - negated]
        return [abs_index(literal) for literal in literals], coeffs, bounds, switches
    raise ValueError(f"no rows of {kind}")


_CLAUSES = {"at_most_one": (0, 1), "exactly_one": (1, 1), "bool_or": (1, _ANY)}


def _put(
    made: cp_model.CpModel, vars_: list[int], coeffs: list[int], bounds: Sequence[int]
) -> cp_model.cmh.ConstraintProto:
    constraint = made.proto.constraints.add()
    constraint.linear.vars.extend(vars_)
    constraint.linear.coeffs.extend(coeffs)
    constraint.linear.domain.extend(bounds)
    return constraint


def _shifted(bound: int, rest: int) -> int:
    """Return a bound less what stands in its row; no bound at all stays none."""
    return bound if abs(bound) >= _ANY else bound - rest


def _ranges(starts: Ints, rows: Ints) -> Ints:
    """Return the positions of all entries of some rows, row after row."""
    lengths = starts[rows + 1] - starts[rows]
    ends = np.cumsum(lengths)
    total = int(ends[-1]) if len(ends) else 0
    return np.asarray(
        np.arange(total) + np.repeat(starts[rows] - np.concatenate([[0], ends[:-1]]), lengths)
        if len(rows)
        else np.arange(0)
    )


def _gathered(entries: Ints, starts: Ints, rows: Ints) -> Ints:
    return np.asarray(entries[_ranges(starts, rows)])


def _sums(groups: Ints, amounts: Ints, count: int) -> Ints:
    """Return exact sums of amounts by group; the groups come in order."""
    running = np.concatenate([[0], np.cumsum(amounts)])
    ends = np.searchsorted(groups, np.arange(count + 1))
    return np.asarray(running[ends[1:]] - running[ends[:-1]])
