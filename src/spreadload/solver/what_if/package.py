"""From the priced decisions back to a package of changes."""

from collections import defaultdict
from collections.abc import Iterable
from functools import reduce

from spreadload.changes import Change, ChangeKind
from spreadload.job.job import Job
from spreadload.plan import Plan
from spreadload.solver.what_if.priced import Option, Priced
from spreadload.solver.what_if.readers import READERS, Value, agreed_off

# What comes with a package without making it another kind of package.
MINOR = frozenset({ChangeKind.AGREED_OFF, ChangeKind.LEADS})


def read_package(priced: Priced, value: Value) -> tuple[Change, ...]:
    """Return the changes that the values of the decisions describe, dearest first."""
    taken: dict[ChangeKind, list[tuple[Option, int]]] = defaultdict(list)
    for option in priced.options:
        amount = value(option.amount)
        if amount:
            taken[option.kind].append((option, amount))
    found = [
        change for kind, read in READERS.items() for change in read(priced, value, taken[kind])
    ]
    return ordered(found)


def ordered(changes: Iterable[Change]) -> tuple[Change, ...]:
    """Return changes as they are told: what makes the package first, the dearest of it first."""
    return tuple(sorted(changes, key=lambda c: (c.kind in MINOR, -c.cost.price, c.words)))


def kinds_of(changes: tuple[Change, ...]) -> frozenset[ChangeKind]:
    """Return the kinds that make a package what it is."""
    kinds = frozenset(change.kind for change in changes)
    return kinds - MINOR or kinds


def apply(job: Job, changes: tuple[Change, ...]) -> Job:
    """Return the job with a package of changes made."""
    return reduce(lambda changed, change: change.edit(changed), changes, job)


def as_planned(
    job: Job, changes: tuple[Change, ...], plan: Plan, trouble: tuple[str, ...]
) -> tuple[Change, ...]:
    """Return the changes of a package with what its plan switches off, and nothing it leaves on.

    What is off in a set-up that was not in trouble is off as asked, and no part of the package.
    """
    off = [(entry.setup, entry.load) for entry in plan.switched_off if entry.setup in trouble]
    rest = tuple(change for change in changes if change.kind is not ChangeKind.AGREED_OFF)
    return ordered((*rest, *agreed_off(job, off)))


def last_resort_heads(priced: Priced, value: Value) -> dict[str, int]:
    """Return on how many heads a package puts on last-resort outlets, set-up by set-up."""
    found = dict.fromkeys(priced.menu.setups, 0)
    for demand, options in priced.v.options.items():
        if priced.v.facts.loads[demand.load].is_head:
            there = [o.point.id for o in options if o.point.is_last_resort]
            found[demand.setup] += sum(value(priced.v.units_at(demand, p)) for p in there)
    return found
