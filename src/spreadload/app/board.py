"""The use case about the switchboard: what each way feeds, and what the house can give in all.

Reached through ``app``'s job reader; never loads the solver.
"""

from dataclasses import dataclass
from typing import Any

from spreadload.derived.facts import Facts
from spreadload.errors import ExitCode
from spreadload.job.job import Job
from spreadload.job.observations import Log
from spreadload.report.headed import headed
from spreadload.report.style import Style
from spreadload.report.usable_text import usable_data, usable_text
from spreadload.wiring.evidence import learned
from spreadload.wiring.usable import Usable, usable


@dataclass(frozen=True)
class BoardTold:
    """The switchboard as read."""

    usable: Usable

    @property
    def exit_code(self) -> ExitCode:
        """What the shell should see: reading a board cannot fail."""
        return ExitCode.HOLDS

    def text(self, style: Style | None = None) -> str:
        """Return the board as text for a terminal."""
        return usable_text(self.usable, style or Style())

    def data(self) -> dict[str, Any]:
        """Return the board as data."""
        return headed("board", usable_data(self.usable))


def read_board(job: Job, log: Log | None = None) -> BoardTold:
    """Read the switchboard of a job, with what the log proves put in."""
    return BoardTold(usable(Facts.of(job if log is None else learned(job, log))))
