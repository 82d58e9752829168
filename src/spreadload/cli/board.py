"""The command about the switchboard. Part of the command line.

Imports ``shell`` and ``errors``; the use case is loaded by the command that needs it.
"""

from spreadload.cli.shell import AsJson, Debug, JobPath, Told, cli, exit_with, say, style


@cli.command()
def board(job: JobPath, *, as_json: AsJson = False, debug: Debug = False) -> None:
    """Read the switchboard: what each way feeds, how sure, and what is usable in all."""

    def run() -> Told:
        from spreadload.app import board as app_board
        from spreadload.app import planning

        stated = planning.load_job(job)
        told = app_board.read_board(stated, planning.load_log(planning.log_path(job), stated))
        say(told.data() if as_json else told.text(style()))
        return told

    exit_with(run, debug=debug)
