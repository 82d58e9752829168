"""The door to CP-SAT: OR-Tools without the tables it loads for callers who want tables.

``cp_model`` imports pandas for functions that make a whole column of decisions at a time. Nothing
here calls them, and loading pandas takes longer than all the rest of OR-Tools: 0.25 of 0.4 s, paid
by every command that plans. While ``cp_model`` loads, a stand-in gives the two names its signatures
mention; asked for anything more, it steps aside for pandas itself.
"""

import sys
from importlib import import_module
from types import ModuleType

__all__ = ["cp_model"]


class StandIn(ModuleType):
    """Pandas as far as signatures go; nothing is ever an instance of its two classes."""

    Index = type("Index", (), {})
    Series = type("Series", (), {})

    def __getattr__(self, name: str) -> object:
        """Return what pandas has under a name that was not foreseen."""
        if sys.modules.get(self.__name__) is self:
            del sys.modules[self.__name__]
        return getattr(import_module(self.__name__), name)


_is_standing_in = "pandas" not in sys.modules
if _is_standing_in:
    sys.modules["pandas"] = StandIn("pandas")
try:
    from ortools.sat.python import cp_model
finally:
    if _is_standing_in and isinstance(sys.modules.get("pandas"), StandIn):
        del sys.modules["pandas"]
