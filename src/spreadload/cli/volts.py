"""The commands about volts under load and about switching.

Use cases are loaded by the command that needs them.
"""

from spreadload.cli.options import (
    AsJson,
    BoardC,
    Debug,
    JobPath,
    MinV,
    PlanLookedAt,
    SetupId,
    TimeLimit,
)
from spreadload.cli.shell import Told, cli, exit_with, given_plan, looking, shown


@cli.command()
def sag(
    job: JobPath,
    *,
    setup: SetupId = None,
    plan_file: PlanLookedAt = None,
    min_v: MinV = None,
    board_c: BoardC = None,
    time_limit: TimeLimit = 20.0,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Say what the volts do under load.

    And what the house can really give.
    """

    def run() -> Told:
        from spreadload.app import planning
        from spreadload.app import volts as app_volts

        stated, log = planning.load_job_and_log(job)
        told = app_volts.sag(
            stated,
            given_plan(plan_file, stated),
            min_v=min_v,
            board_c=board_c,
            setup=setup,
            config=looking(time_limit, alternatives=0),
            log=log,
        )
        return shown(told, as_json=as_json, setup=setup)

    exit_with(run, debug=debug)


@cli.command()
def turn(
    job: JobPath,
    *,
    setup: SetupId = None,
    plan_file: PlanLookedAt = None,
    time_limit: TimeLimit = 20.0,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Give the order of switching on, killing, moving and striking.

    Within each set-up, and from each to the next.
    """

    def run() -> Told:
        from spreadload.app import planning
        from spreadload.app import volts as app_volts

        stated, log = planning.load_job_and_log(job)
        told = app_volts.turn(
            stated,
            given_plan(plan_file, stated),
            setup=setup,
            config=looking(time_limit, alternatives=0),
            log=log,
        )
        return shown(told, as_json=as_json, setup=setup)

    exit_with(run, debug=debug)
