"""Asking for a plan that differs in something a gaffer would notice.

Two plans count as the same when every kind of load has as many units on every group of points that
share a circuit; which of two identical heads is where, or which socket it uses, is no difference.
"""

from collections import Counter
from collections.abc import Callable

from spreadload.plan import Plan
from spreadload.solver.model.variables import Variables


def forbid_same_spread(plan: Plan) -> Callable[[Variables], None]:
    """Return a wish for a plan that feeds some head or load from other circuits than ``plan``."""

    def wish(v: Variables) -> None:
        there = Counter(
            (p.setup, p.load, p.place, v.facts.points[p.point].exposure) for p in plan.placements
        )
        placed = Counter((p.setup, p.load, p.place) for p in plan.placements)
        changes = []
        for (demand, exposure), units in v.spread.items():
            was = there[demand.setup, demand.load, demand.place, exposure]
            said = f"{demand} on {exposure.circuits}"
            if was:
                is_less = v.model.new_bool_var(f"fewer {said}")
                v.model.add(units <= was - 1).only_enforce_if(is_less)
                changes.append(is_less)
            # Where every unit has its place, more of them here are fewer elsewhere.
            if placed[demand.setup, demand.load, demand.place] < demand.count:
                is_more = v.model.new_bool_var(f"more {said}")
                v.model.add(units >= was + 1).only_enforce_if(is_more)
                changes.append(is_more)
        v.model.add_bool_or(changes)

    return wish
