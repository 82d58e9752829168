"""The door to the use cases of the recce and the day: note, trip, first moves, trace, replan.

Nothing here prints.
"""

from spreadload.app.loaded import Day, find_plan, keep_plan, load_day, require_setup
from spreadload.app.note import LogTold, Noted, add_entries, list_log, merge, note, strike
from spreadload.app.replan import ReplanSaid, ReplanTold, replan
from spreadload.app.trace import TraceSaid, TraceTold, trace
from spreadload.app.trip import TripTold, save_plan, trip
from spreadload.io.trip_words import TripSaid
from spreadload.on_the_day.first_moves import FirstMove
from spreadload.on_the_day.first_moves import first_moves as work_out_first_moves
from spreadload.plan import Plan
from spreadload.solver.limits import SolverConfig

__all__ = [
    "Day",
    "FirstMove",
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
    "first_moves",
    "keep_plan",
    "list_log",
    "load_day",
    "merge",
    "note",
    "replan",
    "require_setup",
    "save_plan",
    "strike",
    "trace",
    "trip",
]


def first_moves(day: Day, plan: Plan) -> tuple[FirstMove, ...]:
    """Return a first move for every circuit a plan loads, worked out beforehand."""
    return work_out_first_moves(day.job, day.log, plan)
