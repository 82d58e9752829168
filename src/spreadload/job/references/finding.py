"""One thing in a job that cannot be meant, and the words shared by every check.

Paths use the keys of the job file. Imports only its neighbours.
"""

import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field

from spreadload.job.job import Job
from spreadload.suggest import closest, did_you_mean

Path = tuple[str | int, ...]
_MAX_LISTED = 12
_SPOTS = ("outlets", "rooms", "places")
# By what a name should name: the groups such names are given in.
_AMONG: dict[str, tuple[str, ...]] = {
    "RCD": ("rcds",),
    "circuit": ("circuits",),
    "circuit or RCD": ("circuits", "rcds"),
    "circuit, zone or room": ("circuits", "wiring", "rooms"),
    "department's or house load": ("departments", "house"),
    "head": ("heads",),
    "head in stock": ("stock",),
    "load": ("departments", "house"),
    "other circuit": ("circuits",),
    "outlet": ("outlets",),
    "outlet or board": ("outlets", "sub_boards"),
    "place": _SPOTS,
    "place, room or outlet": _SPOTS,
    "region": ("region",),
    "room": ("rooms",),
    "set-up": ("setups",),
    "sub-board": ("sub_boards",),
    "use of a room": (),
}


@dataclass(frozen=True)
class Finding:
    """One thing wrong with a job that reads well but cannot be meant.

    Attributes:
        path: Keys and list indices down to the entry, as in the job file.
        problem: What is wrong, as a short clause without a full stop.
        value: The offending value, or "".
        limit: What would be allowed, or "".
        remedy: The next step for the user.
        is_unknown_name: Whether an id is not given anywhere, as opposed to given senselessly.
        among: The groups of the job in which was looked, and nothing found.
        leans_on: Further lines or entries that the sense of this hangs on, beside the one it is in.
        near: The known id most like an unknown one, or "".
        is_absent: Whether nothing like that id is known, so that its entry was most likely left
            out; wherever else the id stands, that is the same fault.
    """

    path: Path
    problem: str
    value: str = ""
    limit: str = ""
    remedy: str = ""
    is_unknown_name: bool = False
    among: tuple[str, ...] = ()
    leans_on: tuple[Path, ...] = ()
    near: str = ""
    is_absent: bool = False


@dataclass(frozen=True)
class Known:
    """What a job may name that does not stand in the job itself.

    ``countries`` gives the region for what people write instead, in lower case.
    """

    regions: Collection[str]
    plugs: Collection[str]
    gauges: Collection[int] | None = None
    countries: Mapping[str, str] = field(default_factory=dict)


def spots(job: Job) -> dict[str, str]:
    """Return everywhere something may stand: id to the group it is in."""
    groups = (("outlets", job.outlets), ("rooms", job.rooms), ("places", job.places))
    return {name: group for group, entries in groups for name in entries}


def heads_and_loads(job: Job) -> dict[str, str]:
    """Return every head and load, on the list or in stock: id to the group it is in."""
    groups = (
        ("heads", job.heads),
        ("departments", job.departments),
        ("house", job.house),
        ("stock", job.stock),
    )
    return {name: group for group, entries in groups for name in entries}


def unknown(
    path: Path,
    what: str,
    name: str,
    known: Collection[str],
    elsewhere: dict[str, str] | None = None,
) -> Iterator[Finding]:
    """Yield a finding when ``name`` is not among the known ids.

    Args:
        path: Where the name stands.
        what: What it should name, such as ``circuit``.
        name: The id as written.
        known: Ids that would do.
        elsewhere: Ids of other kinds, with the group each stands in.
    """
    if name in known:
        return
    group = (elsewhere or {}).get(name)
    listed = ", ".join(sorted(known)[:_MAX_LISTED]) + (", ..." if len(known) > _MAX_LISTED else "")
    near = _nearest(name, known)
    yield Finding(
        path,
        f"no {what} has this name",
        name,
        listed,
        f"{name} stands under {group}, not here" if group else meant(name, known, what),
        is_unknown_name=True,
        among=_AMONG[what],
        near=near,
        is_absent=not (group or near),
    )


def unknown_plug(path: Path, region: str, plug: str, known: Known) -> Iterator[Finding]:
    """Yield a finding when a plug has no id that is known; those of the region are listed first.

    People write a plug as its amps: the first one usual here that carries as many is offered.
    """
    if plug in known.plugs:
        return
    plugs = list(known.plugs)
    rated = [other for size in re.findall(r"\d+", plug) for other in plugs if _carries(other, size)]
    near = closest(plug, plugs)
    lists = (
        f"`spreadload region {region}` lists them" if region in known.regions else "check the id"
    )
    yield Finding(
        path,
        "no plug standard has this name",
        plug,
        ", ".join(plugs[:_MAX_LISTED]) + (", ..." if len(plugs) > _MAX_LISTED else ""),
        did_you_mean([*near, *rated][:1], plug) or lists,
        is_unknown_name=True,
    )


def _carries(plug: str, size: str) -> bool:
    return plug.split("-")[1:2] == [size]


def meant(name: str, known: Collection[str], what: str) -> str:
    """Return a remedy that guesses which known name was meant."""
    if near := _nearest(name, known):
        return did_you_mean([near], name)
    if what == "room":
        add = f"add it under `rooms`, such as `{name}: {{use: living}}`"
        return f"check the name, or {add}" if known else add
    return f"check the name, or add the {what} to the job" if known else f"add the {what} first"


def _nearest(name: str, known: Collection[str]) -> str:
    return next(iter(closest(name, known)), "")
