"""What ties set-ups together when units are dealt out: wired loads, and what stays plugged in."""

from collections import defaultdict
from itertools import pairwise
from typing import NamedTuple

from spreadload.derived.facts import Facts
from spreadload.derived.points import exposure
from spreadload.solver.large.shares import Bin, Sharing


class Stay(NamedTuple):
    """Units of a load that are asked for in one set-up and in the next one that lights it.

    Attributes:
        cost: What each that changes its point costs.
        growth: How many more there are in the second.
    """

    load: str
    before: str
    after: str
    cost: int
    growth: int


def wired_ma(facts: Facts) -> dict[Bin, int]:
    """Return what hard-wired loads that stay on take of each circuit pole [mA]."""
    found: dict[Bin, int] = defaultdict(int)
    for setup_id, asked in facts.demands.items():
        for demand in asked:
            if demand.circuit is None or demand.may_be_off:
                continue
            circuit = facts.circuits[demand.circuit]
            counted_ma = facts.counted_ma(setup_id, demand.load, circuit.poles)
            for pole in exposure([circuit], None, frozenset()).circuits:
                found[setup_id, pole] += demand.count * counted_ma
    return found


def stays_of(facts: Facts, what: Sharing) -> list[Stay]:
    """Return every load lit in two set-ups that is dealt out in both, all of it."""
    dealt = set(what.demands)
    found: list[Stay] = []
    lit: dict[str, dict[str, int]] = defaultdict(dict)
    whole: dict[tuple[str, str], bool] = defaultdict(lambda: True)
    for setup_id, asked in facts.demands.items():
        for demand in asked:
            if demand.circuit is None:
                lit[demand.load][setup_id] = lit[demand.load].get(setup_id, 0) + demand.count
                whole[demand.load, setup_id] &= demand in dealt
    for load, counts in sorted(lit.items()):
        setups = list(counts)
        for before, after in pairwise(setups):
            if whole[load, before] and whole[load, after]:
                growth = counts[after] - counts[before]
                found.append(Stay(load, before, after, facts.loads[load].replug_cost, growth))
    return found
