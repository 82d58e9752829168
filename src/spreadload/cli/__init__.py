"""The command line: read the words, call the use case, print the answer, exit."""

from importlib import import_module

from spreadload.cli.shell import cli, main

__all__ = ["cli", "main"]

# Commands register themselves; the help lists them in this order.
for _room in ("plan", "changes", "volts", "sheet", "day", "wiring", "writing"):
    import_module(f"{__name__}.{_room}")
