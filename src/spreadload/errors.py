"""Everything that can go wrong, as data, and the exit code of each.

    SpreadloadError
    ├── InputError      the job, plan, log or command line is wrong; carries every fault found
    ├── NoPlanError     a command that looks at a plan was given none, and there is none
    └── InternalError   our own fault: the judge refused a plan our solver called good

"No plan exists" and "not decided in the time allowed" are outcomes, not errors, wherever a plan is
what was asked for: see ``plan.py``.
This module imports nothing of the project.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import IntEnum


class ExitCode(IntEnum):
    """What the shell sees."""

    HOLDS = 0
    BREAKS_A_LIMIT = 1
    BAD_INPUT = 2
    UNDECIDED = 3
    OUR_FAULT = 4


@dataclass(frozen=True, order=True)
class Fault:
    """One thing wrong with an input, with where it stands and how to mend it.

    Attributes:
        file: The file as the user named it, or "" for the command line.
        line: Line in that file, from 1; 0 when the fault has no line.
        key: Dotted path of the entry, such as ``circuits.P1.breaker_a``.
        problem: What is wrong, as a short clause without a full stop.
        value: The offending value as written, or "".
        limit: What would be allowed, or "".
        remedy: The next step for the user, or "".
    """

    file: str
    line: int
    key: str
    problem: str
    value: str = ""
    limit: str = ""
    remedy: str = ""

    def __str__(self) -> str:
        """Return the fault as one or two lines of plain text."""
        place = f"{self.file}:{self.line}" if self.line else self.file
        head = ": ".join(part for part in ("error", place, self.key) if part)
        said = f" (is {self.value})" if self.value else ""
        allowed = f"; allowed: {self.limit}" if self.limit else ""
        hint = f"\n  hint: {self.remedy}" if self.remedy else ""
        return f"{head}: {self.problem}{said}{allowed}{hint}"


class SpreadloadError(Exception):
    """Root of every error the project raises."""

    exit_code = ExitCode.OUR_FAULT


class InputError(SpreadloadError):
    """The input cannot be used; every fault found in one pass is in ``faults``."""

    exit_code = ExitCode.BAD_INPUT

    def __init__(self, faults: Iterable[Fault]) -> None:
        """Keep the faults in file order, each once."""
        self.faults: tuple[Fault, ...] = tuple(sorted(set(faults)))
        super().__init__("\n".join(str(fault) for fault in self.faults))


class NoPlanError(SpreadloadError):
    """There is no plan to look at; the text is the answer to the job itself."""

    def __init__(self, answer: str, exit_code: ExitCode) -> None:
        """Keep the answer and whether it is proved."""
        self.exit_code = exit_code
        super().__init__(answer)


class InternalError(SpreadloadError):
    """Our own mistake, never the user's."""

    exit_code = ExitCode.OUR_FAULT
