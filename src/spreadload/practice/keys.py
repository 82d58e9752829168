"""What every key of a job file means, read from package data.

Imports nothing of the project but its neighbours.
"""

from functools import cache

from spreadload.practice.load import build, read_data
from spreadload.practice.records import Record

# What heads and loads share is said once.
_SHARED = {"Head": "Draw", "Load": "Draw"}


class _KeyBook(Record):
    meanings: dict[str, dict[str, str]]


@cache
def _meanings() -> dict[str, dict[str, str]]:
    return build(_KeyBook, {"meanings": read_data("keys.yaml")}, "keys.yaml").meanings


def meaning(model: str, key: str) -> str:
    """Return what a key of a model of the job means, or nothing where that is not written."""
    own = _meanings().get(model, {})
    return own.get(key) or _meanings().get(_SHARED.get(model, ""), {}).get(key, "")
