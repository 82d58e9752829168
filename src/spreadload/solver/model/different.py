"""Asking for a plan that differs in something a gaffer would notice.

Two plans count as the same when in every set-up every kind of load has as many units on every group
of points that share a circuit. Which of two identical heads is where, which of their places is lit
from which circuit, or which socket one uses, is no difference: every circuit carries the same.
"""

from collections import Counter, defaultdict
from collections.abc import Callable

from spreadload.derived.records import Exposure
from spreadload.plan import Plan
from spreadload.solver.model.variables import Linear, Variables, total


def forbid_same_spread(plan: Plan) -> Callable[[Variables], None]:
    """Return a wish for a plan that feeds some kind of load from other circuits than ``plan``."""

    def wish(v: Variables) -> None:
        there = Counter(
            (p.setup, p.load, v.facts.points[p.point].exposure) for p in plan.placements
        )
        placed = Counter((p.setup, p.load) for p in plan.placements)
        asked = Counter[tuple[str, str]]()
        for demand in v.options:
            asked[demand.setup, demand.load] += demand.count
        changes = []
        for (setup, load, exposure), units in _spread_of_kinds(v).items():
            was = there[setup, load, exposure]
            said = f"{load} in {setup} on {exposure.circuits}"
            if was:
                is_less = v.model.new_bool_var(f"fewer {said}")
                v.model.add(units <= was - 1).only_enforce_if(is_less)
                changes.append(is_less)
            # Where every unit has its place, more of them here are fewer elsewhere.
            if placed[setup, load] < asked[setup, load]:
                is_more = v.model.new_bool_var(f"more {said}")
                v.model.add(units >= was + 1).only_enforce_if(is_more)
                changes.append(is_more)
        v.model.add_bool_or(changes)

    return wish


def _spread_of_kinds(v: Variables) -> dict[tuple[str, str, Exposure], Linear]:
    """Return the units of each kind of load, of all its places, on points of one exposure."""
    found: dict[tuple[str, str, Exposure], list[Linear]] = defaultdict(list)
    for (demand, exposure), units in v.spread.items():
        found[demand.setup, demand.load, exposure].append(units)
    return {key: total(units) for key, units in found.items()}
