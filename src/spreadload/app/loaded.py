"""What the commands of the day start from: a job with its log, and the plan that is rigged.

Nothing here prints.
"""

from dataclasses import dataclass
from pathlib import Path

from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.errors import Fault, InputError
from spreadload.io.job_file import load_job
from spreadload.io.log_file import LoadedLog, log_path, read_log
from spreadload.io.plan_file import job_digest, load_plan
from spreadload.io.plan_file import save_plan as write_plan
from spreadload.job.job import Job
from spreadload.job.observations import Log
from spreadload.plan import Plan
from spreadload.wiring.settling import Dispute

PLAN_NAME = "plan.json"
_ASTRAY = frozenset({"missing", "unknown"})


@dataclass(frozen=True)
class Day:
    """A job with its log, ready to work with.

    Attributes:
        path: Where the log stands.
        stated: The job as stated.
        loaded: Its log.
    """

    path: Path
    stated: Job
    loaded: LoadedLog

    @property
    def job(self) -> Job:
        """The job without what a test disproved."""
        return self.loaded.settled.job

    @property
    def log(self) -> Log:
        """The log without what clashes."""
        return self.loaded.settled.log

    @property
    def disputes(self) -> tuple[Dispute, ...]:
        """What cannot all be true, with the cheapest thing to do again."""
        return self.loaded.settled.disputes

    @property
    def warnings(self) -> tuple[str, ...]:
        """What the reader should know of the log."""
        return self.loaded.warnings


def load_day(job_file: Path, *, is_urgent: bool = False) -> Day:
    """Return a job with its log.

    Args:
        job_file: The job.
        is_urgent: Whether to set aside what cannot be read of the log, and go on.

    Raises:
        InputError: With every fault of the job, or of the log.
    """
    job = load_job(job_file)
    path = log_path(job_file)
    return Day(path, job, read_log(path, job, is_urgent=is_urgent))


def find_plan(job_file: Path, job: Job, plan_file: Path | None) -> tuple[Plan, tuple[str, ...]]:
    """Return the plan that is rigged: the one named, or the one kept beside the job.

    Beside ``terrace.yaml`` that is ``terrace.plan.json`` where there is one, else ``plan.json``.

    Raises:
        InputError: There is none, or it cannot be read.
    """
    path = plan_file or kept_beside(job_file)
    if plan_file is None and not path.exists():
        remedy = f"keep one with plan --save {path}, or name one with --plan"
        raise InputError([Fault("", 0, "--plan", "no plan is kept beside the job", remedy=remedy)])
    loaded = load_plan(path, job)
    return loaded.plan, (*loaded.warnings, *astray(job, loaded.plan, path))


def astray(job: Job, plan: Plan, path: Path) -> tuple[str, ...]:
    """Return a warning where a plan lacks what the day asks for, or holds what it does not know.

    What is not in the plan is counted nowhere: a yes that rests on such a plan says too much.
    """
    found = [v for v in Judge(Facts.of(job)).violations(plan) if v.rule in _ASTRAY]
    if not found:
        return ()
    more = f", and {len(found) - 1} more" if len(found) > 1 else ""
    first = found[0].text.removesuffix(".")
    return (f"{path} does not match the day, and what it lacks is not counted: {first}{more}",)


def kept_beside(job_file: Path) -> Path:
    """Return where the plan of a job is kept, whether or not there is one."""
    folder = job_file if job_file.is_dir() else job_file.parent
    own = folder / f"{job_file.stem}.{PLAN_NAME}"
    return own if own.exists() else folder / PLAN_NAME


def keep_plan(path: Path, job: Job, plan: Plan) -> None:
    """Write a plan of the whole day.

    Raises:
        InputError: The file cannot be written.
    """
    write_plan(path, job_digest(job), plan)
