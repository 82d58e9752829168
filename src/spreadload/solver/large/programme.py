"""The linear programme that mixes fills of single circuits until every unit is carried.

Each row may be broken at a price, so that there is always a mixture; what its rows are worth are
the prices that further fills are looked for with (``dealing.py``).
"""

from collections import defaultdict

import numpy as np
from ortools.math_opt.python import mathopt

from spreadload.solver.engine.limits import Clock
from spreadload.solver.engine.linear import ended
from spreadload.solver.large.cable_bound import BOARD_PRICES_M
from spreadload.solver.large.fills import Fill
from spreadload.solver.large.prices import Floats, Prices
from spreadload.solver.large.shares import Bin
from spreadload.solver.large.terms import Terms
from spreadload.units import MILLI

# What a unit carried by nobody costs [m]: more than it would by any lead.
MISSING_M = 60.0
# What an amp too much on a device above circuits costs [m].
_AMP_M = 40.0
# So much more for each of its amps when whole units are asked for.
_MISSING_AMP_M = 25.0
_FIRST_TIMES = 2.5
# Work of one fill in one row, while fills are found and once most are there [s] (fitted).
_ENTRY_S = 160e-9
_ENTRY_AGAIN_S = 33e-9


class Programme:
    """The linear programme with the fills found so far.

    Attributes:
        fills: Every fill found, with its bin.
        parts: How much of each is used.
        values: What each part came to last.
    """

    def __init__(self, terms: Terms, first: Floats, clock: Clock) -> None:
        """Make the rows, with ways to break each at a price.

        Args:
            terms: What is dealt out, and what has to hold.
            first: What a unit of each demand may be worth at first [m].
            clock: The clock of this part of the search.
        """
        self._terms, self._clock = terms, clock
        self.fills: list[tuple[Bin, Fill]] = []
        self.parts: list[mathopt.Variable] = []
        self.values: dict[mathopt.Variable, float] = {}
        self._known: set[tuple[object, ...]] = set()
        model = self._model = mathopt.Model()
        self._carried = [
            model.add_linear_constraint(lb=float(count)) for count in self._terms.counts.tolist()
        ]
        self._one_fill = {where: model.add_linear_constraint(ub=1.0) for where in self._terms.bins}
        self._staying = {
            (n, pole): model.add_linear_constraint(lb=0.0)
            for n in range(len(self._terms.stays))
            for pole in self._terms.poles
        }
        self._missing = []
        for row, price in zip(self._carried, first.tolist(), strict=True):
            self._missing.append(self._added(row, _FIRST_TIMES * price + 2.0))
        most = self._terms.most_moves
        self._moves = model.add_linear_constraint(ub=float(most))
        for (n, _), row in self._staying.items():
            self._added(row, MISSING_M)
            if most:
                moved = self._added(row, 0.0)
                self._moves.set_coefficient(moved, float(self._terms.stays[n].cost))
        self._loads = [
            model.add_linear_constraint(ub=room_ma / MILLI)
            for room_ma in self._terms.rooms_above_ma()
        ]
        for row in self._loads:
            row.set_coefficient(self._added(row, _AMP_M), -1.0)
        self._in_stock = [
            model.add_linear_constraint(ub=float(self._terms.boards)) for _ in self._terms.setups
        ]
        for row in self._in_stock:
            row.set_coefficient(self._added(row, float(BOARD_PRICES_M[-1])), -1.0)
        self._rows = len(self._carried) + len(self._one_fill) + len(self._staying)
        self._solver = mathopt.IncrementalSolver(model, mathopt.SolverType.GLOP)

    def _added(self, row: mathopt.LinearConstraint, price: float) -> mathopt.Variable:
        made = self._model.add_variable(lb=0.0)
        row.set_coefficient(made, 1.0)
        self._model.objective.set_linear_coefficient(made, price)
        return made

    def widen(self) -> None:
        """Let prices rise as far as they may."""
        for missing in self._missing:
            self._model.objective.set_linear_coefficient(missing, MISSING_M)

    def price_boards(self, boards_m: list[int]) -> None:
        """Count what scarce boards are worth in each set-up among the metres, from now on."""
        for part, (where, fill) in zip(self.parts, self.fills, strict=True):
            metres = fill.metres + boards_m[self._terms.setups[where[0]]] * fill.boards
            self._model.objective.set_linear_coefficient(part, float(metres))
        for row in self._in_stock:
            row.upper_bound = float("inf")

    def take(self, fills: list[tuple[Bin, Fill]]) -> None:
        """Put fills into the programme, each once."""
        for where, fill in fills:
            key = (where, *fill.units.items())
            if not fill.units or key in self._known:
                continue
            self._known.add(key)
            part = self._added(self._one_fill[where], float(fill.metres))
            signs = self._terms.signs[where[0]]
            stays: dict[int, float] = defaultdict(float)
            for demand, count in fill.units.items():
                self._carried[demand].set_coefficient(part, float(count))
                for n in np.flatnonzero(signs[:, demand]).tolist():
                    stays[n] += float(signs[n, demand]) * count
            if fill.boards:
                self._in_stock[self._terms.setups[where[0]]].set_coefficient(
                    part, float(fill.boards)
                )
            for n, amount in stays.items():
                self._staying[n, where[1]].set_coefficient(part, amount)
            for row, device in zip(self._loads, self._terms.above, strict=True):
                if where in device.takes:
                    each_ma = device.takes[where]
                    load_ma = sum(int(each_ma[k]) * count for k, count in fill.units.items())
                    row.set_coefficient(part, load_ma / MILLI)
            self.fills.append((where, fill))
            self.parts.append(part)

    def solve(self, *, is_new: bool = False) -> tuple[Prices | None, float]:
        """Return the prices of the programme, and what it costs [m].

        Args:
            is_new: Whether most fills are new since it was solved last.
        """
        entry_s = _ENTRY_S if is_new else _ENTRY_AGAIN_S
        self._clock.spend_s(len(self.parts) * self._rows * entry_s)
        result = self._solved()
        if (
            result is None
            or not result.has_dual_feasible_solution()
            or not result.has_primal_feasible_solution()
        ):
            return None, 0.0
        duals = result.dual_values()
        self.values = result.variable_values()
        units = np.array([max(duals[row], 0.0) for row in self._carried])
        stays = np.zeros((len(self._terms.stays), len(self._terms.poles)))
        for (n, pole), row in self._staying.items():
            stays[n, self._terms.poles[pole]] = max(duals[row], 0.0)
        above = np.array([max(-duals[row], 0.0) for row in self._loads])
        boards = np.array([max(-duals[row], 0.0) for row in self._in_stock])
        found = Prices(units, stays, max(-duals[self._moves], 0.0), above, boards)
        return found, result.objective_value()

    def _solved(self) -> mathopt.SolveResult | None:
        """Return what the programme ends with, begun afresh once where its solver gives up."""
        result = ended(self._solver)
        if result is None:
            self._solver = mathopt.IncrementalSolver(self._model, mathopt.SolverType.GLOP)
            result = ended(self._solver)
        return result

    def ask_whole(self) -> None:
        """Ask from now on for phases that are sure to be even, and for large units above all.

        A small unit left over finds room more easily than a large one.
        """
        for missing, unit_ma in zip(self._missing, self._terms.units_ma.tolist(), strict=True):
            price_m = MISSING_M + _MISSING_AMP_M * unit_ma / MILLI
            self._model.objective.set_linear_coefficient(missing, price_m)
        for row, device in zip(self._loads, self._terms.above, strict=True):
            if device.level_ma is not None:
                room_ma = min(device.level_ma - device.wired_ma, round(row.upper_bound * MILLI))
                row.upper_bound = max(room_ma, 0) / MILLI
