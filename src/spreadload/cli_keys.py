"""The commands that help to write a job. Part of the command line.

Imports ``cli`` and ``errors``; the use case is loaded by the command that needs it.
"""

from typing import Annotated

import typer

from spreadload.cli import AsJson, Debug, _exit_with, _print, _style, _Told, cli

AsSchema = Annotated[
    bool, typer.Option("--json", help="Print the JSON Schema of a job file, for an editor.")
]


@cli.command()
def keys(
    name: Annotated[
        str, typer.Argument(metavar="[NAME]", help="A section or a key; all sections if left out.")
    ] = "",
    *,
    as_json: AsSchema = False,
    debug: Debug = False,
) -> None:
    """Say what a job file may hold: every key, its unit, its limits and what it means."""

    def run() -> _Told:
        from spreadload import app_keys  # noqa: PLC0415 - help must not wait for it

        told = app_keys.find_keys(name)
        _print(told.data() if as_json else told.text(_style()))
        return told

    _exit_with(run, debug=debug)


@cli.command()
def region(
    name: Annotated[str, typer.Argument(metavar="REGION", help="Such as AU, UK, IT or US.")],
    *,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Show what is assumed in a region where a job says nothing, with the sources."""

    def run() -> _Told:
        from spreadload import app_keys  # noqa: PLC0415 - help must not wait for it

        told = app_keys.find_region(name)
        _print(told.data() if as_json else told.text(_style()))
        return told

    _exit_with(run, debug=debug)
