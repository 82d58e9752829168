"""One stated limit or wish of a set-up, and the edits of a job that go without one.

Nothing here solves.
"""

from collections.abc import Callable
from dataclasses import dataclass
from enum import IntEnum
from typing import Any

from spreadload.changes import Edit
from spreadload.job.job import Job


class Sort(IntEnum):
    """Sorts of requirement, those that are hardest to explain first: they are given up first."""

    LEADS = 0
    SOCKETS = 1
    BOXES = 2
    SINGLE_LOAD = 3
    LEAD_DROP = 4
    PLUG = 6
    RATING = 7
    OFF_LIMITS = 8
    FIXED = 9
    RCD_AMPS = 10
    LEAKAGE = 11
    FEED = 12
    CONTRACT = 13
    SUPPLY = 14
    LOAD = 15
    HEAD = 16
    CIRCUIT = 17


@dataclass(frozen=True)
class Requirement:
    """One stated limit or wish.

    Attributes:
        words: In crew words, with its amount.
        path: Where the job states it.
        without: Edit that makes a job go without it.
        rank: Order in which those of one sort are given up, smallest first.
        name: Id of the load wished for.
    """

    sort: Sort
    words: str
    path: tuple[str | int, ...]
    without: Edit
    rank: int = 0
    name: str = ""

    @property
    def is_wish(self) -> bool:
        """Whether it is something asked for, not a limit."""
        return self.sort in (Sort.LOAD, Sort.HEAD)


def each_changed(group: str, changes: Callable[[Any], dict[str, Any]], job: Job) -> Job:
    """Return the job with every entry of a group changed."""
    entries = {n: e.model_copy(update=changes(e)) for n, e in getattr(job, group).items()}
    return job.model_copy(update={group: entries})


def one_changed(group: str, name: str, changes: dict[str, Any], job: Job) -> Job:
    """Return the job with one entry of a group changed."""
    entries = getattr(job, group)
    changed = entries | {name: entries[name].model_copy(update=changes)}
    return job.model_copy(update={group: changed})


def group_of(job: Job, load_id: str) -> str:
    """Return where a load stands: heads, departments or house."""
    groups = ("heads", "departments", "house")
    return next(group for group in groups if load_id in getattr(job, group))
