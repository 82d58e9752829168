"""The fewest colours that part what must be parted: how many rounds a set of pairs needs.

Imports nothing of the project.
"""

from collections.abc import Iterable, Sequence
from functools import cache
from math import ceil, log2


@cache
def fewest_rounds(pairs: frozenset[tuple[int, int]]) -> int:
    """Return in how many rounds every pair can be parted at least once.

    A round puts each circuit on one of two sides. So many rounds give each circuit a pattern, and
    circuits of a pair need patterns that differ: a colouring with two colours per round to the
    power of rounds.

    Source:
        F. Harary, D. Hsu, Z. Miller, The biparticity of a graph, Journal of Graph Theory 1 (1977)
        131-133: a graph is the union of k bipartite graphs if and only if 2^k colours suffice.
    """
    return ceil(log2(fewest_colours(pairs))) if pairs else 0


def fewest_colours(pairs: Iterable[tuple[int, int]]) -> int:
    """Return the fewest colours with which no pair gets one colour twice; 1 without pairs."""
    near: dict[int, set[int]] = {}
    for a, b in pairs:
        near.setdefault(a, set()).add(b)
        near.setdefault(b, set()).add(a)
    order = sorted(near, key=lambda n: (-len(near[n]), n))
    most = 1
    while not _can_colour(near, order, {}, most):
        most += 1
    return most


def _can_colour(
    near: dict[int, set[int]], order: Sequence[int], colours: dict[int, int], most: int
) -> bool:
    if len(colours) == len(order):
        return True
    node = order[len(colours)]
    taken = {colours[n] for n in near[node] if n in colours}
    # A colour nobody has yet is as good as any other such: one of them is tried.
    used = max(colours.values(), default=-1) + 1
    return any(
        _can_colour(near, order, colours | {node: colour}, most)
        for colour in range(min(used + 1, most))
        if colour not in taken
    )
