"""The commands of the recce and the day: note, trip, trace, replan. Part of the command line.

Imports ``shell`` and ``errors``; the use cases are loaded by the command that needs them.
"""

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer
from typer.core import TyperCommand

from spreadload.cli.shell import (
    AsJson,
    Debug,
    JobPath,
    TimeLimit,
    Told,
    cli,
    exit_with,
    progress,
    say,
    style,
    tell,
    warn,
)
from spreadload.errors import Fault, InputError

if TYPE_CHECKING:
    from spreadload.app.day import Day

_GREEDY = frozenset({"--dark", "--lit", "--bright", "--off", "--gone", "--lamps"})

PlanFile = Annotated[
    Path | None,
    typer.Option("--plan", metavar="FILE", help="What is rigged; else plan.json beside the job."),
]
Who = Annotated[str, typer.Option("--who", metavar="NAME", help="Who saw it.")]
When = Annotated[
    str | None, typer.Option("--when", metavar="TIME", help="When; the clock of this machine.")
]


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
    words: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="WORDS...",
            help="What was seen: breaker P1 off: dark B2 B3, lit B6 / trip P2: dark B5 / "
            "rcd RCD1: dark B5 / told B5 on P2 / held P2 3h: B5 6.5.",
            show_default=False,
        ),
    ] = None,
    *,
    list_all: Annotated[
        bool, typer.Option("--list", help="Show the log with what each entry taught.")
    ] = False,
    strike: Annotated[
        str | None, typer.Option("--strike", metavar="ID", help="Set an entry aside.")
    ] = None,
    merge: Annotated[
        Path | None, typer.Option("--merge", metavar="LOG", help="Add another phone's log.")
    ] = None,
    keep: Annotated[
        bool, typer.Option("--keep", help="Write it down even if it contradicts the log.")
    ] = False,
    who: Who = "",
    when: When = None,
    how: Annotated[str, typer.Option("--how", metavar="TEXT", help="How it was seen.")] = "",
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
        told: Told
        if list_all:
            told = app_day.list_log(day)
        elif strike is not None:
            told = app_day.strike(day, strike, who=who, when=_now(when))
        elif merge is not None:
            told = app_day.merge(day, merge)
        else:
            told = app_day.note(day, text, who=who, when=_now(when), how=how, keep=keep)
        say(told.data() if as_json else told.text(style()))
        return told

    exit_with(run, debug=debug)


@cli.command(cls=GreedyCommand)
def trip(
    job: JobPath,
    *,
    dark: Annotated[
        list[str] | None,
        typer.Option("--dark", metavar="OUTLETS", help="Dead outlets or heads, one or more."),
    ] = None,
    lit: Annotated[
        list[str] | None,
        typer.Option("--lit", metavar="OUTLETS", help="Outlets or heads that still work."),
    ] = None,
    bright: Annotated[
        list[str] | None,
        typer.Option("--bright", metavar="OUTLETS", help="Outlets where lamps got brighter."),
    ] = None,
    device: Annotated[
        str | None,
        typer.Option(
            "--device",
            metavar="ID",
            help="What is open: P2, RCD1, a sub-board, main, meter, service fuse, network; none.",
        ),
    ] = None,
    just: Annotated[
        str, typer.Option("--just", metavar="LOAD", help="What was just switched on.")
    ] = "",
    after: Annotated[
        str | None,
        typer.Option("--after", metavar="TIME", help="How long it had held: 5min, 30s, at once."),
    ] = None,
    setup: Annotated[
        str | None, typer.Option("--setup", metavar="ID", help="The set-up that runs.")
    ] = None,
    plan_file: PlanFile = None,
    log: Annotated[bool, typer.Option("--log", help="Write it down in the log.")] = False,
    save: Annotated[
        Path | None, typer.Option("--save", metavar="FILE", help="Keep the plan after the move.")
    ] = None,
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
        say(told.data() if as_json else told.text(style()))
        return told

    exit_with(run, debug=debug)


@cli.command(cls=GreedyCommand)
def trace(
    job: JobPath,
    *,
    people: Annotated[
        int, typer.Option("--people", min=1, max=2, metavar="N", help="One person, or two.")
    ] = 2,
    minutes: Annotated[
        float | None,
        typer.Option("--minutes", min=0, metavar="N", help="Tests that take no longer."),
    ] = None,
    lamps: Annotated[
        list[str] | None,
        typer.Option("--lamps", metavar="OUTLETS", help="Outlets to put lamps in."),
    ] = None,
    session: Annotated[
        bool, typer.Option("--session", help="Also plan tracing every outlet in one go.")
    ] = False,
    plan_file: Annotated[
        Path | None, typer.Option("--plan", metavar="FILE", help="The plan in hand.")
    ] = None,
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
        told = app_day.trace(day, said, config)
        say(told.data() if as_json else told.text(style()))
        return told

    exit_with(run, debug=debug)


@cli.command(cls=GreedyCommand)
def replan(
    job: JobPath,
    *,
    since: Annotated[
        str,
        typer.Option("--from", metavar="WHEN", help="The first set-up still to come; or a time."),
    ],
    off: Annotated[
        list[str] | None,
        typer.Option(
            "--off", metavar="IDS", help="Circuits, RCDs or sub-boards that have to stay off."
        ),
    ] = None,
    gone: Annotated[
        list[str] | None,
        typer.Option("--gone", metavar="OUTLETS", help="Outlets not to be used any more."),
    ] = None,
    safe: Annotated[
        bool, typer.Option("--safe", help="Trip as seldom as can be, whatever that moves.")
    ] = False,
    plan_file: PlanFile = None,
    save: Annotated[
        Path | None, typer.Option("--save", metavar="FILE", help="Keep the new plan in a file.")
    ] = None,
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
        say(told.data() if as_json else told.text(style()))
        return told

    exit_with(run, debug=debug)


def _day(job: Path, *, is_urgent: bool = False) -> "Day":
    from spreadload.app import day as app_day

    day = app_day.load_day(job, is_urgent=is_urgent)
    warn(day.warnings)
    return day


def _now(when: str | None) -> str:
    """Return the time as given, else the clock's in local time to the second."""
    return when if when is not None else datetime.now().astimezone().isoformat(timespec="seconds")
