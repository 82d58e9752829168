"""The commands of the day: ask, trip, replan.

Use cases are loaded by the command that needs them.
"""

from typing import TYPE_CHECKING

from spreadload.cli.greedy import GreedyCommand
from spreadload.cli.options import (
    After,
    AsJson,
    Bright,
    Dark,
    Debug,
    Device,
    Gone,
    IsForMinutes,
    IsLogged,
    IsSafe,
    JobPath,
    Just,
    Lit,
    PlanRigged,
    SaveMoved,
    SaveNewPlan,
    SetupNow,
    Since,
    Start,
    StaysOff,
    TimeLimit,
    Until,
    What,
    When,
    Where,
)
from spreadload.cli.shell import (
    Told,
    cli,
    day_of,
    exit_with,
    looking,
    now,
    shown,
    tell,
    warn,
)

if TYPE_CHECKING:
    from spreadload.app.loaded import Day
    from spreadload.app.told import PlanTold


@cli.command(context_settings={"ignore_unknown_options": True})
def ask(
    job: JobPath,
    what: What,
    place: Where = "anywhere",
    *,
    start: Start = None,
    until: Until = None,
    briefly: IsForMinutes = False,
    plan_file: PlanRigged = None,
    time_limit: TimeLimit = 20.0,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Say whether something may be plugged in here, and until when.

    Without a plan that is rigged one is looked for first.
    """

    def run() -> Told:
        from spreadload.app import may_i

        day = may_i.load_day(job, is_urgent=True)
        stated = day.stated
        question = may_i.question_of(
            stated, what, place, start=start, until=until, is_intermittent=briefly
        )
        kept = plan_file or may_i.kept_beside(job)
        if plan_file is None and not kept.exists():
            planned = _planned(day, time_limit)
            if planned.plan is None:
                return shown(planned, as_json=as_json, is_brief=True)
            plan = planned.plan
        else:
            if plan_file is None:
                tell(f"by the plan kept in {kept}; --plan names another")
            plan, warnings = may_i.find_plan(job, stated, kept)
            warn(warnings)
        warn(day.warnings)
        return shown(may_i.may_i(day.job, plan, question, day.log), as_json=as_json)

    exit_with(run, debug=debug)


def _planned(day: "Day", time_limit_s: float) -> "PlanTold":
    """Look for a plan where none is rigged that anybody knows of."""
    from spreadload.app import planning

    tell("no plan given with --plan, and none kept beside the job: planning first")
    config = looking(time_limit_s, alternatives=0)
    return planning.plan_job(day.job, config, reasons=False, log=day.log)


@cli.command(cls=GreedyCommand)
def trip(
    job: JobPath,
    *,
    dark: Dark = None,
    lit: Lit = None,
    bright: Bright = None,
    device: Device = None,
    just: Just = "",
    after: After = None,
    setup: SetupNow = None,
    when: When = None,
    plan_file: PlanRigged = None,
    log: IsLogged = False,
    save: SaveMoved = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Say what opened when something went dark, and what to move.

    What to say on the radio comes first.
    """

    def run() -> Told:
        from spreadload.app import trip as app_trip
        from spreadload.app.loaded import find_plan

        day = day_of(job, is_urgent=True)
        plan, warnings = find_plan(job, day.stated, plan_file)
        warn(warnings)
        said = app_trip.TripSaid(
            dark=tuple(dark or ()),
            lit=tuple(lit or ()),
            bright=tuple(bright or ()),
            device=device,
            just=just,
            after=after,
            setup=setup,
            when=now(when),
            log=log,
        )
        told = app_trip.trip(day, plan, said)
        if save is not None:
            app_trip.save_plan(save, day.stated, told.answer.scene, told.plan, plan)
            tell(f"plan kept in {save}")
        return shown(told, as_json=as_json)

    exit_with(run, debug=debug)


@cli.command(cls=GreedyCommand)
def replan(
    job: JobPath,
    *,
    since: Since,
    off: StaysOff = None,
    gone: Gone = None,
    safe: IsSafe = False,
    plan_file: PlanRigged = None,
    save: SaveNewPlan = None,
    time_limit: TimeLimit = 20.0,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Plan the rest of the day again, moving as few plugs as can be."""

    def run() -> Told:
        from spreadload.app import replan as app_replan
        from spreadload.app.loaded import find_plan, keep_plan

        day = day_of(job)
        plan, warnings = find_plan(job, day.stated, plan_file)
        warn(warnings)
        said = app_replan.ReplanSaid(since, tuple(off or ()), tuple(gone or ()), safe)
        told = app_replan.replan(day, plan, said, looking(time_limit))
        if save is not None and told.plan is not None:
            keep_plan(save, day.stated, told.plan)
            tell(f"plan kept in {save}")
        return shown(told, as_json=as_json)

    exit_with(run, debug=debug)
