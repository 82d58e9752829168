"""The command line: read the words, call the use case, print the answer, exit.

Data goes to standard output, everything else to standard error. Imports only ``app`` and
``errors``; the app itself is loaded by the command that needs it, so that help comes at once.
"""

import json
import os
import sys
import traceback
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, NoReturn, Protocol

import typer

from spreadload.errors import ExitCode, SpreadloadError

if TYPE_CHECKING:
    from spreadload.app import Style

_EPILOG = (
    "Exit codes: 0 the plan holds, 1 it breaks a limit or none can exist, 2 bad input or usage, "
    "3 not decided in the time allowed, 4 our own fault."
)
_MAX_TIME_S = 24 * 3600.0

cli = typer.Typer(
    add_completion=False,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    epilog=_EPILOG,
    help="Spread film lights over the circuits of a real house.",
)

JobPath = Annotated[
    Path, typer.Argument(metavar="JOB", help="A job file, or a folder with a job.yaml.")
]
AsJson = Annotated[bool, typer.Option("--json", help="Print data instead of text.")]
IsBrief = Annotated[bool, typer.Option("--brief", help="Only the answer and the switchboards.")]
SetupId = Annotated[str | None, typer.Option("--setup", metavar="ID", help="One set-up only.")]
TimeLimit = Annotated[
    float,
    typer.Option("--time-limit", min=0.1, max=_MAX_TIME_S, metavar="S", help="Seconds to look."),
]
Debug = Annotated[bool, typer.Option("--debug", help="Show where in the program a fault arose.")]


class _Told(Protocol):
    """What every use case returns."""

    @property
    def exit_code(self) -> ExitCode: ...

    def data(self) -> dict[str, Any]: ...


@cli.callback()
def _options() -> None:
    """Take no options of its own; commands follow."""


@cli.command()
def plan(
    job: JobPath,
    *,
    as_json: AsJson = False,
    save: Annotated[
        Path | None, typer.Option("--save", metavar="FILE", help="Keep the plan in a file.")
    ] = None,
    alternatives: Annotated[
        int, typer.Option("--alternatives", min=0, max=20, metavar="N", help="Further plans.")
    ] = 2,
    time_limit: TimeLimit = 20.0,
    setup: SetupId = None,
    brief: IsBrief = False,
    debug: Debug = False,
) -> None:
    """Find ranked plans for the day; the first line is the answer."""

    def run() -> _Told:
        from spreadload import app  # noqa: PLC0415 - help must not wait for it

        stated = app.load_job(job)
        config = app.SolverConfig(
            time_limit_s=time_limit, alternatives=alternatives, progress=_progress
        )
        log = app.load_log(app.log_path(job), stated)
        told = app.plan_job(stated, config, setup=setup, reasons=not brief or as_json, log=log)
        if save is not None and told.plan is not None:
            app.save_plan(save, stated, told.plan)
            _note(f"plan kept in {save}")
        _print(told.data() if as_json else told.text(_style(), setup=setup, is_brief=brief))
        return told

    _exit_with(run, debug=debug)


@cli.command()
def check(
    job: JobPath,
    plan_file: Annotated[Path, typer.Argument(metavar="PLAN", help="A plan file.")],
    *,
    as_json: AsJson = False,
    setup: SetupId = None,
    brief: IsBrief = False,
    debug: Debug = False,
) -> None:
    """Judge a plan, whoever wrote it: every limit it passes and what it is worth."""

    def run() -> _Told:
        from spreadload import app  # noqa: PLC0415 - help must not wait for it

        stated = app.load_job(job)
        loaded = app.load_plan(plan_file, stated)
        for warning in loaded.warnings:
            _note(f"warning: {warning}")
        log = app.load_log(app.log_path(job), stated)
        told = app.check_plan(
            stated, loaded.plan, setup=setup, reasons=not brief or as_json, log=log
        )
        _print(told.data() if as_json else told.text(_style(), setup=setup, is_brief=brief))
        return told

    _exit_with(run, debug=debug)


@cli.command()
def why(
    job: JobPath,
    head: Annotated[str, typer.Argument(metavar="HEAD", help="A head or load of the job.")],
    outlet: Annotated[str, typer.Argument(metavar="OUTLET", help="Where you would plug it in.")],
    *,
    setup: SetupId = None,
    plan_file: Annotated[
        Path | None, typer.Option("--plan", metavar="FILE", help="The plan to hold it against.")
    ] = None,
    as_json: AsJson = False,
    time_limit: TimeLimit = 20.0,
    debug: Debug = False,
) -> None:
    """Say why a head is not at an outlet, by planning again with it there."""

    def run() -> _Told:
        from spreadload import app  # noqa: PLC0415 - help must not wait for it

        stated = app.load_job(job)
        loaded = None if plan_file is None else app.load_plan(plan_file, stated)
        for warning in loaded.warnings if loaded else ():
            _note(f"warning: {warning}")
        told = app.why_not(
            stated,
            head,
            outlet,
            setup=setup,
            plan=loaded.plan if loaded else None,
            config=app.SolverConfig(time_limit_s=time_limit, progress=_progress),
            log=app.load_log(app.log_path(job), stated),
        )
        _print(told.data() if as_json else told.text(_style()))
        return told

    _exit_with(run, debug=debug)


@cli.command()
def sag(
    job: JobPath,
    *,
    plan_file: Annotated[
        Path | None, typer.Option("--plan", metavar="FILE", help="The plan to look at.")
    ] = None,
    min_v: Annotated[
        float | None, typer.Option("--min-v", metavar="V", help="Volts the board should keep.")
    ] = None,
    setup: SetupId = None,
    as_json: AsJson = False,
    time_limit: TimeLimit = 20.0,
    debug: Debug = False,
) -> None:
    """Say what the volts do under load, and what the house can really give."""

    def run() -> _Told:
        from spreadload import app, app_volts  # noqa: PLC0415 - help must not wait for it

        stated = app.load_job(job)
        loaded = None if plan_file is None else app.load_plan(plan_file, stated)
        for warning in loaded.warnings if loaded else ():
            _note(f"warning: {warning}")
        told = app_volts.sag(
            stated,
            loaded.plan if loaded else None,
            min_v=min_v,
            setup=setup,
            config=app.SolverConfig(time_limit_s=time_limit, alternatives=0, progress=_progress),
        )
        _print(told.data() if as_json else told.text(_style(), setup=setup))
        return told

    _exit_with(run, debug=debug)


@cli.command()
def turn(
    job: JobPath,
    *,
    plan_file: Annotated[
        Path | None, typer.Option("--plan", metavar="FILE", help="The plan to switch.")
    ] = None,
    setup: SetupId = None,
    as_json: AsJson = False,
    time_limit: TimeLimit = 20.0,
    debug: Debug = False,
) -> None:
    """Give the order of switching on, and of killing, moving and striking between set-ups."""

    def run() -> _Told:
        from spreadload import app, app_volts  # noqa: PLC0415 - help must not wait for it

        stated = app.load_job(job)
        loaded = None if plan_file is None else app.load_plan(plan_file, stated)
        for warning in loaded.warnings if loaded else ():
            _note(f"warning: {warning}")
        told = app_volts.turn(
            stated,
            loaded.plan if loaded else None,
            setup=setup,
            config=app.SolverConfig(time_limit_s=time_limit, alternatives=0, progress=_progress),
        )
        _print(told.data() if as_json else told.text(_style(), setup=setup))
        return told

    _exit_with(run, debug=debug)


def main() -> NoReturn:
    """Run the command line and leave with its exit code."""
    for stream in (sys.stdout, sys.stderr):
        # A terminal that lacks a sign shows a question mark instead of failing.
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    cli(prog_name="spreadload")
    sys.exit(ExitCode.HOLDS)


def _exit_with(run: Callable[[], _Told], *, debug: bool) -> NoReturn:
    """Run a use case and turn how it ended into an exit code."""
    try:
        code = run().exit_code
        sys.stdout.flush()
    except SpreadloadError as error:
        if debug:
            traceback.print_exc()
        _note(str(error))
        code = error.exit_code
    except BrokenPipeError:
        # The reader has seen enough; Python must not complain while it closes down.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        code = ExitCode.HOLDS
    except KeyboardInterrupt:
        _note("stopped before there was a plan")
        code = ExitCode.UNDECIDED
    except Exception as error:  # noqa: BLE001 - anything else is our fault and is said to be
        if debug:
            traceback.print_exc()
        _note(f"internal error: {type(error).__name__}: {error}")
        _note("This is a fault of the program, not of your job; --debug shows where")
        code = ExitCode.OUR_FAULT
    raise typer.Exit(code)


def _print(answer: str | dict[str, Any]) -> None:
    text = answer if isinstance(answer, str) else json.dumps(answer, indent=2, ensure_ascii=False)
    typer.echo(text)


def _note(text: str) -> None:
    typer.echo(text, err=True)


def _progress(text: str) -> None:
    if sys.stderr.isatty():
        _note(text)


def _style() -> "Style":
    from spreadload.app import Style  # noqa: PLC0415 - help must not wait for it

    return Style(colour=sys.stdout.isatty() and not os.environ.get("NO_COLOR"))
