"""The commands of paper: sheet and recce. Part of the command line.

Imports ``cli`` and ``errors``; the use cases are loaded by the command that needs them.
"""

from pathlib import Path
from typing import Annotated

import typer

from spreadload.cli import (
    AsJson,
    Debug,
    JobPath,
    TimeLimit,
    _exit_with,
    _note,
    _print,
    _progress,
    _Told,
    cli,
)


@cli.command()
def sheet(
    job: JobPath,
    *,
    plan_file: Annotated[
        Path | None, typer.Option("--plan", metavar="FILE", help="A plan; found when left away.")
    ] = None,
    out: Annotated[Path, typer.Option("--out", metavar="FILE", help="The page to write.")] = Path(
        "sheet.html"
    ),
    lists: Annotated[
        Path | None, typer.Option("--lists", metavar="DIR", help="Also write the lists as CSV.")
    ] = None,
    revision: Annotated[
        str, typer.Option("--revision", metavar="TEXT", help="What the crew calls this state.")
    ] = "",
    time_limit: TimeLimit = 20.0,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Write one page for paper and phone: board, map, moves, trips, lists."""

    def run() -> _Told:
        from spreadload import app, app_sheet  # noqa: PLC0415 - help must not wait for it

        stated = app.load_job(job)
        loaded = None if plan_file is None else app.load_plan(plan_file, stated)
        for warning in loaded.warnings if loaded else ():
            _note(f"warning: {warning}")
        told = app_sheet.sheet_of(
            stated,
            loaded.plan if loaded else None,
            config=app.SolverConfig(time_limit_s=time_limit, progress=_progress),
            revision=revision,
            log=app.load_log(app.log_path(job), stated),
        )
        _print(told.data() if as_json else told.text())
        if told.sheet is None:
            _note("no plan, so no sheet was written")
            return told
        app_sheet.write_sheet(told, out)
        _note(f"sheet written to {out}")
        if lists is not None:
            written = app_sheet.write_lists(told, lists)
            _note(f"{len(written)} lists written to {lists}")
        return told

    _exit_with(run, debug=debug)


@cli.command()
def recce(
    *,
    region: Annotated[
        str, typer.Option("--region", metavar="REGION", help="Whose practice to go by.")
    ] = "AU",
    out: Annotated[Path, typer.Option("--out", metavar="FILE", help="The page to write.")] = Path(
        "recce.html"
    ),
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Write a recce sheet: blank to print, and a form that saves a job file without a network."""

    def run() -> _Told:
        from spreadload import app_sheet  # noqa: PLC0415 - help must not wait for it

        told = app_sheet.recce_of(region)
        app_sheet.write_recce(told, out)
        if as_json:
            _print(told.data())
        _note(f"recce sheet written to {out}")
        return told

    _exit_with(run, debug=debug)
