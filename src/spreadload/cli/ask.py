"""The command for the question of the day: may this be plugged in here?

Use cases are loaded by the command that needs them.
"""

from pathlib import Path
from typing import Annotated

import typer

from spreadload.cli.shell import (
    AsJson,
    Debug,
    JobPath,
    TimeLimit,
    Told,
    cli,
    exit_with,
    progress,
    say,
    style,
    tell,
    warn,
)


@cli.command(context_settings={"ignore_unknown_options": True})
def ask(
    job: JobPath,
    what: Annotated[str, typer.Argument(metavar="WHAT", help="Amps (5A), watts (1200W), a load.")],
    place: Annotated[
        str, typer.Argument(metavar="WHERE", help="An outlet, a room, or anywhere.")
    ] = "anywhere",
    *,
    start: Annotated[
        str | None, typer.Option("--from", metavar="TIME|ID", help="A time or a set-up.")
    ] = None,
    until: Annotated[
        str | None, typer.Option("--until", metavar="TIME|ID", help="A time or a set-up.")
    ] = None,
    plan_file: Annotated[
        Path | None,
        typer.Option(
            "--plan", metavar="FILE", help="What is rigged; else plan.json beside the job."
        ),
    ] = None,
    briefly: Annotated[bool, typer.Option("--briefly", help="It runs for minutes only.")] = False,
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
            from spreadload.app import planning

            tell("no plan given with --plan, and none kept beside the job: planning first")
            config = planning.SolverConfig(
                time_limit_s=time_limit, alternatives=0, progress=progress
            )
            planned = planning.plan_job(day.job, config, reasons=False, log=day.log)
            if planned.plan is None:
                say(planned.data() if as_json else planned.text(style(), is_brief=True))
                return planned
            plan = planned.plan
        else:
            if plan_file is None:
                tell(f"by the plan kept in {kept}; --plan names another")
            plan, warnings = may_i.find_plan(job, stated, kept)
            warn(warnings)
        warn(day.warnings)
        told = may_i.may_i(day.job, plan, question, day.log)
        say(told.data() if as_json else told.text(style()))
        return told

    exit_with(run, debug=debug)
