"""Ids: known, given once, and not blank. Imports only its neighbours."""

from collections.abc import Iterator, Mapping

from spreadload.job.job import Job
from spreadload.job.references.finding import Finding
from spreadload.lookalikes import odd_signs, plain_signs

SPOTS = ("outlets", "rooms", "places")
LOADS = ("heads", "departments", "house", "stock")
OTHERS = ("rcds", "sub_boards", "circuits", "boxes")


def check_names(job: Job) -> Iterator[Finding]:
    """Yield ids that are blank or that two entries of one name space share."""
    for group in (*SPOTS, *LOADS, *OTHERS):
        yield from _blank(group, getattr(job, group))
        yield from _look_alike(group, getattr(job, group))
    yield from _clashes(job, SPOTS, "heads may stand at any of them")
    yield from _clashes(job, LOADS, "set-ups tell them apart by name only")
    yield from _setup_ids(job)


def _blank(group: str, entries: Mapping[str, object]) -> Iterator[Finding]:
    for name in entries:
        if name != name.strip() or not name:
            problem = "an id is blank or has blanks around it"
            yield Finding((group, name), problem, f"'{name}'", remedy="give it a plain name")


def _look_alike(group: str, entries: Mapping[str, object]) -> Iterator[Finding]:
    """Yield ids that nobody can tell from another: a letter of theirs is of another alphabet."""
    first: dict[str, str] = {}
    for name in entries:
        other = first.setdefault(plain_signs(name), name)
        if other != name:
            odd = odd_signs(name) or odd_signs(other)
            remedy = f"give one of them another name: {odd}"
            yield Finding((group, name), f"looks the same as {other}", name, remedy=remedy)


def _clashes(job: Job, groups: tuple[str, ...], why: str) -> Iterator[Finding]:
    first: dict[str, str] = {}
    for group in groups:
        for name in getattr(job, group):
            if name in first:
                yield Finding(
                    (group, name),
                    f"{first[name]} has an entry of the same name",
                    name,
                    remedy=f"rename one of the two: {why}",
                )
            first.setdefault(name, group)


def _setup_ids(job: Job) -> Iterator[Finding]:
    seen: set[str] = set()
    for index, setup in enumerate(job.setups):
        path = ("setups", index, "id")
        if not setup.id.strip():
            yield Finding(path, "a set-up has no id", remedy="give it a short name such as SU1")
        elif setup.id in seen:
            remedy = "give each set-up an id of its own"
            yield Finding(path, "two set-ups have this id", setup.id, remedy=remedy)
        seen.add(setup.id)
