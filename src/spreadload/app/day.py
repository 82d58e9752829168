"""The door to the use cases of the recce and the day: note, trip, trace, replan.

Each is loaded when it is first used, so that who asks what tripped does not wait for the others.
Nothing here prints.
"""

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from spreadload.app.loaded import Day, find_plan, keep_plan, load_day
    from spreadload.app.note import LogTold, Noted, add_entries, list_log, merge, note, strike
    from spreadload.app.replan import ReplanSaid, ReplanTold, replan
    from spreadload.app.trace import TraceSaid, TraceTold, trace
    from spreadload.app.trip import TripTold, save_plan, trip
    from spreadload.io.trip_words import TripSaid
    from spreadload.solver.engine.limits import SolverConfig

__all__ = [
    "Day",
    "LogTold",
    "Noted",
    "ReplanSaid",
    "ReplanTold",
    "SolverConfig",
    "TraceSaid",
    "TraceTold",
    "TripSaid",
    "TripTold",
    "add_entries",
    "find_plan",
    "keep_plan",
    "list_log",
    "load_day",
    "merge",
    "note",
    "replan",
    "save_plan",
    "strike",
    "trace",
    "trip",
]

_ROOMS = {
    "app.loaded": ("Day", "find_plan", "keep_plan", "load_day"),
    "app.note": ("LogTold", "Noted", "add_entries", "list_log", "merge", "note", "strike"),
    "app.replan": ("ReplanSaid", "ReplanTold", "replan"),
    "app.trace": ("TraceSaid", "TraceTold", "trace"),
    "app.trip": ("TripTold", "save_plan", "trip"),
    "io.trip_words": ("TripSaid",),
    "solver.engine.limits": ("SolverConfig",),
}
_HOME = {name: f"spreadload.{room}" for room, names in _ROOMS.items() for name in names}


def __getattr__(name: str) -> object:
    """Return a public name from where it lives."""
    if name not in _HOME:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(_HOME[name]), name)
