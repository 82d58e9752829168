"""The commands of the recce and the day: note, trip, trace, replan.

Use cases are loaded by the command that needs them.
"""

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from typer.core import TyperCommand

from spreadload.cli.options import (
    After,
    AsJson,
    Bright,
    Dark,
    Debug,
    Device,
    Gone,
    How,
    IsLogged,
    IsSafe,
    JobPath,
    Just,
    Keep,
    Lamps,
    ListLog,
    Lit,
    Merge,
    Minutes,
    People,
    PlanInHand,
    PlanRigged,
    SaveMoved,
    SaveNewPlan,
    SetupNow,
    Since,
    StaysOff,
    Strike,
    TimeLimit,
    When,
    Who,
    WithSession,
    Words,
)
from spreadload.cli.shell import Told, cli, exit_with, progress, shown, tell, warn
from spreadload.errors import Fault, InputError

if TYPE_CHECKING:
    from spreadload.app.day import Day

_GREEDY = frozenset({"--dark", "--lit", "--bright", "--off", "--gone", "--lamps"})


class GreedyCommand(TyperCommand):
    """A command whose lists of outlets need no repeated option: ``--dark B5 B6``."""

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:  # noqa: ANN401 - typer's own
        """Repeat a greedy option before each word that follows it."""
        spread: list[str] = []
        option: str | None = None
        is_first = False
        for word in args:
            if word.startswith("--"):
                option = word if word in _GREEDY else None
                is_first = True
                spread.append(word)
                continue
            if option is not None and not is_first:
                spread.append(option)
            spread.append(word)
            is_first = False
        return super().parse_args(ctx, spread)


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
    """Write down what was seen, tried or told; what it teaches about the wiring is said at once."""

    def run() -> Told:
        from spreadload.app import day as app_day

        text = " ".join(words or ())
        asked = [bool(text), list_all, strike is not None, merge is not None]
        if sum(asked) != 1:
            problem = "say what was seen, or one of --list, --strike, --merge"
            remedy = "write it like `breaker P1 off: dark B2 B3, lit B6`"
            raise InputError([Fault("", 0, "WORDS", problem, remedy=remedy)])
        day = _day(job, is_urgent=True)
        if list_all:
            return shown(app_day.list_log(day), as_json=as_json)
        if strike is not None:
            noted = app_day.strike(day, strike, who=who, when=_now(when))
        elif merge is not None:
            noted = app_day.merge(day, merge)
        else:
            noted = app_day.note(day, text, who=who, when=_now(when), how=how, keep=keep)
        return shown(noted, as_json=as_json)

    exit_with(run, debug=debug)


@cli.command(cls=GreedyCommand)
def trip(
    job: JobPath,
    *,
    dark: Dark = None,
    lit: Lit = None,
    bright: Bright = None,
    device: Device = None,
    just: Just = "",
    after: After = None,
    setup: SetupNow = None,
    plan_file: PlanRigged = None,
    log: IsLogged = False,
    save: SaveMoved = None,
    when: When = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Something went dark: what opened, and the smallest re-plug; first what to radio."""

    def run() -> Told:
        from spreadload.app import day as app_day

        day = _day(job, is_urgent=True)
        plan, warnings = app_day.find_plan(job, day.stated, plan_file)
        warn(warnings)
        said = app_day.TripSaid(
            dark=tuple(dark or ()),
            lit=tuple(lit or ()),
            bright=tuple(bright or ()),
            device=device,
            just=just,
            after=after,
            setup=setup,
            when=_now(when),
            log=log,
        )
        told = app_day.trip(day, plan, said)
        if save is not None:
            app_day.save_plan(save, day.stated, told.answer.scene, told.plan, plan)
            tell(f"plan kept in {save}")
        return shown(told, as_json=as_json)

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
    as_json: AsJson = False,
    time_limit: TimeLimit = 30.0,
    debug: Debug = False,
) -> None:
    """Say which test of the wiring is worth making, if any; type results back with note."""

    def run() -> Told:
        from spreadload.app import day as app_day

        day = _day(job)
        plan = None
        if plan_file is not None:
            plan, warnings = app_day.find_plan(job, day.stated, plan_file)
            warn(warnings)
        said = app_day.TraceSaid(people, minutes, tuple(lamps or ()), plan, session)
        config = app_day.SolverConfig(time_limit_s=time_limit, progress=progress)
        return shown(app_day.trace(day, said, config), as_json=as_json)

    exit_with(run, debug=debug)


@cli.command(cls=GreedyCommand)
def replan(
    job: JobPath,
    *,
    since: Since,
    off: StaysOff = None,
    gone: Gone = None,
    safe: IsSafe = False,
    plan_file: PlanRigged = None,
    save: SaveNewPlan = None,
    as_json: AsJson = False,
    time_limit: TimeLimit = 20.0,
    debug: Debug = False,
) -> None:
    """Plan the rest of the day again: keep what is rigged, move as few plugs as possible."""

    def run() -> Told:
        from spreadload.app import day as app_day
        from spreadload.app import replan as app_replan

        day = _day(job)
        plan, warnings = app_day.find_plan(job, day.stated, plan_file)
        warn(warnings)
        said = app_replan.ReplanSaid(since, tuple(off or ()), tuple(gone or ()), safe)
        config = app_day.SolverConfig(time_limit_s=time_limit, progress=progress)
        told = app_replan.replan(day, plan, said, config)
        if save is not None and told.plan is not None:
            app_day.keep_plan(save, day.stated, told.plan)
            tell(f"plan kept in {save}")
        return shown(told, as_json=as_json)

    exit_with(run, debug=debug)


def _day(job: Path, *, is_urgent: bool = False) -> "Day":
    from spreadload.app import day as app_day

    day = app_day.load_day(job, is_urgent=is_urgent)
    warn(day.warnings)
    return day


def _now(when: str | None) -> str:
    """Return the time as given, else the clock's in local time to the second."""
    return when if when is not None else datetime.now().astimezone().isoformat(timespec="seconds")
