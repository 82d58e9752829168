"""Several goals as one sum: the first counts for more than all that follow together."""

from collections.abc import Iterable, Mapping, Sequence
from math import prod

from spreadload.job.preferences import Goal
from spreadload.solver.engine.cp import cp_model
from spreadload.solver.model.variables import Linear, Variables, evaluate, weighted


def most_of(v: Variables, aim: Linear) -> int:
    """Return what a sum can never be above."""
    if isinstance(aim, int):
        return aim
    flat = cp_model.FlatIntExpr(aim)
    pairs = zip(flat.vars, flat.coeffs, strict=True)
    return int(flat.offset + sum(max(c, 0) * v.upper(x) for x, c in pairs))


def ceiling(v: Variables, aims: Iterable[Linear]) -> int:
    """Return how many values several sums can have together."""
    return prod(most_of(v, aim) + 1 for aim in aims)


def one_sum(v: Variables, sums: Mapping[Goal, Linear]) -> Linear:
    """Return one sum that orders plans as the goals in their order do."""
    terms = [(worth, sums[goal]) for goal, worth in _worths(v, sums).items()]
    return weighted(reversed(terms))


def opened(
    v: Variables, sums: Mapping[Goal, Linear], values: Sequence[int], bound: int
) -> dict[Goal, tuple[int, int]]:
    """Return which goals solved together are not proved, with value and proved bound.

    Args:
        v: The decisions.
        sums: The goals in their order.
        values: The value of every decision.
        bound: What the one sum is proved never to fall below.
    """
    left = bound
    open_goals: dict[Goal, tuple[int, int]] = {}
    goals = list(sums)
    for goal, worth in _worths(v, sums).items():
        best, least = evaluate(sums[goal], values), max(left // worth, 0)
        if open_goals:
            open_goals[goal] = (best, 0)
        elif best > least or goal is goals[-1]:
            open_goals[goal] = (best, min(least, best))
        left -= least * worth
    return open_goals


def _worths(v: Variables, sums: Mapping[Goal, Linear]) -> dict[Goal, int]:
    """Return what one of each goal counts, in their order."""
    worths: dict[Goal, int] = {}
    worth = 1
    for goal in reversed(list(sums)):
        worths[goal] = worth
        worth *= most_of(v, sums[goal]) + 1
    return {goal: worths[goal] for goal in sums}
