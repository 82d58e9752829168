"""The command for the question of the day: may this be plugged in here?

Use cases are loaded by the command that needs them.
"""

from typing import TYPE_CHECKING

from spreadload.cli.options import (
    AsJson,
    Debug,
    IsForMinutes,
    JobPath,
    PlanRigged,
    Start,
    TimeLimit,
    Until,
    What,
    Where,
)
from spreadload.cli.shell import Told, cli, exit_with, progress, shown, tell, warn

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
    plan_file: PlanRigged = None,
    briefly: IsForMinutes = False,
    as_json: AsJson = False,
    time_limit: TimeLimit = 20.0,
    debug: Debug = False,
) -> None:
    """Say whether something may be plugged in here, from now until when."""

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
    config = planning.SolverConfig(time_limit_s=time_limit_s, alternatives=0, progress=progress)
    return planning.plan_job(day.job, config, reasons=False, log=day.log)
