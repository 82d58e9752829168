"""What is dealt out over circuits, and what has to hold meanwhile.

A circuit pole in one set-up is a bin: units of demands go into it, as far as there is room.
"""

from collections import defaultdict
from collections.abc import Mapping
from functools import cached_property

import numpy as np

from spreadload.derived.facts import Facts
from spreadload.solver.engine.excerpt import Ints
from spreadload.solver.large.above import devices_above
from spreadload.solver.large.fills import PRICE, STEPS, Knapsack
from spreadload.solver.large.held import Held
from spreadload.solver.large.prices import Floats, Prices
from spreadload.solver.large.shares import NOWHERE, Bin, Sharing
from spreadload.solver.large.stays import stays_of, wired_ma
from spreadload.solver.model.candidates import Options
from spreadload.units import FULL_PCT, MILLI


class Terms:
    """What is dealt out, and what has to hold.

    Attributes:
        what: Shares of every place that a circuit may carry.
        held: What earlier goals hold.
        counts: Units of each demand.
        bins: Every circuit pole in every set-up, in a fixed order.
        poles: Numbers of the circuit poles.
        stays: Loads whose units may stay plugged in from one set-up to the next.
        above: Devices above single circuits.
        most_moves: What units may cost that are on another circuit than before, new ones included.
        setups: Numbers of the set-ups.
        boards: Power boards in stock.
    """

    def __init__(self, facts: Facts, options: Options, what: Sharing, held: Held) -> None:
        """Count what is dealt out.

        Args:
            facts: The job, worked out.
            options: Everything each plugged-in demand may use.
            what: What is dealt out.
            held: What earlier goals hold.
        """
        self._facts, self.what, self.held = facts, what, held
        self.counts = np.array([d.count for d in what.demands], dtype=np.int64)
        self.bins = sorted(what.bins)
        self.poles = {pole: n for n, pole in enumerate(sorted({pole for _, pole in self.bins}))}
        self.stays = [] if held.moves is None else stays_of(facts, what)
        growth = sum(stay.cost * max(stay.growth, 0) for stay in self.stays)
        self.most_moves = growth + (held.moves or 0)
        self.signs = {setup_id: self._signs(setup_id) for setup_id, _ in self.bins}
        self._wired = wired_ma(facts)
        self._numbers: dict[tuple[str, str], list[int]] = defaultdict(list)
        for k, demand in enumerate(what.demands):
            self._numbers[demand.load, demand.setup].append(k)
        self.above = devices_above(facts, options, what.demands, held.uneven_a)
        self._all_ma = sum(int(s.amps_ma.max()) for each in what.bins.values() for s in each)
        self.setups = {setup_id: n for n, setup_id in enumerate(facts.demands)}
        self.boards = sum(board.count for board in facts.boards)

    def knapsack(self) -> Knapsack:
        """Return what fills single circuits."""
        largest_ma = max(self.room_ma(where, FULL_PCT) for where in self.bins)
        return Knapsack(max(largest_ma // STEPS, 1), self.held.one_big)

    def _signs(self, setup_id: str) -> Floats:
        """Return how each stay counts a unit of each demand of a set-up: 1 before, -1 after."""
        made = np.zeros((len(self.stays), len(self.what.demands)))
        for n, stay in enumerate(self.stays):
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

    def rooms_above_ma(self) -> list[int]:
        """Return what may be plugged in on every device above circuits at the per cents held."""
        return [max(a.room_ma(self.held.percents[a.setup]), 0) for a in self.above]

    def worths(self, prices: Prices, where: Bin) -> Ints:
        """Return what a unit of each demand is worth in a bin, in thousandths of a metre."""
        setup_id, pole = where
        units = np.rint(prices.units * PRICE).astype(np.int64)
        stays = np.rint(prices.stays[:, self.poles[pole]] * PRICE).astype(np.int64)
        worth = units + stays @ self.signs[setup_id].astype(np.int64)
        above = np.rint(prices.above * PRICE).astype(np.int64)
        for price, device in zip(above.tolist(), self.above, strict=True):
            if price and device.setup == setup_id and where in device.takes:
                worth = worth - price * device.takes[where] // MILLI
        return np.asarray(worth)

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
        for stay in self.stays:
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
        for device in self.above:
            room_ma = device.room_ma(self.held.percents[device.setup])
            if device.level_ma is not None:
                room_ma = min(room_ma, device.level_ma - device.wired_ma)
            found.append((device.takes, max(room_ma, 0)))
        return found
