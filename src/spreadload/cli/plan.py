"""The commands that plan, judge a plan and say why.

Use cases are loaded by the command that needs them.
"""

from spreadload.cli.options import (
    Alternatives,
    AsJson,
    Debug,
    Head,
    IsBrief,
    JobPath,
    Outlet,
    PlanHeld,
    PlanToJudge,
    SavePlan,
    SetupId,
    TimeLimit,
)
from spreadload.cli.shell import Told, cli, exit_with, given_plan, looking, shown, tell, warn


@cli.command()
def plan(
    job: JobPath,
    *,
    setup: SetupId = None,
    brief: IsBrief = False,
    alternatives: Alternatives = 2,
    save: SavePlan = None,
    time_limit: TimeLimit = 20.0,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Find ranked plans for the day; the first line is the answer."""

    def run() -> Told:
        from spreadload.app import planning

        stated, log = planning.load_job_and_log(job)
        config = looking(time_limit, alternatives=alternatives)
        told = planning.plan_job(stated, config, setup=setup, reasons=not brief or as_json, log=log)
        if save is not None and told.plan is not None:
            planning.save_plan(save, stated, told.plan, told.others)
            tell(f"plan kept in {save}")
        return shown(told, as_json=as_json, setup=setup, is_brief=brief)

    exit_with(run, debug=debug)


@cli.command()
def check(
    job: JobPath,
    plan_file: PlanToJudge,
    *,
    setup: SetupId = None,
    brief: IsBrief = False,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Judge a plan, whoever wrote it.

    Every limit it passes is told, and what it is worth.
    """

    def run() -> Told:
        from spreadload.app import planning

        stated, log = planning.load_job_and_log(job)
        loaded = planning.load_plan(plan_file, stated)
        warn(loaded.warnings)
        told = planning.check_plan(
            stated, loaded.plan, setup=setup, reasons=not brief or as_json, log=log
        )
        return shown(told, as_json=as_json, setup=setup, is_brief=brief)

    exit_with(run, debug=debug)


@cli.command()
def why(
    job: JobPath,
    head: Head,
    outlet: Outlet,
    *,
    setup: SetupId = None,
    plan_file: PlanHeld = None,
    time_limit: TimeLimit = 20.0,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Say why a head is not at an outlet, by planning with it there."""

    def run() -> Told:
        from spreadload.app import planning

        stated, log = planning.load_job_and_log(job)
        told = planning.why_not(
            stated,
            head,
            outlet,
            setup=setup,
            plan=given_plan(plan_file, stated),
            config=looking(time_limit),
            log=log,
        )
        return shown(told, as_json=as_json)

    exit_with(run, debug=debug)
