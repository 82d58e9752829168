"""The use cases of paper: the sheet with its lists, and the recce sheet. Nothing here prints."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Any

from spreadload.app.planning import check_plan, plan_job
from spreadload.errors import ExitCode, Fault, InputError
from spreadload.explain.answer import Answer, kept_answer
from spreadload.explain.briefing import Briefing
from spreadload.explain.recce import recce
from spreadload.explain.sheet import Made, Sheet, sheet
from spreadload.io.atomic import write_text_atomic
from spreadload.io.plan_file import job_digest
from spreadload.job.job import Job
from spreadload.job.observations import Log
from spreadload.on_the_day.trip.prepared import prepared_moves
from spreadload.plan import Chance, Outcome, Plan, chance_shown
from spreadload.practice import region_ids
from spreadload.report.headed import headed
from spreadload.report.recce import recce_html
from spreadload.report.sheet import sheet_html, table_csv
from spreadload.solver.engine.limits import SolverConfig
from spreadload.suggest import suggest

_REVISION_CHARACTERS = 6


@dataclass(frozen=True)
class SheetTold:
    """What became of making a sheet.

    Attributes:
        sheet: The sheet, or None when there is no plan to put on it.
    """

    answer: Answer
    exit_code: ExitCode
    sheet: Sheet | None

    def html(self) -> str:
        """Return the sheet as one self-contained page, or "" without a plan."""
        return "" if self.sheet is None else sheet_html(self.sheet)

    def lists(self) -> dict[str, str]:
        """Return every list as CSV by file name."""
        found = () if self.sheet is None else self.sheet.tables
        return {f"{table.name}.csv": table_csv(table) for table in found}

    def text(self) -> str:
        """Return the answer in one line."""
        return self.answer.text

    def data(self) -> dict[str, Any]:
        """Return the answer as data, with the names of the lists."""
        made = None if self.sheet is None else self.sheet.made
        said = {
            "answer": self.answer.says.value,
            "text": self.answer.text,
            "made": None if made is None else {"when": made.when, "revision": made.revision},
            "main_setup": None if self.sheet is None else self.sheet.main,
            "lists": list(self.lists()),
        }
        return headed("sheet", said)


def sheet_of(
    job: Job,
    plan: Plan | None = None,
    *,
    config: SolverConfig | None = None,
    revision: str = "",
    now: datetime | None = None,
    log: Log | None = None,
    others: Sequence[Plan] = (),
) -> SheetTold:
    """Make the sheet of a job and its plan; the plan is looked for when none is given.

    Args:
        job: The job.
        plan: The plan to put on it.
        config: Time limit and the like, when a plan has to be found.
        revision: What the crew calls it; the first letters of the job's digest when "".
        now: Date and time to write on it; the clock's when None.
        log: What was observed so far.
        others: Plans ranked behind the one given, to be shown beside it.
    """
    digest = job_digest(job)
    when = (now or datetime.now().astimezone()).strftime("%a %d %b %Y, %H:%M")
    made = Made(when, revision or digest[:_REVISION_CHARACTERS], digest)
    found = _explained(job, plan, config, log)
    if found.briefing is None:
        return SheetTold(found.answer, found.exit_code, None)
    moves = prepared_moves(job, log or Log(), found.briefing, every_setup=True)
    made_sheet = sheet(
        replace(found.briefing, first_moves=moves),
        found.answer,
        made,
        stated=job,
        outcome=found.outcome,
        chance=found.chance,
        log=log,
        others=others,
    )
    return SheetTold(found.answer, found.exit_code, made_sheet)


@dataclass(frozen=True)
class _Explained:
    answer: Answer
    exit_code: ExitCode
    briefing: Briefing | None
    outcome: Outcome | None
    chance: Chance | None


def _explained(
    job: Job, plan: Plan | None, config: SolverConfig | None, log: Log | None
) -> _Explained:
    if plan is not None:
        held = check_plan(job, plan, log=log)
        judged = held.briefing.judged
        said = kept_answer(judged.facts, plan, judged.verdict, held.chance)
        return _Explained(said, held.exit_code, held.briefing, None, held.chance)
    found = plan_job(job, config, log=log)
    chance = chance_shown(found.outcome)
    return _Explained(found.answer, found.exit_code, found.briefing, found.outcome, chance)


@dataclass(frozen=True)
class RecceTold:
    """A recce sheet for one region."""

    region: str
    exit_code: ExitCode = ExitCode.HOLDS

    def html(self) -> str:
        """Return the sheet as one self-contained page."""
        return recce_html(recce(self.region))

    def data(self) -> dict[str, Any]:
        """Return what it is for."""
        return {"format": "spreadload recce", "version": 1, "region": self.region}


def recce_of(region: str) -> RecceTold:
    """Make the recce sheet of a region.

    Raises:
        InputError: There is no practice for that region.
    """
    known = region_ids()
    if region.upper() not in known:
        remedy = suggest(region, known) or f"one of {', '.join(known)}"
        problem = "no such region"
        raise InputError([Fault("", 0, "--region", problem, region, remedy=remedy)])
    return RecceTold(region.upper())


def write_recce(told: RecceTold, out: Path) -> None:
    """Write the recce sheet, whole or not at all.

    Raises:
        InputError: The file cannot be written.
    """
    write_text_atomic(out, told.html())


def write_sheet(told: SheetTold, out: Path) -> None:
    """Write the page, whole or not at all.

    Raises:
        InputError: There is no plan to write down, or the file cannot be written.
    """
    if told.sheet is None:
        raise InputError([Fault("", 0, "JOB", "there is no plan to put on a sheet")])
    write_text_atomic(out, told.html())


def write_lists(told: SheetTold, folder: Path) -> tuple[Path, ...]:
    """Write every list as CSV into a folder, which is made when missing.

    Raises:
        InputError: The folder or a file cannot be written.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        problem = f"cannot be made: {error.strerror}"
        raise InputError([Fault(str(folder), 0, "--lists", problem)]) from error
    paths = []
    for name, text in told.lists().items():
        write_text_atomic(folder / name, text)
        paths.append(folder / name)
    return tuple(paths)
