"""The use case of the day: may this be plugged in here?

A module of its own that loads as little as it can, because somebody is waiting for the answer.
Nothing here prints.
"""

from dataclasses import dataclass
from typing import Any

from spreadload.app.loaded import find_plan, kept_beside, load_day
from spreadload.derived.facts import Facts
from spreadload.errors import ExitCode
from spreadload.io.job_file import load_job
from spreadload.job.job import Job
from spreadload.job.observations import Log
from spreadload.job.red_flags import open_flags
from spreadload.on_the_day.ask.asking import ask, plain_yes
from spreadload.on_the_day.ask.question import ANYWHERE, Question, read_question
from spreadload.on_the_day.ask.reply import Reply, Says
from spreadload.plan import Plan
from spreadload.report.ask_text import ask_data, ask_text
from spreadload.report.headed import headed
from spreadload.report.style import Style
from spreadload.wiring.evidence import is_wiring_open, learned

__all__ = [
    "AskTold",
    "Style",
    "find_plan",
    "kept_beside",
    "load_day",
    "load_job",
    "may_i",
    "question_of",
]


@dataclass(frozen=True)
class AskTold:
    """The answer to one question on the day.

    Attributes:
        red_flags: What a licensed electrician has to look at before anything is powered.
    """

    reply: Reply
    red_flags: tuple[str, ...] = ()

    @property
    def exit_code(self) -> ExitCode:
        """What the shell should see: 0 only for a plain yes."""
        is_plain_yes = self.reply.says is Says.YES and not self.red_flags
        return ExitCode.HOLDS if is_plain_yes else ExitCode.BREAKS_A_LIMIT

    def text(self, style: Style | None = None) -> str:
        """Return it as text for a terminal."""
        return ask_text(self.reply, style or Style(), self.red_flags)

    def data(self) -> dict[str, Any]:
        """Return it as data."""
        return headed("ask", ask_data(self.reply) | {"red_flags": list(self.red_flags)})


def question_of(
    job: Job,
    what: str,
    place: str = ANYWHERE,
    *,
    start: str | None = None,
    until: str | None = None,
    is_intermittent: bool = False,
) -> Question:
    """Return a question about a job, read before any plan is needed.

    Args:
        job: The job.
        what: Amps, watts or the id of a load.
        place: Outlet, room or ``anywhere``.
        start: A time or a set-up; the beginning of the day when not given.
        until: A time or a set-up; the end of the day when not given.
        is_intermittent: Whether it runs for minutes only.

    Raises:
        InputError: Everything wrong with the question.
    """
    return read_question(
        Facts.of(job), what, place, start=start, until=until, is_intermittent=is_intermittent
    )


def may_i(job: Job, plan: Plan, question: Question, log: Log | None = None) -> AskTold:
    """Say whether something may be plugged in, going by the plan in force.

    Where circuits are not known, a yes that holds whatever the wiring comes first; failing that,
    the likeliest wiring is asked, and on how many of the others the plan would trip.

    Args:
        job: The job without what a test disproved.
        plan: What is plugged in.
        question: What somebody wants to plug in, where and when.
        log: What was seen of the wiring, without what clashes.
    """
    flags = tuple(str(flag) for flag in open_flags(job))
    return AskTold(_reply(job, plan, question, log or Log()), flags)


def _reply(job: Job, plan: Plan, question: Question, log: Log) -> Reply:
    known = learned(job, log) if log.standing else job
    if not is_wiring_open(known):
        return ask(known, plan, question)
    if (sure := plain_yes(known, plan, question)) is not None:
        return sure
    from spreadload.on_the_day.ask.ways import Ways  # noqa: PLC0415 - loads numpy

    ways = Ways.of(job, log, plan, question)
    return ask(ways.scene.as_likely_wired, plan, question, ways)
