"""The commands that help to write a job. Part of the command line.

Imports ``shell`` and ``errors``; the use case is loaded by the command that needs it.
"""

from typing import Annotated

import typer

from spreadload.cli.shell import AsJson, Debug, Told, cli, exit_with, say, style

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

    def run() -> Told:
        from spreadload.app import keys as app_keys

        told = app_keys.find_keys(name)
        say(told.data() if as_json else told.text(style()))
        return told

    exit_with(run, debug=debug)


@cli.command()
def region(
    name: Annotated[str, typer.Argument(metavar="REGION", help="Such as AU, UK, IT or US.")],
    *,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Show what is assumed in a region where a job says nothing, with the sources."""

    def run() -> Told:
        from spreadload.app import keys as app_keys

        told = app_keys.find_region(name)
        say(told.data() if as_json else told.text(style()))
        return told

    exit_with(run, debug=debug)
