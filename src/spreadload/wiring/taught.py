"""What each observation taught: which outlets it narrowed, which share of the maps it ruled out.

Imports its neighbours, the job and numpy only.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from spreadload.job.job import Job
from spreadload.job.observations import Log, Observation, Seen
from spreadload.wiring.evidence import Fact, hard_facts, is_consistent, learned, possible
from spreadload.wiring.maps import Maps, maps_of
from spreadload.wiring.model import WiringModel

# Wirings drawn to weigh an entry by, the same ones every time.
_MAPS = 3000
_SEED = 20_011
_Left = Mapping[str, frozenset[str]]
_HARD = frozenset({Seen.BREAKER_OFF, Seen.TRIP, Seen.RCD})


@dataclass(frozen=True)
class Taught:
    """What one entry added to all those before it.

    Attributes:
        number: Number of the entry.
        found: Outlets whose circuit is known since, with the circuit.
        narrowed: Outlets with fewer circuits left, with those.
        ruled_out_pct: Share of the maps still possible before that it ruled out [%].
        is_soft: Whether it only makes some wirings likelier.
    """

    number: int
    found: Mapping[str, str]
    narrowed: Mapping[str, tuple[str, ...]]
    ruled_out_pct: float
    is_soft: bool


def taught(job: Job, log: Log, numbers: Collection[int] | None = None) -> dict[int, Taught]:
    """Return what standing entries taught, in their order, each beyond all those before it.

    Args:
        job: A job that does not clash with its log.
        log: Its log.
        numbers: Numbers of the entries asked for; every one when None.
    """
    found: dict[int, Taught] = {}
    so_far: tuple[int, ...] = ()
    for number, seen in log.standing:
        before, so_far = _only(log, so_far), (*so_far, number)
        if numbers is not None and number not in numbers:
            continue
        left = left_open(job, before)
        upto = _only(log, so_far)
        left_after = left_open(job, upto)
        share = 0.0
        if seen.what in _HARD:
            share = _ruled_out(job, upto, number, _maps(job, before))
        found[number] = Taught(
            number=number,
            found=_found(left, left_after),
            narrowed=_narrowed(left, left_after),
            ruled_out_pct=100 * share,
            is_soft=seen.what not in _HARD,
        )
    return found


def left_open(job: Job, log: Log) -> dict[str, frozenset[str]]:
    """Return the circuits each outlet may still be on: those of at least one map with every fact.

    Args:
        job: A job that does not clash with its log.
        log: Its log.
    """
    left = possible(learned(job, log))
    facts, outlets, every = hard_facts(job, log), tuple(job.outlets), frozenset(job.circuits)
    if not any(fact.same or fact.different for fact in facts):
        return left
    bounds = tuple(Fact("", {outlet: some}) for outlet, some in left.items())
    return {
        outlet: frozenset(
            c
            for c in some
            if is_consistent((*facts, *bounds, Fact("", {outlet: frozenset({c})})), outlets, every)
        )
        or some
        for outlet, some in left.items()
    }


def agrees(fact: Fact, maps: Maps) -> NDArray[np.bool_]:
    """Return on which maps a hard statement is true."""
    true = np.ones(len(maps), dtype=bool)
    for outlet, allowed in fact.allowed.items():
        if outlet in maps.outlets:
            numbers = [n for n, c in enumerate(maps.circuits) if c in allowed]
            true &= np.isin(maps.on[:, maps.outlets.index(outlet)], numbers)
    return true


def _only(log: Log, numbers: tuple[int, ...]) -> Log:
    """Return the log with every entry but some set aside; numbers stay as they are."""
    entries: tuple[Observation, ...] = tuple(
        seen if n in numbers else seen.model_copy(update={"in_doubt": True})
        for n, seen in enumerate(log.observations, 1)
    )
    return Log(observations=entries)


def _maps(job: Job, log: Log) -> Maps:
    return maps_of(WiringModel.of(job, log), _MAPS, _SEED)


def _ruled_out(job: Job, log: Log, number: int, maps: Maps) -> float:
    name = f"log entry {number}:"
    facts = [f for f in hard_facts(job, log) if f.name.startswith(name)]
    true = np.ones(len(maps), dtype=bool)
    for fact in facts:
        true &= agrees(fact, maps)
    return maps.share(~true)


def _found(was: _Left, left: _Left) -> dict[str, str]:
    return {o: min(some) for o, some in left.items() if len(some) == 1 and len(was[o]) > 1}


def _narrowed(was: _Left, left: _Left) -> dict[str, tuple[str, ...]]:
    return {o: tuple(sorted(some)) for o, some in left.items() if 1 < len(some) < len(was[o])}
