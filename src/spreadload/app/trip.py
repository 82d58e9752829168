"""The use case of a trip: what was typed, read against the job and the plan, and the answer.

Nothing here prints, and no plan is looked for.
"""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from spreadload.app.loaded import Day, keep_plan
from spreadload.app.note import add_entries
from spreadload.errors import ExitCode, InputError
from spreadload.io.trip_words import TripSaid, read_trip
from spreadload.job.job import Job
from spreadload.job.observations import Log
from spreadload.job.observations import Seen as Kind
from spreadload.on_the_day.scene.scene import Scene
from spreadload.on_the_day.trip.diagnosis import TripAnswer, after_a_trip
from spreadload.on_the_day.trip.report import Report
from spreadload.plan import Plan
from spreadload.report.headed import headed
from spreadload.report.style import Style
from spreadload.report.trip_data import trip_data
from spreadload.report.trip_text import trip_text

__all__ = ["TripSaid", "TripTold", "save_plan", "trip"]

# The same lists within the same minute are the same trip, told again.
_SAME_TRIP_CHARACTERS = 16


@dataclass(frozen=True)
class TripTold:
    """What to do after a trip.

    Attributes:
        answer: What was worked out.
        logged: What became of the log entry, in a sentence.
        is_setup_named: Whether the crew said which set-up runs.
    """

    answer: TripAnswer
    logged: str = ""
    is_setup_named: bool = True

    @property
    def exit_code(self) -> ExitCode:
        """What the shell should see: 3 while it is not clear what opened, 1 for a hard stop."""
        if not self.answer.causes:
            return ExitCode.UNDECIDED
        return ExitCode.BREAKS_A_LIMIT if self.answer.is_second else ExitCode.HOLDS

    @property
    def plan(self) -> Plan:
        """What is rigged once the move is made."""
        return self.answer.plan

    def text(self, style: Style | None = None) -> str:
        """Return the answer as text for a terminal."""
        named = self.is_setup_named
        return trip_text(self.answer, style or Style(), self.logged, is_setup_named=named)

    def data(self) -> dict[str, Any]:
        """Return the answer as data."""
        return headed("trip", trip_data(self.answer) | {"logged": self.logged})


def trip(day: Day, plan: Plan, said: TripSaid) -> TripTold:
    """Say what most likely opened after a trip and the smallest thing to do about it.

    Args:
        day: The job and its log.
        plan: What is rigged.
        said: What the crew typed.

    Raises:
        InputError: With every name that is not in the job, and a delay that cannot be read.
    """
    setup, report = read_trip(day.stated, plan, said)
    log, again = _without_this_trip(day.log, report)
    answer = after_a_trip(day.job, log, plan, setup, report)
    logged = _logged(day, answer, again, is_wanted=said.log)
    return TripTold(answer, logged, is_setup_named=said.setup is not None)


def _logged(day: Day, answer: TripAnswer, again: int | None, *, is_wanted: bool) -> str:
    """Write a trip down where that is wanted, and return what became of it."""
    if again is not None:
        return f"In the log as {again} already."
    if answer.causes and answer.entry is None and answer.is_certain:
        return "Nothing for the log: it says nothing of the board."
    if answer.entry is None:
        return "Not in the log: say which handle is down with --device."
    if not is_wanted:
        return "Not in the log yet: add --log."
    try:
        noted = add_entries(day, (answer.entry,), keep=True)
    except InputError as error:
        # The crew waits for the answer; a full disk must not keep it from them.
        return f"NOT in the log, write it on paper: {error}"
    return f"In the log as {noted.entries[0][0]}."


def _without_this_trip(log: Log, report: Report) -> tuple[Log, int | None]:
    """Return the log before this very trip, and the number it has if it was noted already."""
    for n, seen in reversed(log.standing):
        if seen.what not in (Kind.TRIP, Kind.RCD):
            continue
        same = (seen.dark, seen.still_on) == (report.seen.dark, report.seen.lit)
        near = seen.when[:_SAME_TRIP_CHARACTERS] == report.when[:_SAME_TRIP_CHARACTERS]
        devices = (None, seen.rcd, *seen.circuits[:1])
        is_it = report.device in devices or len(seen.circuits) > 1
        if same and near and is_it:
            kept = (*log.observations[: n - 1], *log.observations[n:])
            return Log(observations=kept), n
        break
    return log, None


def save_plan(path: Path, job: Job, scene: Scene, after: Plan, whole: Plan) -> None:
    """Write the plan after a move, set-ups that are over as they were.

    Raises:
        InputError: The file cannot be written.
    """
    over = tuple(p for p in whole.placements if p.setup not in scene.remaining)
    keep_plan(path, job, whole.model_copy(update={"placements": (*over, *after.placements)}))
