"""Rooms, outlets, places and what is said of their wiring. Imports only its neighbours."""

from collections.abc import Iterator
from itertools import combinations

from spreadload.job.job import Job
from spreadload.job.references.finding import Finding, Known, Path, unknown, unknown_plug
from spreadload.job.site import Feeds, Outlet

# A way that feeds something else may still have one outlet for it, which nobody else uses.
_MAY_HAVE_OUTLETS = frozenset({None, Feeds.OUTLETS, Feeds.OTHER})


def check_outlets(job: Job, known: Known) -> Iterator[Finding]:
    """Yield what cannot be meant about outlets, places and statements between outlets."""
    for outlet_id, outlet in job.outlets.items():
        yield from _outlet(job, known, ("outlets", outlet_id), outlet)
    for place_id, place in job.places.items():
        if place.room is not None:
            yield from unknown(("places", place_id, "room"), "room", place.room, job.rooms)
    if not job.outlets and (job.heads or job.departments):
        yield Finding(
            ("outlets",),
            "the site has no outlets",
            remedy="add the outlets of the house",
            leans_on=(("heads",), ("departments",)),
        )
    for key in ("same_circuit", "different_circuit"):
        yield from _groups(job, key)
    yield from _contradictions(job)


def _outlet(job: Job, known: Known, path: Path, outlet: Outlet) -> Iterator[Finding]:
    if outlet.room is not None:
        yield from unknown((*path, "room"), "room", outlet.room, job.rooms)
    if outlet.rcd is not None:
        yield from unknown((*path, "rcd"), "RCD", outlet.rcd, job.rcds)
    if outlet.plug is not None:
        yield from unknown_plug((*path, "plug"), job.region, outlet.plug, known)
    if outlet.circuit is not None:
        yield from _way(job, (*path, "circuit"), outlet.circuit)
    for index, circuit in enumerate(outlet.maybe_on):
        yield from _way(job, (*path, "maybe_on", index), circuit)
    yield from _wiring(path, outlet)


def _wiring(path: Path, outlet: Outlet) -> Iterator[Finding]:
    if outlet.circuit is None and outlet.known is not None:
        yield Finding(
            (*path, "known"),
            "says how the circuit is known, but not which it is",
            outlet.known,
            remedy="add circuit, or remove known",
        )
    if outlet.circuit is not None and outlet.maybe_on and outlet.circuit not in outlet.maybe_on:
        yield Finding(
            (*path, "maybe_on"),
            f"leaves out {outlet.circuit}, which is given as its circuit",
            ", ".join(outlet.maybe_on),
            remedy="keep circuit when it is known, maybe_on when it is not",
        )
    for name in dict.fromkeys(outlet.maybe_on):
        if outlet.maybe_on.count(name) > 1:
            yield Finding((*path, "maybe_on"), "names a circuit twice", name, remedy="name it once")


def _way(job: Job, path: Path, circuit_id: str) -> Iterator[Finding]:
    yield from unknown(path, "circuit", circuit_id, job.circuits)
    circuit = job.circuits.get(circuit_id)
    if circuit is not None and circuit.feeds not in _MAY_HAVE_OUTLETS:
        yield Finding(
            path,
            f"circuit {circuit_id} is said to feed {circuit.feeds}, not outlets",
            circuit_id,
            remedy=f"correct the circuit of the outlet, or feeds of {circuit_id}",
            leans_on=(("circuits", circuit_id, "feeds"),),
        )


def _groups(job: Job, key: str) -> Iterator[Finding]:
    for index, group in enumerate(getattr(job, key)):
        path = (key, index)
        for at, name in enumerate(group):
            yield from unknown((*path, at), "outlet", name, job.outlets)
        if len(set(group)) < len(group):
            yield Finding(path, "names an outlet twice", ", ".join(group), remedy="name it once")
        elif len(group) < 2:  # noqa: PLR2004 - a statement between outlets
            yield Finding(
                path, "needs two outlets at least", ", ".join(group), remedy="add another"
            )


def _contradictions(job: Job) -> Iterator[Finding]:
    stated = {o: outlet.circuit for o, outlet in job.outlets.items() if outlet.circuit is not None}
    together: dict[frozenset[str], int] = {}
    for index, group in enumerate(job.same_circuit):
        for pair in combinations(group, 2):
            together.setdefault(frozenset(pair), index)
            on = {stated[o] for o in pair if o in stated}
            if len(on) > 1:
                yield _clash(("same_circuit", index), pair, "are given different circuits")
    for index, group in enumerate(job.different_circuit):
        for pair in combinations(group, 2):
            path = ("different_circuit", index)
            if frozenset(pair) in together:
                yield _clash(path, pair, "are said to share a circuit as well")
            elif pair[0] in stated and stated[pair[0]] == stated.get(pair[1]):
                yield _clash(path, pair, "are given the same circuit")


def _clash(path: Path, pair: tuple[str, str], how: str) -> Finding:
    leans_on: tuple[Path, ...] = (
        *(("outlets", name, "circuit") for name in pair),
        ("same_circuit",),
    )
    problem = f"{pair[0]} and {pair[1]} {how}"
    return Finding(path, problem, remedy="keep what was tested last", leans_on=leans_on)
