"""What one entry of a log has to say, and what it may name. Imports its neighbours and the job."""

from collections.abc import Iterable, Iterator

from spreadload.errors import Fault
from spreadload.io.source import Path, Source
from spreadload.job.job import Job
from spreadload.job.observations import Observation, Seen
from spreadload.suggest import suggest
from spreadload.words import row

_SHOWN = 12
_NEEDS = {
    Seen.BREAKER_OFF: ("circuits",),
    Seen.TRIP: ("circuits",),
    Seen.RCD: ("rcd",),
    Seen.STORY: ("circuits", "dark"),
    Seen.LABEL: ("circuits", "dark"),
    Seen.HELD: ("circuits", "loads_a"),
    Seen.LOAD_STEP: ("loaded", "read", "idle_v", "loaded_v", "supply_drop_v"),
    Seen.STRIKE: ("strikes",),
}
_ADD = {
    "circuits": "circuits: [...], the breakers it is about",
    "rcd": "rcd: ..., the one that was pressed or opened",
    "dark": "dark: [...], the outlets it is about",
    "loads_a": "loads_a: {outlet: amps}, what hung on each outlet",
    "loaded": "loaded: ..., the outlet with the test load",
    "read": "read: ..., the outlet where the volts were read",
    "idle_v": "idle_v: ..., the volts there without the load",
    "loaded_v": "loaded_v: ..., the volts there with the load on",
    "supply_drop_v": "supply_drop_v: ..., what the supply alone falls by, read near the board",
    "strikes": "strikes: ..., the key of the entry it strikes out",
}


def entry_faults(source: Source, number: int, seen: Observation, job: Job) -> Iterator[Fault]:
    """Yield what one entry lacks, names without its being in the job, or cannot mean."""
    where = ("observations", number)
    for key in _NEEDS[seen.what]:
        if not getattr(seen, key) and getattr(seen, key) != 0:
            yield source.fault(where, f"`{seen.what}` needs `{key}`", remedy=f"add {_ADD[key]}")
    # That something tripped is worth knowing even where nobody looked what was dark.
    if _needs_lamps(seen) and not (seen.dark or seen.still_on):
        problem = f"`{seen.what}` needs `dark` or `still_on` outlets"
        remedy = "add dark: [...] and still_on: [...], the outlets that were looked at"
        yield source.fault(where, problem, remedy=remedy)
    outlets = job.outlets
    yield from _unknown(source, (*where, "circuits"), "circuit", seen.circuits, job.circuits)
    for key, names in (("dark", seen.dark), ("still_on", seen.still_on)):
        yield from _unknown(source, (*where, key), "outlet", names, outlets)
    yield from _unknown(source, (*where, "loads_a"), "outlet", seen.loads_a, outlets)
    for name, known, key, what in (
        (seen.rcd, job.rcds, "rcd", "RCD"),
        (seen.loaded, outlets, "loaded", "outlet"),
        (seen.read, outlets, "read", "outlet"),
    ):
        if name is not None and name not in known:
            yield _no_such(source, (*where, key), what, name, known)
    for name in sorted(set(seen.dark) & set(seen.still_on)):
        problem = f"outlet {name} is both dark and still on"
        yield source.fault(where, problem, remedy=f"take {name} out of one of the two")
    if seen.idle_v is not None and seen.loaded_v is not None and seen.loaded_v > seen.idle_v:
        problem, limit = "more volts with the load on than without", f"at most {seen.idle_v:g} V"
        remedy = "swap idle_v and loaded_v, or read again"
        yield source.fault((*where, "loaded_v"), problem, limit=limit, remedy=remedy)


def _needs_lamps(seen: Observation) -> bool:
    is_press = seen.what is Seen.RCD and "trip" not in seen.how.lower()
    return seen.what is Seen.BREAKER_OFF or is_press


def _unknown(
    source: Source,
    path: Path,
    what: str,
    names: Iterable[str],
    known: Iterable[str],
) -> Iterator[Fault]:
    there = list(known)
    for n, name in enumerate(names):
        if name not in there:
            at = (*path, n) if path[-1] != "loads_a" else (*path, name)
            yield _no_such(source, at, what, name, there)


def _no_such(source: Source, path: Path, what: str, name: str, known: Iterable[str]) -> Fault:
    there = list(known)
    listed = row(there[:_SHOWN]) + (", ..." if len(there) > _SHOWN else "")
    remedy = suggest(name, there) or (f"the job has {listed}" if there else "the job has none")
    return source.fault(path, f"no such {what} in the job", remedy=remedy)
