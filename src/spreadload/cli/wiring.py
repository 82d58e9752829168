"""The commands about how the house is wired: board, trace, note.

Use cases are loaded by the command that needs them.
"""

from spreadload.cli.greedy import GreedyCommand
from spreadload.cli.options import (
    AsJson,
    Debug,
    How,
    JobPath,
    Keep,
    Lamps,
    ListLog,
    Merge,
    Minutes,
    People,
    PlanInHand,
    Strike,
    TimeLimit,
    When,
    Who,
    WithSession,
    Words,
)
from spreadload.cli.shell import Told, cli, day_of, exit_with, looking, now, shown, warn
from spreadload.errors import Fault, InputError


@cli.command()
def board(job: JobPath, *, as_json: AsJson = False, debug: Debug = False) -> None:
    """Read the switchboard: what each way feeds, and how sure it is.

    Also what is usable in all.
    """

    def run() -> Told:
        from spreadload.app import board as app_board
        from spreadload.app import planning

        stated, log = planning.load_job_and_log(job)
        return shown(app_board.read_board(stated, log), as_json=as_json)

    exit_with(run, debug=debug)


@cli.command(cls=GreedyCommand)
def trace(
    job: JobPath,
    *,
    people: People = 2,
    minutes: Minutes = None,
    lamps: Lamps = None,
    session: WithSession = False,
    plan_file: PlanInHand = None,
    time_limit: TimeLimit = 30.0,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Say which test of the wiring is worth making, if any.

    What it showed is typed back with note.
    """

    def run() -> Told:
        from spreadload.app import trace as app_trace
        from spreadload.app.loaded import find_plan

        day = day_of(job)
        plan = None
        if plan_file is not None:
            plan, warnings = find_plan(job, day.stated, plan_file)
            warn(warnings)
        said = app_trace.TraceSaid(people, minutes, tuple(lamps or ()), plan, session)
        return shown(app_trace.trace(day, said, looking(time_limit)), as_json=as_json)

    exit_with(run, debug=debug)


@cli.command()
def note(
    job: JobPath,
    words: Words = None,
    *,
    list_all: ListLog = False,
    strike: Strike = None,
    merge: Merge = None,
    keep: Keep = False,
    who: Who = "",
    when: When = None,
    how: How = "",
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Write down what was seen, tried or told; say what it teaches.

    It goes to the log beside the job.
    """

    def run() -> Told:
        from spreadload.app import note as app_note

        text = " ".join(words or ())
        asked = [bool(text), list_all, strike is not None, merge is not None]
        if sum(asked) != 1:
            problem = "say what was seen, or one of --list, --strike, --merge"
            remedy = "write it like `breaker P1 off: dark B2 B3, lit B6`"
            raise InputError([Fault("", 0, "WORDS", problem, remedy=remedy)])
        day = day_of(job, is_urgent=True)
        if list_all:
            return shown(app_note.list_log(day), as_json=as_json)
        if strike is not None:
            noted = app_note.strike(day, strike, who=who, when=now(when))
        elif merge is not None:
            noted = app_note.merge(day, merge)
        else:
            noted = app_note.note(day, text, who=who, when=now(when), how=how, keep=keep)
        return shown(noted, as_json=as_json)

    exit_with(run, debug=debug)
