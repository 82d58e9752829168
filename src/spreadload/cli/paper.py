"""The commands of paper: sheet and recce.

Use cases are loaded by the command that needs them.
"""

from pathlib import Path

from spreadload.cli.options import (
    AsJson,
    Debug,
    JobPath,
    Lists,
    Out,
    PlanToPrint,
    RegionOfRecce,
    Revision,
    TimeLimit,
)
from spreadload.cli.shell import Told, cli, exit_with, given_plans, progress, say, tell


@cli.command()
def sheet(
    job: JobPath,
    *,
    plan_file: PlanToPrint = None,
    out: Out = Path("sheet.html"),
    lists: Lists = None,
    revision: Revision = "",
    time_limit: TimeLimit = 20.0,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Write one page for paper and phone: board, map, moves, trips, lists."""

    def run() -> Told:
        from spreadload.app import planning
        from spreadload.app import sheet as app_sheet

        stated = planning.load_job(job)
        given = given_plans(plan_file, stated)
        told = app_sheet.sheet_of(
            stated,
            None if given is None else given.plan,
            others=() if given is None else given.others,
            config=planning.SolverConfig(time_limit_s=time_limit, progress=progress),
            revision=revision,
            log=planning.load_log(planning.log_path(job), stated),
        )
        say(told.data() if as_json else told.text())
        if told.sheet is None:
            tell("no plan, so no sheet was written")
            return told
        if given is not None and not given.others:
            tell("the plan file holds one plan only; plan --save keeps the ranked ones with it")
        app_sheet.write_sheet(told, out)
        tell(f"sheet written to {out}")
        if lists is not None:
            written = app_sheet.write_lists(told, lists)
            tell(f"{len(written)} lists written to {lists}")
        return told

    exit_with(run, debug=debug)


@cli.command()
def recce(
    *,
    region: RegionOfRecce = "AU",
    out: Out = Path("recce.html"),
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Write a recce sheet: blank to print, and a form that saves a job file without a network."""

    def run() -> Told:
        from spreadload.app import sheet as app_sheet

        told = app_sheet.recce_of(region)
        app_sheet.write_recce(told, out)
        if as_json:
            say(told.data())
        tell(f"recce sheet written to {out}")
        return told

    exit_with(run, debug=debug)
