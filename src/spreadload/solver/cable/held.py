"""What goals that are held leave of each decision.

A goal reached is held as one long row, from which a solver learns little about any decision in it.
The linear relaxation with that goal as its sum knows more: where the least it can be is what is
held, or nearly so, each reduced cost says how far a decision may go before the goal gets worse. On
the hall the re-plugs alone are at the least of the relaxation, which settles a hundred decisions.

The bound is worked out from the prices of the rows, as Neumaier and Shcherbina do (Safe bounds in
linear and mixed-integer linear programming, 2004; from memory): it holds for any prices, so nothing
hangs on how exact the linear solver is.
"""

from collections.abc import Iterable

import numpy as np
import numpy.typing as npt
from ortools.math_opt.python import mathopt

from spreadload.solver.cable.linear import Rows, programme
from spreadload.solver.engine.cp import cp_model
from spreadload.solver.engine.excerpt import proto_of
from spreadload.solver.model.variables import Linear

Floats = npt.NDArray[np.float64]

# Far above what adding up doubles loses, far below one unit of any goal.
_SAFE = 1e-6


def narrow(model: cp_model.CpModel, held: Iterable[tuple[Linear, int]]) -> int:
    """Narrow the bounds of decisions to what sums at most at a value leave; return how many.

    No plan that keeps the rows of the model and the sums is lost.

    Args:
        model: A model that is changed.
        held: Sums over its decisions with the most that each may be.
    """
    relaxation = _Relaxation(Rows(proto_of(model)))
    for aim, most in held:
        flat = cp_model.FlatIntExpr(aim)
        coeffs = {x.index: int(c) for x, c in zip(flat.vars, flat.coeffs, strict=True)}
        relaxation.hold(coeffs, most - int(flat.offset))
    narrowed = 0
    for x, low, high in zip(
        model.proto.variables, relaxation.low.tolist(), relaxation.high.tolist(), strict=True
    ):
        is_plain = len(x.domain) == 2  # noqa: PLR2004 - one interval: a low and a high end
        if is_plain and (low, high) != (x.domain[0], x.domain[1]):
            x.domain[0], x.domain[1] = low, high
            narrowed += 1
    return narrowed


class _Relaxation:
    """The rows of a model for any numbers, whole or not, with bounds that are narrowed."""

    def __init__(self, rows: Rows) -> None:
        self.low = np.array(rows.low, dtype=np.int64)
        self.high = np.array(rows.high, dtype=np.int64)
        self._model, self._decisions = programme(rows, is_whole=False)
        self._solver = mathopt.IncrementalSolver(self._model, mathopt.SolverType.GLOP)
        kept = [row for row in rows.rows if np.isfinite(row[1]) or np.isfinite(row[2])]
        self._row_low = np.array([low for _, low, _ in kept])
        self._row_high = np.array([high for _, _, high in kept])
        lengths = [len(row) for row, _, _ in kept]
        self._in_row = np.repeat(np.arange(len(kept)), lengths)
        self._at = np.array([x for row, _, _ in kept for x in row], dtype=np.int64)
        self._coeffs = np.array([c for row, _, _ in kept for c in row.values()], dtype=np.float64)

    def hold(self, coeffs: dict[int, int], most: int) -> None:
        """Narrow every decision to what a sum of at most a value leaves."""
        aim = np.zeros(len(self.low))
        aim[list(coeffs)] = list(coeffs.values())
        self._narrow(aim, most)
        prices = self._prices(coeffs)
        if prices is not None:
            up, down = prices > 0, prices < 0
            paid = float(prices[up] @ self._row_low[up] + prices[down] @ self._row_high[down])
            priced = np.bincount(
                self._at, weights=prices[self._in_row] * self._coeffs, minlength=len(aim)
            )
            self._narrow(aim - priced, most - paid)

    def _prices(self, coeffs: dict[int, int]) -> Floats | None:
        """Return what one more in each row would cost of a sum at its least."""
        terms = [c * self._decisions[x] for x, c in coeffs.items()]
        self._model.minimize(mathopt.fast_sum(terms))
        result = self._solver.solve()
        if result.termination.reason is not mathopt.TerminationReason.OPTIMAL:
            return None
        of_row = result.dual_values()
        prices = np.array([of_row[row] for row in self._model.linear_constraints()])
        is_open = np.where(prices > 0, np.isinf(self._row_low), np.isinf(self._row_high))
        return np.where(is_open, 0.0, prices)

    def _narrow(self, coeffs: Floats, most: float) -> None:
        """Narrow every decision of a sum that is at most a value, the others at their least."""
        least = float(np.sum(np.minimum(coeffs * self.low, coeffs * self.high)))
        room = most - least + _SAFE * (1.0 + abs(most) + abs(least))
        counts = np.abs(coeffs) > _SAFE
        steps = np.zeros(len(coeffs))
        steps[counts] = np.floor(np.maximum(room, 0.0) / np.abs(coeffs[counts]))
        width = self.high - self.low
        steps = np.where(counts, np.minimum(steps, width), width).astype(np.int64)
        low, high = self.low, self.high
        self.high = np.where(coeffs > 0, low + steps, high)
        self.low = np.where(coeffs < 0, high - steps, low)
