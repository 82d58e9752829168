"""The command about the switchboard. Part of the command line.

Imports ``cli`` and ``errors``; the use case is loaded by the command that needs it.
"""

from spreadload.cli import AsJson, Debug, JobPath, _exit_with, _print, _style, _Told, cli


@cli.command()
def board(job: JobPath, *, as_json: AsJson = False, debug: Debug = False) -> None:
    """Read the switchboard: what each way feeds, how sure, and what is usable in all."""

    def run() -> _Told:
        from spreadload import app, app_board  # noqa: PLC0415 - help must not wait for it

        stated = app.load_job(job)
        told = app_board.read_board(stated, app.load_log(app.log_path(job), stated))
        _print(told.data() if as_json else told.text(_style()))
        return told

    _exit_with(run, debug=debug)
