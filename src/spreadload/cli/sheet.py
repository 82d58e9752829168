"""The command for paper and phone.

Use cases are loaded by the command that needs them.
"""

from pathlib import Path

from spreadload.cli.options import (
    AsJson,
    Debug,
    JobPath,
    Lists,
    Out,
    PlanLookedAt,
    Revision,
    TimeLimit,
)
from spreadload.cli.shell import Told, cli, exit_with, given_plans, looking, say, tell


@cli.command()
def sheet(
    job: JobPath,
    *,
    plan_file: PlanLookedAt = None,
    out: Out = Path("sheet.html"),
    lists: Lists = None,
    revision: Revision = "",
    time_limit: TimeLimit = 20.0,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Write one page for paper and phone.

    With board, map, moves, trips and lists.
    """

    def run() -> Told:
        from spreadload.app import planning
        from spreadload.app import sheet as app_sheet

        stated, log = planning.load_job_and_log(job)
        given = given_plans(plan_file, stated)
        told = app_sheet.sheet_of(
            stated,
            None if given is None else given.plan,
            others=() if given is None else given.others,
            config=looking(time_limit),
            revision=revision,
            log=log,
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
