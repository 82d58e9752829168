"""The commands that plan, judge a plan and say why.

Use cases are loaded by the command that needs them.
"""

from pathlib import Path
from typing import Annotated

import typer

from spreadload.cli.shell import (
    AsJson,
    Debug,
    IsBrief,
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
    tell,
    warn,
)


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

    def run() -> Told:
        from spreadload.app import planning

        stated = planning.load_job(job)
        config = planning.SolverConfig(
            time_limit_s=time_limit, alternatives=alternatives, progress=progress
        )
        log = planning.load_log(planning.log_path(job), stated)
        told = planning.plan_job(stated, config, setup=setup, reasons=not brief or as_json, log=log)
        if save is not None and told.plan is not None:
            planning.save_plan(save, stated, told.plan, told.others)
            tell(f"plan kept in {save}")
        say(told.data() if as_json else told.text(style(), setup=setup, is_brief=brief))
        return told

    exit_with(run, debug=debug)


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

    def run() -> Told:
        from spreadload.app import planning

        stated = planning.load_job(job)
        loaded = planning.load_plan(plan_file, stated)
        warn(loaded.warnings)
        log = planning.load_log(planning.log_path(job), stated)
        told = planning.check_plan(
            stated, loaded.plan, setup=setup, reasons=not brief or as_json, log=log
        )
        say(told.data() if as_json else told.text(style(), setup=setup, is_brief=brief))
        return told

    exit_with(run, debug=debug)


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

    def run() -> Told:
        from spreadload.app import planning

        stated = planning.load_job(job)
        given = given_plan(plan_file, stated)
        told = planning.why_not(
            stated,
            head,
            outlet,
            setup=setup,
            plan=given,
            config=planning.SolverConfig(time_limit_s=time_limit, progress=progress),
            log=planning.load_log(planning.log_path(job), stated),
        )
        say(told.data() if as_json else told.text(style()))
        return told

    exit_with(run, debug=debug)
