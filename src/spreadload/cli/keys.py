"""The commands that help to write a job.

Use cases are loaded by the command that needs them.
"""

from spreadload.cli.options import AsJson, AsSchema, Debug, KeyName, RegionName
from spreadload.cli.shell import Told, cli, exit_with, shown


@cli.command()
def keys(
    name: KeyName = "",
    *,
    as_json: AsSchema = False,
    debug: Debug = False,
) -> None:
    """Say what a job file may hold: every key, its unit, its limits and what it means."""

    def run() -> Told:
        from spreadload.app import keys as app_keys

        return shown(app_keys.find_keys(name), as_json=as_json)

    exit_with(run, debug=debug)


@cli.command()
def region(
    name: RegionName,
    *,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Show what is assumed in a region where a job says nothing, with the sources."""

    def run() -> Told:
        from spreadload.app import keys as app_keys

        return shown(app_keys.find_region(name), as_json=as_json)

    exit_with(run, debug=debug)
