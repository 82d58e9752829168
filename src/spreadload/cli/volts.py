"""The commands about volts under load and about switching.

Use cases are loaded by the command that needs them.
"""

from spreadload.cli.options import (
    AsJson,
    BoardC,
    Debug,
    JobPath,
    MinV,
    PlanToSwitch,
    PlanUnderLoad,
    SetupId,
    TimeLimit,
)
from spreadload.cli.shell import Told, cli, exit_with, given_plan, progress, shown


@cli.command()
def sag(
    job: JobPath,
    *,
    plan_file: PlanUnderLoad = None,
    min_v: MinV = None,
    board_c: BoardC = None,
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
        return shown(told, as_json=as_json, setup=setup)

    exit_with(run, debug=debug)


@cli.command()
def turn(
    job: JobPath,
    *,
    plan_file: PlanToSwitch = None,
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
        return shown(told, as_json=as_json, setup=setup)

    exit_with(run, debug=debug)
