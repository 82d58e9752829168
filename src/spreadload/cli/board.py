"""The command about the switchboard.

Use cases are loaded by the command that needs them.
"""

from spreadload.cli.options import AsJson, Debug, JobPath
from spreadload.cli.shell import Told, cli, exit_with, shown


@cli.command()
def board(job: JobPath, *, as_json: AsJson = False, debug: Debug = False) -> None:
    """Read the switchboard: what each way feeds, how sure, and what is usable in all."""

    def run() -> Told:
        from spreadload.app import board as app_board
        from spreadload.app import planning

        stated = planning.load_job(job)
        return shown(
            app_board.read_board(stated, planning.load_log(planning.log_path(job), stated)),
            as_json=as_json,
        )

    exit_with(run, debug=debug)
