"""What every command shares: printing, exit codes, and the application itself.

Data goes to standard output, everything else to standard error. Imports only ``app``, ``errors``
and what a terminal needs; use cases are loaded by the command that needs them, so that help comes
at once.
"""

import gc
import json
import os
import sys
import threading
import traceback
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, NoReturn, Protocol

import typer

from spreadload.errors import ExitCode, Fault, InputError, SpreadloadError
from spreadload.report.terminal import cleaned, columns_of, with_plain_signs
from spreadload.solver.engine.interruption import Task

if TYPE_CHECKING:
    from spreadload.app.loaded import Day
    from spreadload.io.plan_file import LoadedPlan
    from spreadload.job.job import Job
    from spreadload.plan import Plan
    from spreadload.report.style import Style
    from spreadload.solver.engine.limits import SolverConfig

_EPILOG = (
    "Exit codes: 0 the plan holds, 1 it breaks a limit or none can exist, 2 bad input or usage, "
    "3 not decided in the time allowed, 4 our own fault."
)
# What is made while a command starts lives to its end: looking for garbage among it was a tenth of
# the time of a short one.
_OBJECTS_BEFORE_COLLECTING = 100_000
# Read by numpy when it is loaded. Its sums over a house are too small to share out, and starting
# threads for them takes as long as loading the rest of it.
_ONE_THREAD_FOR_SUMS = ("OPENBLAS_NUM_THREADS", "1")

cli = typer.Typer(
    add_completion=False,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    epilog=_EPILOG,
    help="Spread film lights over the circuits of a real house.",
)


class Told(Protocol):
    """What every use case returns."""

    @property
    def exit_code(self) -> ExitCode:
        """What the shell should see."""

    def data(self) -> dict[str, Any]:
        """Return the answer as data."""


class Tellable(Told, Protocol):
    """What most of them return: it can be shown as text as well."""

    @property
    def text(self) -> Callable[..., str]:
        """Return the answer as text for a terminal."""


def _tell_version(asked: bool) -> None:  # noqa: FBT001 - typer hands over the flag
    """Print name and version, where they were asked for, and leave."""
    if asked:
        from importlib.metadata import version

        typer.echo(f"spreadload {version('spreadload')}")
        raise typer.Exit


@cli.callback()
def _options(
    *,
    _version: Annotated[
        bool,
        typer.Option("--version", callback=_tell_version, is_eager=True, help="Show the version."),
    ] = False,
) -> None:
    """Take no options but the version; commands follow."""


def main() -> NoReturn:
    """Run the command line and leave with its exit code."""
    gc.set_threshold(_OBJECTS_BEFORE_COLLECTING, *gc.get_threshold()[1:])
    os.environ.setdefault(*_ONE_THREAD_FOR_SUMS)
    for stream in (sys.stdout, sys.stderr):
        with_plain_signs(stream)
    try:
        cli(prog_name="spreadload")
    finally:
        gc.freeze()  # it all goes with the process: a last look for garbage takes a quarter second
    sys.exit(ExitCode.HOLDS)


def exit_with(run: Callable[[], Told], *, debug: bool) -> NoReturn:
    """Run a use case and turn how it ended into an exit code."""
    try:
        code = run().exit_code
        with _writing():
            sys.stdout.flush()
    except SpreadloadError as error:
        if debug:
            traceback.print_exc()
        tell(str(error))
        code = error.exit_code
    except BrokenPipeError:
        # The reader has seen enough.
        _write_no_more()
        code = ExitCode.HOLDS
    except KeyboardInterrupt:
        tell("stopped before there was a plan")
        code = ExitCode.UNDECIDED
    except Exception as error:  # noqa: BLE001 - anything else is our fault and is said to be
        if debug:
            traceback.print_exc()
        tell(f"internal error: {type(error).__name__}: {error}")
        tell("This is a fault of the program, not of your job; --debug shows where")
        code = ExitCode.OUR_FAULT
    _leave_if_still_searching(code)
    raise typer.Exit(code)


@contextmanager
def _writing() -> Iterator[None]:
    """Turn an answer that cannot be written, say for want of room, into a fault of the user's."""
    try:
        yield
    except BrokenPipeError:
        raise
    except OSError as error:
        _write_no_more()
        problem = f"cannot be written: {error.strerror or error}"
        remedy = "make room there, or send the answer elsewhere"
        raise InputError([Fault("", 0, "standard output", problem, remedy=remedy)]) from error


def _write_no_more() -> None:
    """Send what is still kept for standard output nowhere: Python would complain while closing."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _leave_if_still_searching(code: int) -> None:
    """Leave at once when a search abandoned after Ctrl-C still runs.

    Python cannot close down under a solver's thread without aborting the whole process.
    """
    if any(isinstance(thread, Task) and thread.is_alive() for thread in threading.enumerate()):
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(code)


def day_of(job: Path, *, is_urgent: bool = False) -> "Day":
    """Return a job with its log; what its reader should know of the log is told.

    Raises:
        InputError: With every fault of the job, or of the log unless it is urgent.
    """
    from spreadload.app.loaded import load_day

    day = load_day(job, is_urgent=is_urgent)
    warn(day.warnings)
    return day


def now(when: str | None) -> str:
    """Return the time as given, else the clock's in local time to the second."""
    return when if when is not None else datetime.now().astimezone().isoformat(timespec="seconds")


def looking(time_limit_s: float, alternatives: int = 2) -> "SolverConfig":
    """Return how long to look for plans and how many, telling a person what is looked for."""
    from spreadload.solver.engine.limits import SolverConfig

    return SolverConfig(time_limit_s=time_limit_s, alternatives=alternatives, progress=progress)


def given_plan(file: Path | None, job: "Job") -> "Plan | None":
    """Return the plan of a file, or None without one; what its reader should know is told.

    Raises:
        InputError: Not a plan, or of a later version.
    """
    loaded = given_plans(file, job)
    return None if loaded is None else loaded.plan


def given_plans(file: Path | None, job: "Job") -> "LoadedPlan | None":
    """Return the plan of a file with those ranked behind it, or None without a file.

    Raises:
        InputError: Not a plan, or of a later version.
    """
    if file is None:
        return None
    from spreadload.app.loaded import astray
    from spreadload.app.planning import load_plan

    loaded = load_plan(file, job)
    warn((*loaded.warnings, *astray(job, loaded.plan, file)))
    return loaded


def warn(warnings: Iterable[str]) -> None:
    """Tell warnings, one line each."""
    for warning in warnings:
        tell(f"warning: {warning}")


def shown(told: Tellable, *, as_json: bool, **how: Any) -> Told:  # noqa: ANN401 - as each is told
    """Print an answer as text or as data, and return it.

    Args:
        told: The answer.
        as_json: Whether to print data.
        how: What its text is told by: one set-up only, or in brief.
    """
    say(told.data() if as_json else told.text(style(), **how))
    return told


def say(answer: str | dict[str, Any]) -> None:
    """Print an answer, text or data, on standard output."""
    text = (
        cleaned(answer)
        if isinstance(answer, str)
        else json.dumps(answer, indent=2, ensure_ascii=False)
    )
    with _writing():
        typer.echo(text)


def tell(text: str) -> None:
    """Print what is no answer on standard error."""
    typer.echo(cleaned(text), err=True)


def progress(text: str) -> None:
    """Say what a search is about, to a person at a terminal only."""
    if sys.stderr.isatty():
        tell(text)


def style() -> "Style":
    """Return how to set text on this terminal."""
    from spreadload.report.style import Style

    return Style(
        width=columns_of(sys.stdout, Style.width),
        colour=sys.stdout.isatty() and not os.environ.get("NO_COLOR"),
    )
