"""What part of the units of a place may go to one circuit, and what cable that takes at least.

Most of what cable costs is decided here: units of one place that go to the same circuit share power
boards and leads, units that go to different ones do not.
"""

from collections import defaultdict
from collections.abc import Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np

from spreadload.derived.asked import Demand
from spreadload.derived.facts import Facts
from spreadload.solver.engine.excerpt import Ints
from spreadload.solver.large.cable_bound import NO_WAY, Cost, Units, least_of_place, serving_costs
from spreadload.solver.model.candidates import Candidate, Options

# One pole of one circuit in one set-up. What might be on several is held against the first alone,
# so that nothing proved of all circuits together asks too much.
Bin: TypeAlias = tuple[str, tuple[str, str]]

# Where an outlet is on no circuit for sure.
NOWHERE = ("", "")
# What finding the prices takes for every share of every circuit [s] (fitted to three sizes).
_PRICE_S = 170e-6
# A place with more ways to divide its units is left out, and costs what it costs by itself.
_MOST_SHARES = 400


@dataclass(frozen=True)
class Shares:
    """Everything that one circuit may carry of the units of one place in one set-up.

    Attributes:
        demands: Number of each demand of the place.
        units: Units of each of these demands; one row for each share and way to serve it.
        metres: What the leads and boards of each share cost at least.
        amps_ma: What each share counts against the breaker [mA].
        big: Big discharge units in each share.
        boards: Power boards that these metres take.
    """

    demands: Ints
    units: Ints
    metres: Ints
    amps_ma: Ints
    big: Ints
    boards: Ints

    def only(self, kept: Ints) -> "Shares":
        """Return some of the shares."""
        return Shares(
            self.demands,
            self.units[kept],
            self.metres[kept],
            self.amps_ma[kept],
            self.big[kept],
            self.boards[kept],
        )

    def at_price(self, board_m: int) -> "Shares":
        """Return every share once, served the cheapest way when a board costs so much more [m].

        The price is among the metres then, and no board counts any more.
        """
        metres = self.metres + board_m * self.boards
        order = np.lexsort((self.boards, metres, *self.units.T))
        _, first = np.unique(self.units[order], axis=0, return_index=True)
        kept = np.sort(order[first])
        made = self.only(kept)
        return replace(made, metres=metres[kept], boards=np.zeros(len(kept), dtype=np.int64))


@dataclass(frozen=True)
class Sharing:
    """A day as units to be dealt out over circuits.

    Attributes:
        demands: What is dealt out; its place here is its number.
        bins: Per circuit pole and set-up, the shares of every place that reaches it.
        apart_m: What is left out costs at least so much [m].
    """

    demands: tuple[Demand, ...]
    bins: Mapping[Bin, tuple[Shares, ...]]
    apart_m: int

    def at_prices(self, boards_m: Mapping[str, int]) -> "Sharing":
        """Return the same with every share served the cheapest way at a price.

        Args:
            boards_m: What a board is worth in each set-up beyond what it costs [m].
        """
        known: dict[tuple[int, int], Shares] = {}
        bins: dict[Bin, tuple[Shares, ...]] = {}
        for where, each in self.bins.items():
            board_m = boards_m[where[0]]
            for shares in each:
                if (id(shares), board_m) not in known:
                    known[id(shares), board_m] = shares.at_price(board_m)
            bins[where] = tuple(known[id(shares), board_m] for shares in each)
        return replace(self, bins=bins)


def bin_of(option: Candidate) -> Bin:
    """Return where units of a demand at a point are counted."""
    return option.demand.setup, min(option.point.exposure.circuits, default=NOWHERE)


def prices_s(what: Sharing) -> float:
    """Return about how much work it takes to find the prices of a day [s]."""
    return _PRICE_S * sum(len(shares.metres) for each in what.bins.values() for shares in each)


def sharing(facts: Facts, options: Options) -> Sharing:
    """Return what may be dealt out how; loads that may be off are left out.

    Args:
        facts: The job, worked out.
        options: Everything each plugged-in demand may use.
    """
    dealt: list[Demand] = []
    bins: dict[Bin, list[Shares]] = defaultdict(list)
    apart_m = 0
    known: dict[Hashable, Shares] = {}
    costs: dict[Hashable, dict[Units, frozenset[Cost]]] = {}
    for demands in _places(facts):
        if _ways(demands) > _MOST_SHARES:
            apart_m += least_of_place(facts, demands, options)
            continue
        numbers = np.arange(len(dealt), len(dealt) + len(demands))
        dealt += demands
        for where, near in _by_bin(demands, options):
            served = serving_costs(facts, demands, near, costs)
            shares = _shares(facts, near, numbers, served, known)
            if len(shares.metres):
                bins[where].append(shares)
    return Sharing(tuple(dealt), {where: tuple(each) for where, each in bins.items()}, apart_m)


def _places(facts: Facts) -> Iterator[tuple[Demand, ...]]:
    """Yield the demands of each place in each set-up that are sure to be plugged in."""
    for asked in facts.demands.values():
        places: dict[str, list[Demand]] = defaultdict(list)
        for demand in asked:
            if demand.circuit is None and not demand.may_be_off:
                places[demand.place or demand.load].append(demand)
        yield from (tuple(demands) for demands in places.values())


def _ways(demands: Sequence[Demand]) -> int:
    ways = 1
    for demand in demands:
        ways *= demand.count + 1
    return ways


def _by_bin(
    demands: Sequence[Demand], options: Options
) -> Iterator[tuple[Bin, dict[Demand, tuple[Candidate, ...]]]]:
    """Yield every bin in reach with what each demand of a place may use there."""
    found: dict[Bin, dict[Demand, list[Candidate]]] = defaultdict(lambda: defaultdict(list))
    for demand in demands:
        for option in options[demand]:
            found[bin_of(option)][demand].append(option)
    for where, near in found.items():
        yield where, {demand: tuple(near.get(demand, ())) for demand in demands}


def _shares(
    facts: Facts,
    near: Mapping[Demand, tuple[Candidate, ...]],
    numbers: Ints,
    served: dict[Units, frozenset[Cost]],
    known: dict[Hashable, Shares],
) -> Shares:
    """Return the shares of a place that may go to one bin; alike bins have the same."""
    amps_ma = [min((o.counted_ma for o in each), default=0) for each in near.values()]
    key = (int(numbers[0]), tuple(amps_ma), id(served))
    if key not in known:
        ways = [
            (row, metres, boards)
            for row, costs in served.items()
            for metres, boards in sorted(costs)
            if any(row) and metres < NO_WAY
        ]
        units = np.array([row for row, _, _ in ways], dtype=np.int64).reshape(-1, len(near))
        is_big = [facts.loads[demand.load].is_big_discharge for demand in near]
        known[key] = Shares(
            numbers,
            units,
            np.array([metres for _, metres, _ in ways], dtype=np.int64),
            units @ np.array(amps_ma, dtype=np.int64),
            units @ np.array(is_big, dtype=np.int64),
            np.array([boards for _, _, boards in ways], dtype=np.int64),
        )
    return known[key]
