"""What can only be on one circuit, and is more than that gives: a sum that needs no search.

Wired in, or bound to a room or an outlet of it. Nothing here solves.
"""

from collections import defaultdict
from dataclasses import dataclass

from spreadload.derived.asked import Demand
from spreadload.derived.facts import Facts
from spreadload.solver.model.candidates import candidates


@dataclass(frozen=True)
class Crowded:
    """A circuit with more bound to it than it gives.

    Attributes:
        circuit: Circuit id.
        need_ma: Counted amps of everything that can be nowhere else [mA].
        cap_ma: What it gives [mA].
    """

    circuit: str
    need_ma: int
    cap_ma: int


def crowded_circuit(facts: Facts, setup: str) -> Crowded | None:
    """Return the first circuit of the board that is asked for too much in any split."""
    bound_ma: dict[str, int] = defaultdict(int)
    for demand in facts.demands[setup]:
        circuit = None if demand.may_be_off else _only_circuit(facts, demand)
        if circuit is not None:
            bound_ma[circuit] += demand.count * facts.counted_ma(setup, demand.load, 1)
    for circuit, need_ma in bound_ma.items():
        cap_ma = facts.circuits[circuit].cap_ma
        if need_ma > cap_ma:
            return Crowded(circuit, need_ma, cap_ma)
    return None


def _only_circuit(facts: Facts, demand: Demand) -> str | None:
    """Return the one circuit of one pole that a demand can be on, or None."""
    reached = {demand.circuit} if demand.circuit is not None else set()
    if demand.circuit is None:
        for option in candidates(facts, demand):
            reached |= option.point.exposure.might_be_on
    only = next(iter(reached)) if len(reached) == 1 else None
    return only if only is not None and facts.circuits[only].poles == 1 else None
