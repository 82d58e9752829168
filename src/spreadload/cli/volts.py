"""The commands about volts under load and about switching.

Use cases are loaded by the command that needs them.
"""

from pathlib import Path
from typing import Annotated

import typer

from spreadload.cli.shell import (
    AsJson,
    Debug,
    JobPath,
    SetupId,
    TimeLimit,
    Told,
    cli,
    exit_with,
    given_plan,
    progress,
    say,
    style,
)


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
    board_c: Annotated[
        float | None,
        typer.Option("--board-c", metavar="C", help="Air in the board, °C; breakers feel it."),
    ] = None,
    setup: SetupId = None,
    as_json: AsJson = False,
    time_limit: TimeLimit = 20.0,
    debug: Debug = False,
) -> None:
    """Say what the volts do under load, and what the house can really give."""

    def run() -> Told:
        from spreadload.app import planning
        from spreadload.app import volts as app_volts

        stated = planning.load_job(job)
        given = given_plan(plan_file, stated)
        told = app_volts.sag(
            stated,
            given,
            min_v=min_v,
            board_c=board_c,
            setup=setup,
            config=planning.SolverConfig(
                time_limit_s=time_limit, alternatives=0, progress=progress
            ),
            log=planning.load_log(planning.log_path(job), stated),
        )
        say(told.data() if as_json else told.text(style(), setup=setup))
        return told

    exit_with(run, debug=debug)


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

    def run() -> Told:
        from spreadload.app import planning
        from spreadload.app import volts as app_volts

        stated = planning.load_job(job)
        given = given_plan(plan_file, stated)
        told = app_volts.turn(
            stated,
            given,
            setup=setup,
            config=planning.SolverConfig(
                time_limit_s=time_limit, alternatives=0, progress=progress
            ),
            log=planning.load_log(planning.log_path(job), stated),
        )
        say(told.data() if as_json else told.text(style(), setup=setup))
        return told

    exit_with(run, debug=debug)
