"""Finds physical numbers in source text that stand outside a row with a source."""

import ast
from collections.abc import Iterator

# 0 and 1 are neutral elements; 2 is go and return, squares and two legs; 3 is the phases of a
# three-phase supply; 100 is per cent; 1000 is milli and kilo.
PURE_NUMBERS = {0, 1, 2, 3, 100, 1000}


def bare_numbers(tree: ast.AST) -> Iterator[ast.Constant]:
    """Yield the numbers that stand outside every call with a ``source=``."""
    for node in ast.iter_child_nodes(tree):
        if isinstance(node, ast.Call) and any(word.arg == "source" for word in node.keywords):
            continue
        if isinstance(node, ast.FormattedValue):
            yield from bare_numbers(node.value)
        elif isinstance(node, ast.Constant) and isinstance(node.value, int | float | complex):
            if not isinstance(node.value, bool) and node.value not in PURE_NUMBERS:
                yield node
        else:
            yield from bare_numbers(node)
