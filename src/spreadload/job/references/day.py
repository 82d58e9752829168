"""Set-ups against the kit, the places and the clock. Imports only its neighbours and ``words``."""

from collections.abc import Iterator
from itertools import combinations

from spreadload.job.base import DAY_MIN, clock_minutes, pieces_of_day
from spreadload.job.day import Places, Setup
from spreadload.job.job import Job
from spreadload.job.kit import Load, Policy
from spreadload.job.references.finding import (
    Finding,
    Path,
    heads_and_loads,
    spots,
    unknown,
)
from spreadload.job.references.kit import late
from spreadload.words import setup_name

# No crew stays on one set-up for longer through the night; who writes it has swapped the two times
# (common practice, no source).
_LONGEST_NIGHT_MIN = 16 * 60


def check_day(job: Job) -> Iterator[Finding]:
    """Yield what cannot be meant about the set-ups."""
    everywhere, everything = spots(job), heads_and_loads(job)
    for index, setup in enumerate(job.setups):
        path = ("setups", index)
        for head, places in setup.heads.items():
            where = (*path, "heads", head)
            yield from unknown(where, "head", head, job.heads, everything)
            yield from _stand(where, places, everywhere)
            if head in job.heads:
                at = ("heads", head)
                yield from _enough(where, sum(_counts(places)), job.heads[head].count, at)
        yield from _on(job, path, setup, everything)
        yield from _swaps(job, path, setup)
        yield from _window(path, setup)
    yield from _overlaps(job)


def _stand(path: Path, places: Places, everywhere: dict[str, str]) -> Iterator[Finding]:
    if not places:
        yield Finding(path, "nobody says where it stands", remedy="name a place, room or outlet")
    elif isinstance(places, str) and places.isdecimal() and places not in everywhere:
        problem, remedy = "a number does not say where they stand", f"write {{place: {places}}}"
        yield Finding(path, problem, places, remedy=f"{remedy}, with a place, room or outlet")
    elif isinstance(places, str):
        yield from unknown(path, "place, room or outlet", places, everywhere)
    else:
        steps = enumerate(places) if isinstance(places, tuple) else ((p, p) for p in places)
        for step, place in steps:
            yield from unknown((*path, step), "place, room or outlet", place, everywhere)


def _counts(places: Places) -> list[int]:
    if isinstance(places, dict):
        return list(places.values())
    return [1] if isinstance(places, str) else [1] * len(places)


def _enough(path: Path, asked: int, owned: int, stated_at: Path) -> Iterator[Finding]:
    if asked > owned:
        yield Finding(
            path,
            "the set-up uses more of these than there are",
            str(asked),
            f"at most {owned}",
            "take one away here, or raise its count",
            leans_on=((*stated_at, "count"),),
        )


def _on(job: Job, path: Path, setup: Setup, everything: dict[str, str]) -> Iterator[Finding]:
    plugged = job.loads
    seen: set[str] = set()
    for step, name, count in _named(setup):
        where = (*path, "on", step)
        yield from unknown(where, "department's or house load", name, plugged, everything)
        if name in plugged:
            at = ("departments" if name in job.departments else "house", name)
            yield from _may_run(where, name, plugged[name], at)
            yield from _enough(where, count, plugged[name].count, at)
        if name in seen:
            remedy = f"name it once; on: {{{name}: 2}} says how many"
            yield Finding(where, "named twice", name, remedy=remedy)
        seen.add(name)


def _swaps(job: Job, path: Path, setup: Setup) -> Iterator[Finding]:
    ids = {each.id: "set-up" for each in job.setups}
    timed = {each.id for each in job.setups if each.from_ is not None and each.to is not None}
    for step, other in enumerate(setup.may_swap_with):
        where = (*path, "may_swap_with", step)
        yield from unknown(where, "set-up", other, ids)
        if other == setup.id:
            yield Finding(where, "a set-up cannot change places with itself", other)
        elif other in ids and not {setup.id, other} <= timed:
            remedy = "state from and to of both"
            problem = "changing places needs the times of both"
            yield Finding(where, problem, other, remedy=remedy, leans_on=(("setups",),))


def _named(setup: Setup) -> Iterator[tuple[str | int, str, int]]:
    """Yield what is on: the step in the file, the name, and how many at least."""
    if isinstance(setup.on, dict):
        yield from ((name, name, count) for name, count in setup.on.items())
    else:
        yield from ((index, name, 1) for index, name in enumerate(setup.on))


def _may_run(path: Path, name: str, load: Load, stated_at: Path) -> Iterator[Finding]:
    if load.policy is Policy.MUST_BE_OFF:
        remedy = "take it out of `on`, or change its policy"
        problem = "on here, although it must be off"
        yield Finding(path, problem, name, remedy=remedy, leans_on=((*stated_at, "policy"),))


def _window(path: Path, setup: Setup) -> Iterator[Finding]:
    yield from late(path, "from", setup.from_)
    yield from late(path, "to", setup.to)
    if setup.from_ is None or setup.to is None:
        return
    start, end = clock_minutes(setup.from_), clock_minutes(setup.to)
    if _is_swapped(start, end):
        lasts_h = (end - start + DAY_MIN) / 60
        yield Finding(
            (*path, "to"),
            "the set-up ends before it begins",
            setup.to,
            f"through midnight at most {_LONGEST_NIGHT_MIN // 60} hours",
            f"correct one of the two: from {setup.from_} it would last {lasts_h:g} hours",
        )
    if start == end:
        remedy = "make it end later; 00:00 to 24:00 is a whole day"
        yield Finding((*path, "to"), "the set-up ends as it begins", setup.to, remedy=remedy)


def _overlaps(job: Job) -> Iterator[Finding]:
    timed = [(index, setup, _pieces(setup)) for index, setup in enumerate(job.setups)]
    for (at, first, earlier), (index, second, later) in combinations(timed, 2):
        if any(a < d and c < b for a, b in earlier for c, d in later):
            yield Finding(
                ("setups", index, "from"),
                f"begins while {setup_name(first.id)} is still on",
                str(second.from_),
                f"{setup_name(first.id)} is from {first.from_} to {first.to}",
                "set-ups follow one another: correct one of the times",
                leans_on=(("setups", at),),
            )


def _pieces(setup: Setup) -> tuple[tuple[int, int], ...]:
    """Return the window of a set-up; none where it is not stated or is no time at all."""
    if setup.from_ is None or setup.to is None:
        return ()
    start, end = clock_minutes(setup.from_), clock_minutes(setup.to)
    return () if start == end or _is_swapped(start, end) else pieces_of_day(start, end)


def _is_swapped(start_min: int, end_min: int) -> bool:
    """Whether a window that ends before it begins is too long for a night."""
    return end_min < start_min and end_min - start_min + DAY_MIN > _LONGEST_NIGHT_MIN
