"""How much cable a day needs at least: every place served at its cheapest, whatever the others do.

The units of one place may sit on runs of their own or several on a power board that stands there.
Which is cheapest is a small packing, solved exactly, since whole boards and leads are most of what
cable costs. That places share circuits, sockets and stock is left out, so that nothing needs less.
"""

from collections import defaultdict
from collections.abc import Hashable, Iterable, Sequence
from itertools import product
from math import prod

from spreadload.derived.asked import Demand
from spreadload.derived.facts import Facts
from spreadload.solver.model.candidates import Candidate, Options, Run
from spreadload.solver.model.goals import BOARD_COST_M, LEAD_COST_M
from spreadload.units import whole_metres

NO_WAY = 10**9
# What a power board may be worth beyond what it costs, where there are too few [m].
BOARD_PRICES_M = (0, 5, 10, 15, 20)
# Ways to have some of a place's units still to serve; with more, boards are shared out in parts.
_MOST_STATES = 2000

Units = tuple[int, ...]
# Metres of leads and boards, and how many power boards these are.
Cost = tuple[int, int]


def cable_bound(facts: Facts, options: Options) -> int:
    """Return what the goal ``cable`` is never below when no head is left out.

    Args:
        facts: The job, worked out.
        options: Everything each plugged-in demand may use.
    """
    total = 0
    for asked in facts.demands.values():
        places: dict[str, list[Demand]] = defaultdict(list)
        for demand in asked:
            if demand.circuit is None and not demand.may_be_off:
                places[demand.place or demand.load].append(demand)
        total += sum(least_of_place(facts, demands, options) for demands in places.values())
    return total


def least_of_place(facts: Facts, demands: Sequence[Demand], options: Options) -> int:
    """Return the least that serving the units of one place costs."""
    counts = tuple(demand.count for demand in demands)
    if prod(count + 1 for count in counts) > _MOST_STATES:
        return _in_parts(facts, demands, options)
    return _cheapest(counts, _loads(facts, demands, options), 0)[counts][0]


def serving_costs(
    facts: Facts,
    demands: Sequence[Demand],
    options: Options,
    known: dict[Hashable, dict[Units, frozenset[Cost]]],
) -> dict[Units, frozenset[Cost]]:
    """Return what serving any part of the units of one place costs at least, none included.

    Where boards are scarce each is worth some metres: for every such price there is one cost that
    is the least.

    Args:
        facts: The job, worked out.
        demands: What stands at the place.
        options: What each of them may use; nothing where it cannot come at all.
        known: What was worked out before; most circuits are in reach of the same leads.
    """
    there = [n for n, demand in enumerate(demands) if options[demand]]
    counts = tuple(demands[n].count for n in there)
    loads = _loads(facts, [demands[n] for n in there], options)
    key = (counts, tuple(there), tuple(loads))
    if key not in known:
        whole = (0,) * len(demands)
        found: dict[Units, set[Cost]] = defaultdict(set)
        for board_m in BOARD_PRICES_M:
            for units, cost in _cheapest(counts, loads, board_m).items():
                found[_spread(whole, there, units)].add(cost)
        known[key] = {units: frozenset(costs) for units, costs in found.items()}
    return known[key]


def _spread(whole: Units, there: Sequence[int], units: Units) -> Units:
    made = list(whole)
    for n, count in zip(there, units, strict=True):
        made[n] = count
    return tuple(made)


def _in_parts(facts: Facts, demands: Sequence[Demand], options: Options) -> int:
    """Return the least where each unit pays its part of a full board: too many units to pack."""
    ways = max((board.ways for board in facts.boards), default=1)
    total = 0
    for demand in demands:
        alone, beside = (_least(facts, each) for each in _runs(options[demand]))
        total += min(alone * ways, beside + BOARD_COST_M) * demand.count // ways
    return total


def _loads(facts: Facts, demands: Sequence[Demand], options: Options) -> list[tuple[Units, Cost]]:
    """Return what one run can carry, with the least that it costs."""
    ways = max((board.ways for board in facts.boards), default=0)
    full_ma = max((board.rating_ma for board in facts.boards), default=0)
    sizes_ma = [min((o.unit_ma for o in options[demand]), default=0) for demand in demands]
    runs = [_runs(options[demand]) for demand in demands]
    beside = [_least(facts, remote) for _, remote in runs]
    found: list[tuple[Units, Cost]] = []
    for units in product(*(range(min(demand.count, max(ways, 1)) + 1) for demand in demands)):
        load_ma = sum(u * size_ma for u, size_ma in zip(units, sizes_ma, strict=True))
        if 0 < sum(units) <= ways and load_ma <= full_ma:
            metres = BOARD_COST_M + max(beside[n] for n, some in enumerate(units) if some)
            found.append((units, (metres, 1)))
    for n, (own, _) in enumerate(runs):
        alone = tuple(int(k == n) for k in range(len(runs)))
        found.append((alone, (_least(facts, own), 0)))
    return found


def _cheapest(
    counts: Units, loads: Sequence[tuple[Units, Cost]], board_m: int
) -> dict[Units, Cost]:
    """Return the least cost of runs that carry any part of the units.

    The first kind left goes first.

    Args:
        counts: Units of each kind.
        loads: What one run can carry.
        board_m: What a power board is worth beyond what it costs [m].
    """
    by_first: dict[int, list[tuple[Units, Cost]]] = defaultdict(list)
    for units, cost in loads:
        by_first[_first(units)].append((units, cost))
    best = {(0,) * len(counts): (0, 0)}
    for left in product(*(range(count + 1) for count in counts)):
        if left not in best:
            ways = [
                (metres + best[rest][0], boards + best[rest][1])
                for units, (metres, boards) in by_first[_first(left)]
                if min(rest := tuple(a - b for a, b in zip(left, units, strict=True))) >= 0
            ]
            best[left] = min(ways, key=lambda cost: (cost[0] + board_m * cost[1], cost[1]))
    return best


def _first(units: Units) -> int:
    return next(n for n, some in enumerate(units) if some)


def _runs(options: Iterable[Candidate]) -> tuple[list[Run], list[Run]]:
    """Return the runs that a unit has for itself, and those through a board at its place."""
    each = list(options)
    return [r for o in each for r in o.runs], [r for o in each for r in o.remote]


def _least(facts: Facts, runs: Iterable[Run]) -> int:
    """Return the least that the lead of any run costs; a board lying at an outlet comes free."""
    return min((_lead(facts, run) for run in runs), default=NO_WAY)


def _lead(facts: Facts, run: Run) -> int:
    lengths_m = [facts.leads[index].length_m for index in run.leads]
    return whole_metres(min(lengths_m)) + LEAD_COST_M if lengths_m else 0
