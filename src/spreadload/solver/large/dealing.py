"""Units dealt out over circuits by prices, so that leads and power boards cost least.

A linear programme mixes fills of single circuits (``fills.py``) until every unit is carried and
what stays plugged in stays. Its prices say which further fill of each circuit would help; where
none does, no way of dealing costs less. Prices are then rounded to whole thousandths of a metre,
and what they prove is summed again in whole numbers: any prices prove something, so rounding in
the linear programme cannot make the bound wrong (column generation; Gilmore and Gomory, 1961, from
memory).
"""

from collections import defaultdict
from collections.abc import Mapping
from functools import cached_property

import numpy as np
import numpy.typing as npt
from ortools.math_opt.python import mathopt

from spreadload.derived.facts import Facts
from spreadload.solver.engine.excerpt import Ints
from spreadload.solver.engine.limits import Clock
from spreadload.solver.large.above import devices_above
from spreadload.solver.large.cable_bound import BOARD_PRICES_M
from spreadload.solver.large.fills import PRICE, STEPS, Fill, Knapsack
from spreadload.solver.large.held import Held
from spreadload.solver.large.prices import Floats, Prices, at_a_price, most_worth
from spreadload.solver.large.shares import NOWHERE, Bin, Shares, Sharing
from spreadload.solver.large.stays import stays_of, wired_ma
from spreadload.solver.model.candidates import Options
from spreadload.units import FULL_PCT, MILLI

# What a unit carried by nobody costs in the programme [m]: more than it would by any lead.
_MISSING_M = 60.0
# What an amp too much on a device above circuits costs there [m].
_AMP_M = 40.0
# So much more for each of its amps when whole units are asked for.
_MISSING_AMP_M = 25.0
# Such a part of the price in hand stays when prices of the programme come in.
_INERTIA = 0.5
_FIRST_INERTIA = 0.2
_FIRST_ROUNDS = 10
_CLOSE_M = 0.5
_NEAR_SHARE = 0.05
_FIRST_TIMES = 2.5
_ROUNDS = 150
# Work of one look of a knapsack, and of one fill in one row of the programme [s] (fitted).
_LOOK_S = 6e-6
_ENTRY_S = 160e-9
_ENTRY_AGAIN_S = 33e-9


class Dealing:
    """The linear programme with the fills found so far.

    Attributes:
        proved_m: The least that cable costs with the prices in hand, not yet in whole numbers.
        fills: Every fill found, with its bin.
        most_moves: What units may cost that are on another circuit than before, new ones included.
    """

    def __init__(
        self, facts: Facts, options: Options, what: Sharing, held: Held, clock: Clock
    ) -> None:
        """Begin with no fill at all.

        Args:
            facts: The job, worked out.
            options: Everything each plugged-in demand may use.
            what: What is dealt out.
            held: What earlier goals hold.
            clock: The clock of this part of the search.
        """
        self._facts, self.what, self.held, self._clock = facts, what, held, clock
        self.counts = np.array([d.count for d in what.demands], dtype=np.int64)
        self.bins = sorted(what.bins)
        self._poles = {pole: n for n, pole in enumerate(sorted({pole for _, pole in self.bins}))}
        self._stays = [] if held.moves is None else stays_of(facts, what)
        self._stays_of = {
            setup_id: self._signs(setup_id) for setup_id in {setup for setup, _ in self.bins}
        }
        self._wired = wired_ma(facts)
        self._numbers: dict[tuple[str, str], list[int]] = defaultdict(list)
        for k, demand in enumerate(what.demands):
            self._numbers[demand.load, demand.setup].append(k)
        self._above = devices_above(facts, options, what.demands, held.uneven_a)
        self._all_ma = sum(int(s.amps_ma.max()) for each in what.bins.values() for s in each)
        largest_ma = max(self.room_ma(where, FULL_PCT) for where in self.bins)
        self.knapsack = Knapsack(max(largest_ma // STEPS, 1), held.one_big)
        self.proved_m = 0.0
        self.fills: list[tuple[Bin, Fill]] = []
        self.parts: list[mathopt.Variable] = []
        self._known: set[tuple[object, ...]] = set()
        first = self._first_prices()
        stays = np.zeros((len(self._stays), len(self._poles)))
        self._setups = {setup_id: n for n, setup_id in enumerate(facts.demands)}
        self._stock = sum(board.count for board in facts.boards)
        scarce = np.zeros(len(self._setups))
        self.prices = Prices(first, stays, 0.0, np.zeros(len(self._above)), scarce)
        self._build(first)

    def _signs(self, setup_id: str) -> Floats:
        """Return how each stay counts a unit of each demand of a set-up: 1 before, -1 after."""
        made = np.zeros((len(self._stays), len(self.what.demands)))
        for n, stay in enumerate(self._stays):
            for k, demand in enumerate(self.what.demands):
                if demand.load == stay.load and demand.setup == setup_id:
                    made[n, k] += (stay.before == setup_id) - (stay.after == setup_id)
        return made

    def room_ma(self, where: Bin, percent: int) -> int:
        """Return what may be plugged in on a circuit that may be so full [mA]."""
        _, pole = where
        if pole == NOWHERE:
            return self._all_ma
        return self._facts.circuits[pole[0]].cap_ma * percent // FULL_PCT - self._wired[where]

    def _first_prices(self) -> Floats:
        """Return the price of each unit where its place fills boards as well as can be."""
        made = np.full(len(self.what.demands), _MISSING_M)
        for each in self.what.bins.values():
            for shares in each:
                rate = float((shares.metres / np.maximum(shares.amps_ma, 1)).min())
                alone = shares.units.sum(axis=1) == 1
                for row, amps_ma in zip(
                    shares.units[alone], shares.amps_ma[alone].tolist(), strict=True
                ):
                    k = int(shares.demands[int(np.argmax(row))])
                    made[k] = min(made[k], rate * amps_ma)
        return made

    def _build(self, first: Floats) -> None:
        """Make the rows, with ways to break each at a price."""
        model = self._model = mathopt.Model()
        self._carried = [
            model.add_linear_constraint(lb=float(count)) for count in self.counts.tolist()
        ]
        self._one_fill = {where: model.add_linear_constraint(ub=1.0) for where in self.bins}
        self._staying = {
            (n, pole): model.add_linear_constraint(lb=0.0)
            for n in range(len(self._stays))
            for pole in self._poles
        }
        self._missing = []
        for row, price in zip(self._carried, first.tolist(), strict=True):
            self._missing.append(self._added(row, _FIRST_TIMES * price + 2.0))
        most = sum(stay.cost * max(stay.growth, 0) for stay in self._stays) + (self.held.moves or 0)
        self._moves = model.add_linear_constraint(ub=float(most))
        for (n, _), row in self._staying.items():
            self._added(row, _MISSING_M)
            if most:
                moved = self._added(row, 0.0)
                self._moves.set_coefficient(moved, float(self._stays[n].cost))
        self.most_moves = most
        self._loads = [
            model.add_linear_constraint(
                ub=max(each.room_ma(self.held.percents[each.setup]), 0) / MILLI
            )
            for each in self._above
        ]
        for row in self._loads:
            row.set_coefficient(self._added(row, _AMP_M), -1.0)
        self._in_stock = [model.add_linear_constraint(ub=float(self._stock)) for _ in self._setups]
        for row in self._in_stock:
            row.set_coefficient(self._added(row, float(BOARD_PRICES_M[-1])), -1.0)
        self._rows = len(self._carried) + len(self._one_fill) + len(self._staying)
        self._solver = mathopt.IncrementalSolver(model, mathopt.SolverType.GLOP)

    def _added(self, row: mathopt.LinearConstraint, price: float) -> mathopt.Variable:
        made = self._model.add_variable(lb=0.0)
        row.set_coefficient(made, 1.0)
        self._model.objective.set_linear_coefficient(made, price)
        return made

    def settle(self) -> None:
        """Look for fills until none helps, or the work is done."""
        centre, is_wide = self.prices, False
        for n in range(_ROUNDS):
            fills, worth = self.fill_all(self.prices, dict(self.what.bins))
            proved_m = float(self.counts @ self.prices.units) - worth
            proved_m -= self.prices.move * self.most_moves
            rooms_a = [max(a.room_ma(self.held.percents[a.setup]), 0) / MILLI for a in self._above]
            proved_m -= float(self.prices.above @ np.array(rooms_a))
            proved_m -= float(self.prices.boards.sum()) * self._stock
            if proved_m > self.proved_m:
                self.proved_m, centre = proved_m, self.prices
            self.take(fills)
            found, cost_m = self.solve(_ENTRY_S)
            if found is None:
                break
            if cost_m - self.proved_m < (_CLOSE_M if is_wide else _NEAR_SHARE * cost_m):
                if is_wide:
                    break
                is_wide = self._widen()
            if not self._clock.left_s or not self._clock.work_left_s:
                break
            part = _FIRST_INERTIA if n < _FIRST_ROUNDS else _INERTIA
            self.prices = found.towards(centre, part)
        self.prices = centre

    def _widen(self) -> bool:
        """Let prices rise as far as they may."""
        for missing in self._missing:
            self._model.objective.set_linear_coefficient(missing, _MISSING_M)
        return True

    def fill_all(
        self, prices: Prices, bins: Mapping[Bin, tuple[Shares, ...]]
    ) -> tuple[list[tuple[Bin, Fill]], float]:
        """Return the best fill of each bin, and what all are worth together [m]."""
        before = self.knapsack.looks
        found, worth = [], 0
        for where, shares in bins.items():
            room_ma = self.room_ma(where, self.held.percents[where[0]])
            if room_ma <= 0:
                continue
            board_price = self._board_price(prices, where[0])
            worths = self.knapsack.worths(shares, self.whole(prices, where), room_ma, board_price)
            worth += int(worths[-1])
            found.append((where, self.knapsack.fill()))
        self._clock.spend_s((self.knapsack.looks - before) * _LOOK_S)
        return found, worth / PRICE

    def whole(self, prices: Prices, where: Bin) -> npt.NDArray[np.int64]:
        """Return what a unit of each demand is worth in a bin, in thousandths of a metre."""
        setup_id, pole = where
        units = np.rint(prices.units * PRICE).astype(np.int64)
        stays = np.rint(prices.stays[:, self._poles[pole]] * PRICE).astype(np.int64)
        worth = units + stays @ self._stays_of[setup_id].astype(np.int64)
        above = np.rint(prices.above * PRICE).astype(np.int64)
        for price, device in zip(above.tolist(), self._above, strict=True):
            if price and device.setup == setup_id and where in device.takes:
                worth = worth - price * device.takes[where] // MILLI
        return np.asarray(worth)

    def _board_price(self, prices: Prices, setup_id: str) -> int:
        """Return what a board is worth beyond what it costs, in thousandths of a metre."""
        return round(float(prices.boards[self._setups[setup_id]]) * PRICE)

    def price_boards(self) -> None:
        """Count what scarce boards are worth among the metres, from now on.

        Whole units are dealt out at these prices, which keep boards about as many as there are.
        """
        boards_m = np.rint(self.prices.boards).astype(np.int64).tolist()
        for part, (where, fill) in zip(self.parts, self.fills, strict=True):
            metres = fill.metres + boards_m[self._setups[where[0]]] * fill.boards
            self._model.objective.set_linear_coefficient(part, float(metres))
        for row in self._in_stock:
            row.upper_bound = float("inf")
        prices_m = {setup_id: boards_m[n] for setup_id, n in self._setups.items()}
        self.what = self.what.at_prices(prices_m)
        self.prices = self.prices._replace(boards=np.zeros(len(self._setups)))

    def take(self, fills: list[tuple[Bin, Fill]]) -> None:
        """Put fills into the programme, each once."""
        for where, fill in fills:
            key = (where, *fill.units.items())
            if not fill.units or key in self._known:
                continue
            self._known.add(key)
            part = self._added(self._one_fill[where], float(fill.metres))
            signs = self._stays_of[where[0]]
            stays: dict[int, float] = defaultdict(float)
            for demand, count in fill.units.items():
                self._carried[demand].set_coefficient(part, float(count))
                for n in np.flatnonzero(signs[:, demand]).tolist():
                    stays[n] += float(signs[n, demand]) * count
            if fill.boards:
                self._in_stock[self._setups[where[0]]].set_coefficient(part, float(fill.boards))
            for n, amount in stays.items():
                self._staying[n, where[1]].set_coefficient(part, amount)
            for row, device in zip(self._loads, self._above, strict=True):
                if where in device.takes:
                    each_ma = device.takes[where]
                    load_ma = sum(int(each_ma[k]) * count for k, count in fill.units.items())
                    row.set_coefficient(part, load_ma / MILLI)
            self.fills.append((where, fill))
            self.parts.append(part)

    def solve(self, entry_s: float = _ENTRY_AGAIN_S) -> tuple[Prices | None, float]:
        """Return the prices of the programme, and what it costs [m]."""
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
        stays = np.zeros((len(self._stays), len(self._poles)))
        for (n, pole), row in self._staying.items():
            stays[n, self._poles[pole]] = max(duals[row], 0.0)
        above = np.array([max(-duals[row], 0.0) for row in self._loads])
        boards = np.array([max(-duals[row], 0.0) for row in self._in_stock])
        found = Prices(units, stays, max(-duals[self._moves], 0.0), above, boards)
        return found, result.objective_value()

    def _solved(self) -> mathopt.SolveResult | None:
        """Return what the programme ends with, begun afresh once where its solver gives up."""
        for _ in range(2):
            try:
                return self._solver.solve()
            except (RuntimeError, ValueError, AttributeError):  # how its errors come through
                self._solver = mathopt.IncrementalSolver(self._model, mathopt.SolverType.GLOP)
        return None

    def ask_whole(self) -> None:
        """Ask from now on for phases that are sure to be even, and for large units above all.

        A small unit left over finds room more easily than a large one.
        """
        for missing, unit_ma in zip(self._missing, self.units_ma.tolist(), strict=True):
            price_m = _MISSING_M + _MISSING_AMP_M * unit_ma / MILLI
            self._model.objective.set_linear_coefficient(missing, price_m)
        for row, device in zip(self._loads, self._above, strict=True):
            if device.level_ma is not None:
                room_ma = min(device.level_ma - device.wired_ma, round(row.upper_bound * MILLI))
                row.upper_bound = max(room_ma, 0) / MILLI

    @cached_property
    def units_ma(self) -> Ints:
        """What a unit of each demand counts on a circuit at least [mA]."""
        made = np.full(len(self.what.demands), 0, dtype=np.int64)
        for each in self.what.bins.values():
            for shares in each:
                alone = np.flatnonzero(shares.units.sum(axis=1) == 1)
                for n in alone.tolist():
                    made[shares.demands[int(np.argmax(shares.units[n]))]] = shares.amps_ma[n]
        return made

    def stays_on(
        self, pole: tuple[str, str]
    ) -> list[tuple[list[tuple[Bin, int]], list[tuple[Bin, int]]]]:
        """Return, for all that may stay on a circuit pole, what counts before and after."""
        found = []
        for stay in self._stays:
            sides = []
            for setup_id in (stay.before, stay.after):
                numbers = self._numbers[stay.load, setup_id]
                is_there = (setup_id, pole) in self.what.bins
                sides.append([((setup_id, pole), k) for k in numbers] if is_there else [])
            found.append((sides[0], sides[1]))
        return found

    def level_above(self) -> list[tuple[Mapping[Bin, Ints], int]]:
        """Return what units take of every device above circuits, and its room for even phases."""
        found = []
        for device in self._above:
            room_ma = device.room_ma(self.held.percents[device.setup])
            if device.level_ma is not None:
                room_ma = min(room_ma, device.level_ma - device.wired_ma)
            found.append((device.takes, max(room_ma, 0)))
        return found

    def proof(self, least: Mapping[str, int], most: Mapping[str, int], together: int | None) -> int:
        """Return what cable is never below, whichever way the held per cents are dealt out.

        Args:
            least: What the fullest device of each set-up is never below.
            most: What it may be.
            together: What all set-ups may come to, added up; None when that is not held.
        """
        worths = {setup_id: [0] * (most[setup_id] - low + 1) for setup_id, low in least.items()}
        for where, shares in self.what.bins.items():
            setup_id = where[0]
            room_ma = self.room_ma(where, most[setup_id])
            if room_ma <= 0:
                continue
            board_m = at_a_price(float(self.prices.boards[self._setups[setup_id]]))
            each = self.knapsack.worths(
                shares, self.whole(self.prices, where), room_ma, PRICE * board_m
            )
            for n in range(len(worths[setup_id])):
                steps = self.room_ma(where, least[setup_id] + n) // self.knapsack.step_ma
                worths[setup_id][n] += int(each[steps]) if steps > 0 else 0
        for device, price in zip(self._above, self.prices.above.tolist(), strict=True):
            for n in range(len(worths[device.setup])):
                room_ma = max(device.room_ma(least[device.setup] + n), 0)
                worths[device.setup][n] += -(-round(price * PRICE) * room_ma // MILLI)
        units = np.rint(self.prices.units * PRICE).astype(np.int64)
        proved = int(self.counts @ units) - self._move_price() * self.most_moves
        for price in self.prices.boards.tolist():
            proved -= PRICE * at_a_price(price) * self._stock
        slack = None if together is None else together - sum(least.values())
        proved -= most_worth(list(worths.values()), slack)
        return max(-(-proved // PRICE), 0) + self.what.apart_m

    def _move_price(self) -> int:
        """Return a price of a re-plug that no stay is worth more than [thousandths of a metre]."""
        if not self._stays or not self.most_moves:
            return 0
        stays = np.rint(self.prices.stays * PRICE).astype(np.int64)
        costs = np.array([max(stay.cost, 1) for stay in self._stays], dtype=np.int64)
        return int((-(-stays // costs[:, None])).max())
