"""The command line: read the words, call the use case, print the answer, exit.

Data goes to standard output, everything else to standard error. Imports only ``app``, ``errors``
and what a terminal needs; the app itself is loaded by the command that needs it, so that help comes
at once.
"""

import json
import os
import sys
import threading
import traceback
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, NoReturn, Protocol

import typer

from spreadload.errors import ExitCode, SpreadloadError
from spreadload.report.terminal import cleaned, columns_of, with_plain_signs
from spreadload.solver.interruption import Search

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
        known = app.with_log(stated, job)
        loaded = None if plan_file is None else app.load_plan(plan_file, stated)
        for warning in loaded.warnings if loaded else ():
            _note(f"warning: {warning}")
        told = app_volts.sag(
            known,
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
        known = app.with_log(stated, job)
        loaded = None if plan_file is None else app.load_plan(plan_file, stated)
        for warning in loaded.warnings if loaded else ():
            _note(f"warning: {warning}")
        told = app_volts.turn(
            known,
            loaded.plan if loaded else None,
            setup=setup,
            config=app.SolverConfig(time_limit_s=time_limit, alternatives=0, progress=_progress),
        )
        _print(told.data() if as_json else told.text(_style(), setup=setup))
        return told

    _exit_with(run, debug=debug)


@cli.command()
def offers(
    job: JobPath,
    *,
    margin: Annotated[
        int | None,
        typer.Option("--margin", min=10, max=100, metavar="PCT", help="Most per cent anywhere."),
    ] = None,
    plan_file: Annotated[
        Path | None, typer.Option("--plan", metavar="FILE", help="Fewest plugs to move from it.")
    ] = None,
    as_json: AsJson = False,
    time_limit: TimeLimit = 30.0,
    debug: Debug = False,
) -> None:
    """Say what stops a list, and offer the cheapest changes that make it fit."""

    def run() -> _Told:
        from spreadload import app, what_if  # noqa: PLC0415 - help must not wait for it

        stated = app.load_job(job)
        known = app.with_log(stated, job)
        config = app.SolverConfig(time_limit_s=time_limit, progress=_progress)
        told: what_if.MovesTold | what_if.OffersTold
        if plan_file is not None:
            told = what_if.moves_of(known, app.load_plan(plan_file, stated).plan, config)
        else:
            where = what_if.lines_of(job)
            told = what_if.offers_of(known, config, margin_pct=margin, where=where)
        _print(told.data() if as_json else told.text(_style()))
        return told

    _exit_with(run, debug=debug)


@cli.command(context_settings={"ignore_unknown_options": True})
def ask(
    job: JobPath,
    what: Annotated[str, typer.Argument(metavar="WHAT", help="Amps (5A), watts (1200W), a load.")],
    place: Annotated[
        str, typer.Argument(metavar="WHERE", help="An outlet, a room, or anywhere.")
    ] = "anywhere",
    *,
    start: Annotated[
        str | None, typer.Option("--from", metavar="TIME|ID", help="A time or a set-up.")
    ] = None,
    until: Annotated[
        str | None, typer.Option("--until", metavar="TIME|ID", help="A time or a set-up.")
    ] = None,
    plan_file: Annotated[
        Path | None, typer.Option("--plan", metavar="FILE", help="The plan in force.")
    ] = None,
    briefly: Annotated[bool, typer.Option("--briefly", help="It runs for minutes only.")] = False,
    as_json: AsJson = False,
    time_limit: TimeLimit = 20.0,
    debug: Debug = False,
) -> None:
    """Say whether something may be plugged in here, from now until when."""

    def run() -> _Told:
        from spreadload import may_i  # noqa: PLC0415 - help must not wait for it

        stated = may_i.load_job(job)
        question = may_i.question_of(
            stated, what, place, start=start, until=until, is_intermittent=briefly
        )
        if plan_file is None:
            from spreadload import app  # noqa: PLC0415 - only where there is no plan

            _note("no plan given with --plan: planning first")
            config = app.SolverConfig(time_limit_s=time_limit, alternatives=0, progress=_progress)
            planned = app.plan_job(stated, config, reasons=False)
            if planned.plan is None:
                _print(planned.data() if as_json else planned.text(_style(), is_brief=True))
                return planned
            plan = planned.plan
        else:
            loaded = may_i.load_plan(plan_file, stated)
            for warning in loaded.warnings:
                _note(f"warning: {warning}")
            plan = loaded.plan
        told = may_i.may_i(stated, plan, question)
        _print(told.data() if as_json else told.text(_style()))
        return told

    _exit_with(run, debug=debug)


@cli.command()
def swap(
    job: JobPath,
    *,
    variant: Annotated[
        list[str] | None,
        typer.Option("--variant", "-v", metavar="WORDS", help="Such as “kettle off”; repeat it."),
    ] = None,
    variants_file: Annotated[
        Path | None, typer.Option("--file", metavar="FILE", help="Variants kept in a file.")
    ] = None,
    as_json: AsJson = False,
    time_limit: TimeLimit = 20.0,
    debug: Debug = False,
) -> None:
    """Plan any number of what-ifs side by side."""

    def run() -> _Told:
        from spreadload import app, what_if  # noqa: PLC0415 - help must not wait for it

        stated = app.load_job(job)
        known = app.with_log(stated, job)
        texts = [*(what_if.load_variants(variants_file) if variants_file else ()), *(variant or ())]
        config = app.SolverConfig(time_limit_s=time_limit, progress=_progress)
        told = what_if.swap(known, texts, config)
        _print(told.data() if as_json else told.text(_style()))
        return told

    _exit_with(run, debug=debug)


@cli.command(name="how-many")
def how_many(
    job: JobPath,
    heads: Annotated[list[str], typer.Argument(metavar="HEAD...", help="Heads of the job.")],
    *,
    setup: SetupId = None,
    place: Annotated[
        str | None, typer.Option("--place", metavar="ID", help="Where they stand.")
    ] = None,
    alone: Annotated[
        bool, typer.Option("--alone", help="With the rest of the lighting list dark.")
    ] = False,
    enough_leads: Annotated[
        bool, typer.Option("--enough-leads", help="With leads and boards for everything.")
    ] = False,
    as_json: AsJson = False,
    time_limit: TimeLimit = 20.0,
    debug: Debug = False,
) -> None:
    """Say how many heads of a kind the house holds, with proof."""

    def run() -> _Told:
        from spreadload import app, what_if  # noqa: PLC0415 - help must not wait for it

        told = what_if.how_many(
            app.with_log(app.load_job(job), job),
            heads,
            setup=setup,
            place=place,
            is_alone=alone,
            has_leads=enough_leads,
            config=app.SolverConfig(time_limit_s=time_limit, progress=_progress),
        )
        _print(told.data() if as_json else told.text(_style()))
        return told

    _exit_with(run, debug=debug)


@cli.command()
def generator(
    job: JobPath,
    loads: Annotated[
        list[str], typer.Argument(metavar="LOAD...", help="Heads or loads, such as DH1800=2.")
    ],
    *,
    phases: Annotated[int, typer.Option("--phases", min=1, max=3, metavar="N")] = 1,
    altitude_m: Annotated[float, typer.Option("--altitude-m", min=0, max=5000)] = 0.0,
    ambient_c: Annotated[float, typer.Option("--ambient-c", min=-30, max=60)] = 25.0,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Say how large a generator has to be for what the house cannot feed."""

    def run() -> _Told:
        from spreadload import app, what_if  # noqa: PLC0415 - help must not wait for it

        told = what_if.generator_for(
            app.load_job(job), loads, phases=phases, altitude_m=altitude_m, ambient_c=ambient_c
        )
        _print(told.data() if as_json else told.text(_style()))
        return told

    _exit_with(run, debug=debug)


def main() -> NoReturn:
    """Run the command line and leave with its exit code."""
    for stream in (sys.stdout, sys.stderr):
        with_plain_signs(stream)
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
    _leave_if_still_searching(code)
    raise typer.Exit(code)


def _leave_if_still_searching(code: int) -> None:
    """Leave at once when a search abandoned after Ctrl-C still runs.

    Python cannot close down under a solver's thread without aborting the whole process.
    """
    if any(isinstance(thread, Search) and thread.is_alive() for thread in threading.enumerate()):
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(code)


def _print(answer: str | dict[str, Any]) -> None:
    if isinstance(answer, str):
        typer.echo(cleaned(answer))
    else:
        typer.echo(json.dumps(answer, indent=2, ensure_ascii=False))


def _note(text: str) -> None:
    typer.echo(cleaned(text), err=True)


def _progress(text: str) -> None:
    if sys.stderr.isatty():
        _note(text)


def _style() -> "Style":
    from spreadload.report.style import Style  # noqa: PLC0415 - help must not wait for it

    return Style(
        width=columns_of(sys.stdout, Style.width),
        colour=sys.stdout.isatty() and not os.environ.get("NO_COLOR"),
    )


# Further commands register themselves on the application above, so they come last.
from spreadload import cli_board as _cli_board  # noqa: E402, F401
from spreadload import cli_day as _cli_day  # noqa: E402, F401
from spreadload import cli_keys as _cli_keys  # noqa: E402, F401
from spreadload import cli_sheet as _cli_sheet  # noqa: E402, F401
