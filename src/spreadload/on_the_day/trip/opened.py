"""What most likely opened, from what is dark and what is still on, with the sign that proves it.

Every cause that could make these outlets dark and leave those alight is weighed: how usual it is,
how loaded it is by the plan, on how many of the wirings still possible it fits, and how well it
explains that just these were found dark. Never imports the solver.
"""

from collections.abc import Collection, Iterable, Iterator

import numpy as np

from spreadload import practice
from spreadload.electrical.rows import Figure
from spreadload.job.site import RcdKind, RoomUse
from spreadload.on_the_day.scene.limit_of import (
    circuit_limit,
    contract_limit,
    feed_limit,
    fullest_phase,
    leakage_limit,
)
from spreadload.on_the_day.scene.limits import Limit
from spreadload.on_the_day.scene.scene import Bools, Floats, Scene
from spreadload.on_the_day.trip.causes import SAID, SIGNS, Cause, Opened, Seen
from spreadload.on_the_day.trip.clock import EMPTY, LOADED, Clock, by_chance
from spreadload.on_the_day.trip.one_socket import at_one_socket

_JUST = Figure(3.0, source="what was just switched on is likely to blame; our own choice")
_ISOLATOR = Figure(
    0.2, source="an isolator opens for a fault within it, hardly for a load; our own choice"
)

_WATER_NEAR = Figure(
    3.0, source="a GFCI stands where things get wet, and damp opens it; our own choice"
)
# Where NEC 210.8(A) asks for one as water is near (from memory), or nobody says what for.
_WET = frozenset(
    {
        RoomUse.BATHROOM,
        RoomUse.KITCHEN,
        RoomUse.LAUNDRY,
        RoomUse.GARAGE,
        RoomUse.OUTSIDE,
        RoomUse.OTHER,
    }
)

_MISSED = Figure(0.2, source="share of what is dark that a walk misses; our own choice")

_Weighed = tuple[Cause, str, float]


def opened(
    scene: Scene, seen: Seen, device: str | None = None, after_s: float | None = None
) -> tuple[Opened, ...]:
    """Return every cause that fits what was seen, likeliest first; shares add up to one.

    Args:
        scene: The house now, this trip not yet learnt from.
        seen: What was found.
        device: What was seen open, if anybody looked: a circuit, RCD, sub-board or phase of the
            job, or a word of ``causes.SAID``.
        after_s: How long it had held since the last thing was switched on [s], if known.
    """
    weights: dict[tuple[Cause, str], float] = {}
    for cause, name, weight in _weighed(scene, seen, after_s):
        if weight > 0 and _is_meant(cause, name, device):
            weights[cause, name] = weights.get((cause, name), 0.0) + weight
    total = sum(weights.values())
    if not total:
        return ()
    ranked = [Opened(cause, name, weight / total) for (cause, name), weight in weights.items()]
    return tuple(sorted(ranked, key=lambda o: (-o.share, o.cause, o.device)))


def total_weight(scene: Scene, seen: Seen, after_s: float | None = None) -> float:
    """Return how well what was seen is explained by anything at all; only good for ranking."""
    return sum(weight for _, _, weight in _weighed(scene, seen, after_s))


def _is_meant(cause: Cause, name: str, device: str | None) -> bool:
    if device is None or name == device:
        return True
    return cause in SAID.get(device, ())


def _weighed(scene: Scene, seen: Seen, after_s: float | None) -> Iterator[_Weighed]:
    if seen.bright:
        yield Cause.NEUTRAL, "", 1.0
        return
    chance = by_chance(after_s)
    for cause, name, weight in _without_a_clock(scene, seen):
        yield cause, name, weight * chance
    if not set(seen.dark) & set(seen.lit):
        yield from _circuits(scene, seen, after_s)


def _without_a_clock(scene: Scene, seen: Seen) -> Iterator[_Weighed]:
    """Yield causes of which no standard says how long they take."""
    yield from at_one_socket(scene, seen)
    if set(seen.dark) & set(seen.lit):
        # Half of an outlet still works, so nothing upstream of the plate is open.
        return
    yield from _rcds(scene, seen)
    yield from _feeds(scene, seen)
    yield from _phases(scene, seen)
    yield from _whole_house(scene, seen)


def breaker_cause(scene: Scene, circuit: str) -> Cause:
    """Return what kind of thing protects a circuit."""
    stated = scene.facts.job.circuits[circuit]
    rcd = scene.facts.job.rcds.get(stated.rcd or "")
    if stated.fuse_a is not None:
        return Cause.FUSE
    if stated.arc_fault:
        return Cause.ARC_FAULT
    if rcd is not None and rcd.kind is RcdKind.RCBO:
        return Cause.RCBO
    return Cause.BREAKER


def opens_with(scene: Scene, circuit: str) -> tuple[str, ...]:
    """Return the circuits whose handles are tied to one because they share a neutral."""
    stated = scene.facts.job.circuits
    own = stated[circuit].shares_neutral_with
    tied = [c for c, row in stated.items() if c == own or row.shares_neutral_with == circuit]
    return tuple(sorted(tied))


def _circuits(scene: Scene, seen: Seen, after_s: float | None) -> Iterator[_Weighed]:
    for circuit in scene.maps.circuits:
        cause = breaker_cause(scene, circuit)
        usual = SIGNS[cause].usual * _just(scene, seen, circuit_limit(scene, circuit))
        yield cause, circuit, usual * _circuit_fit(scene, seen, circuit, [circuit], after_s)
        for tied in opens_with(scene, circuit):
            both = _circuit_fit(scene, seen, circuit, [circuit, tied], after_s)
            yield cause, circuit, usual * both / 2


def _circuit_fit(
    scene: Scene, seen: Seen, circuit: str, off: Collection[str], after_s: float | None
) -> float:
    """Return how likely just these go dark by a circuit, by its load on each wiring and the clock.

    Which outlets hang on it, and so how full it is, differs from wiring to wiring.
    """
    others = frozenset(scene.maps.circuits).difference(off)
    allowed = dict.fromkeys(seen.lit, others) | {o: frozenset(off) for o in seen.dark}
    share, there = scene.given(allowed)
    if there is None:
        return 0.0
    explained = Clock(there, after_s).explains(circuit)
    return share * _fit(there, seen, _off(there, off), explained)


def _rcds(scene: Scene, seen: Seen) -> Iterator[_Weighed]:
    """Yield RCDs that are a handle or an outlet of their own."""
    outlets = scene.facts.job.outlets
    for rcd_id, rcd in scene.facts.job.rcds.items():
        if rcd.kind is RcdKind.RCBO:
            continue
        own = [o for o, outlet in outlets.items() if outlet.rcd == rcd_id]
        cause = Cause.GFCI if own else Cause.RCD
        circuits = [c for c in scene.maps.circuits if rcd_id in scene.facts.circuits[c].rcds]
        off = _off(scene, circuits)
        off[:, [scene.maps.outlets.index(o) for o in own]] = True
        limit = leakage_limit(scene, rcd_id)
        usual = SIGNS[cause].usual * _just(scene, seen, limit)
        if cause is Cause.GFCI and any(_is_near_water(scene, o) for o in own):
            usual *= _WATER_NEAR.value
        yield cause, rcd_id, usual * (0.5 + _fullness(scene, limit)) * _fit(scene, seen, off)


def _is_near_water(scene: Scene, outlet: str) -> bool:
    job = scene.facts.job
    room = job.rooms.get(job.outlets[outlet].room or "")
    return room is None or room.use in _WET


def _feeds(scene: Scene, seen: Seen) -> Iterator[_Weighed]:
    for feed in scene.facts.feeds:
        circuits = [c for c in scene.maps.circuits if feed in scene.facts.circuits[c].feeds]
        pull = _pull(scene, seen, feed_limit(scene, feed))
        fit = _fit(scene, seen, _off(scene, circuits))
        yield Cause.FEED, feed, SIGNS[Cause.FEED].usual * fit * pull


def _phases(scene: Scene, seen: Seen) -> Iterator[_Weighed]:
    phases = scene.facts.supply.phases
    for phase in phases if len(phases) > 1 else ():
        circuits = [c for c in scene.maps.circuits if phase in scene.facts.circuits[c].phases]
        fit = _fit(scene, seen, _off(scene, circuits))
        for cause in (Cause.PHASE, Cause.NEUTRAL):
            yield cause, phase if cause is Cause.PHASE else "", SIGNS[cause].usual * fit


def _whole_house(scene: Scene, seen: Seen) -> Iterator[_Weighed]:
    if seen.lit:
        return
    fit = _fit(scene, seen, _off(scene, scene.maps.circuits))
    pull = _pull(scene, seen, fullest_phase(scene))
    rarer = 1.0 if _main_opens(scene) else _ISOLATOR.value
    yield Cause.MAIN, "", SIGNS[Cause.MAIN].usual * fit * pull * rarer
    yield Cause.SERVICE_FUSE, "", SIGNS[Cause.SERVICE_FUSE].usual * fit * pull
    contract = contract_limit(scene)
    if contract is not None:
        usual = SIGNS[Cause.METER].usual
        yield Cause.METER, "", usual * fit * _pull(scene, seen, contract)
    yield Cause.NETWORK, "", SIGNS[Cause.NETWORK].usual * fit


def _main_opens(scene: Scene) -> bool:
    """Whether the main handle opens by itself: as stated, else as main switches of the region."""
    switch = scene.facts.job.supply.main_switch
    if switch is not None:
        return switch.is_limit
    return practice.region(scene.facts.job.region).main_switch == "breaker"


def _off(scene: Scene, circuits: Iterable[str]) -> Bools:
    """Return which outlets would be dark on which wirings with some circuits off."""
    numbers = [scene.maps.circuits.index(c) for c in circuits]
    return np.isin(scene.maps.on, numbers)


def _fit(scene: Scene, seen: Seen, off: Bools, pull: Floats | float = 1.0) -> float:
    """Return on how many wirings this would darken just these, and how well it explains them.

    A device behind which ten outlets are in use explains two dark ones worse than a device with
    two: either somebody named a few, each drawn from all that would be dark, or nearly all.
    """
    columns = [scene.maps.outlets.index(o) for o in seen.dark]
    lit = [scene.maps.outlets.index(o) for o in seen.lit]
    fits = off[:, columns].all(axis=1) & ~off[:, lit].any(axis=1)
    named = _in_use(scene) | set(seen.dark) | set(seen.lit)
    watched = [scene.maps.outlets.index(o) for o in sorted(named)]
    size = np.maximum(off[:, watched].sum(axis=1), 1).astype(float)
    found = len(columns)
    named_some = size**-found
    named_most = (1 - _MISSED.value) ** found * _MISSED.value ** np.maximum(size - found, 0)
    told = (named_some + named_most) / 2
    return float(scene.maps.weights @ (pull * fits * told))


def _in_use(scene: Scene) -> set[str]:
    placed = scene.judged.by_setup[scene.setup]
    return {scene.facts.points[p.point].outlet for p in placed}


def _pull(scene: Scene, seen: Seen, limit: Limit) -> float:
    """Return how much the plan's own load, and what was just switched on, speak for a device."""
    return _fullness(scene, limit) * _just(scene, seen, limit)


def _fullness(scene: Scene, limit: Limit) -> float:
    """Return how much the plan's own load speaks for a device."""
    carried = limit.now(scene)
    used = carried.counted / max(carried.cap, 1)
    return float(EMPTY.value + used**LOADED.value)


def _just(scene: Scene, seen: Seen, limit: Limit) -> float:
    is_on = seen.just is not None and any(p.load == seen.just for p in limit.on(scene))
    return _JUST.value if is_on else 1.0
