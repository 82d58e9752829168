"""Two rules of thumb a crew might use, judged unit by unit: what benchmarks compare with.

*Nearest outlet*: each head in the order of the list to the nearest outlet that still takes it.
*Largest first*: the largest head first, each to the outlet whose circuit has most room left.
Neither moves a head again. Both know every limit the solver knows; they lack only the search.
"""

from collections.abc import Callable

from spreadload.derived.asked import Demand
from spreadload.derived.facts import Facts
from spreadload.solver.model.candidates import Candidate
from spreadload.solver.search.greedy import Greedy


def fits_largest_first(facts: Facts) -> bool:
    """Whether largest first finds room for everything."""
    return Greedy(facts).plan() is not None


def fits_nearest_outlet(facts: Facts) -> bool:
    """Whether nearest outlet finds room for everything."""
    return NearestOutlet(facts).plan() is not None


class NearestOutlet(Greedy):
    """Each unit of the list in its order, at the nearest outlet that still takes it."""

    def order(self, options: dict[Demand, tuple[Candidate, ...]]) -> list[Demand]:
        """Return the demands as the list has them."""
        return sorted(options)

    def price(self) -> Callable[[bool, int, float], tuple[float, ...]]:
        """Return what makes an outlet better: the shorter way."""
        return lambda _moved, fullest_pct, length_m: (length_m, float(fullest_pct))
