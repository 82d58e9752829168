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
from spreadload.cli.shell import (
    Told,
    cli,
    exit_with,
    given_plan,
    progress,
    shown,
    tell,
    warn,
)


@cli.command()
def plan(
    job: JobPath,
    *,
    as_json: AsJson = False,
    save: SavePlan = None,
    alternatives: Alternatives = 2,
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
        return shown(told, as_json=as_json, setup=setup, is_brief=brief)

    exit_with(run, debug=debug)


@cli.command()
def check(
    job: JobPath,
    plan_file: PlanToJudge,
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
        return shown(told, as_json=as_json)

    exit_with(run, debug=debug)
