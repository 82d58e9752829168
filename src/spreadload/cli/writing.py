"""The commands that help to write a job: recce, keys, region.

Use cases are loaded by the command that needs them.
"""

from pathlib import Path

from spreadload.cli.options import (
    AsJson,
    AsSchema,
    Debug,
    KeyName,
    Out,
    RegionName,
    RegionOfRecce,
)
from spreadload.cli.shell import Told, cli, exit_with, say, shown, tell


@cli.command()
def recce(
    *,
    region: RegionOfRecce = "AU",
    out: Out = Path("recce.html"),
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Write a recce sheet, to print or to fill in on a phone.

    The form saves a job file, without a network.
    """

    def run() -> Told:
        from spreadload.app import sheet as app_sheet

        told = app_sheet.recce_of(region)
        app_sheet.write_recce(told, out)
        if as_json:
            say(told.data())
        tell(f"recce sheet written to {out}")
        return told

    exit_with(run, debug=debug)


@cli.command()
def keys(name: KeyName = "", *, as_json: AsSchema = False, debug: Debug = False) -> None:
    """Say what a job file may hold: every key and what it means.

    Each with its unit and its limits.
    """

    def run() -> Told:
        from spreadload.app import keys as app_keys

        return shown(app_keys.find_keys(name), as_json=as_json)

    exit_with(run, debug=debug)


@cli.command()
def region(name: RegionName, *, as_json: AsJson = False, debug: Debug = False) -> None:
    """Show what is assumed in a region where a job says nothing.

    Each row with its source.
    """

    def run() -> Told:
        from spreadload.app import keys as app_keys

        return shown(app_keys.find_region(name), as_json=as_json)

    exit_with(run, debug=debug)
