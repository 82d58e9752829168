"""What was found after a trip and is hard to believe: look again while the handle is still down.

Misreads happen in a hurry: a lamp with a bad bulb, an outlet mistaken for its neighbour. While the
breaker is down, looking once more costs nothing; later it takes a breaker off. Never imports the
solver.
"""

from dataclasses import dataclass, replace

from spreadload.electrical.rows import Figure
from spreadload.job.observations import Observation, Seen
from spreadload.on_the_day.scene.scene import Scene
from spreadload.on_the_day.trip.causes import Seen as Found
from spreadload.on_the_day.trip.opened import opened, total_weight

UNLIKELY = Figure(0.1, source="a finding less likely than this is worth a second look; our own")


@dataclass(frozen=True)
class Doubted:
    """One outlet whose finding was unlikely until now.

    Attributes:
        is_dark: Whether it was found dark; else it was found lit.
        chance: How likely that was by all that was known before, 0 to 1.
        known_on: The circuit it was known to be on, or "" where that was open.
    """

    outlet: str
    is_dark: bool
    chance: float
    known_on: str


def doubted(before: Scene, entry: Observation) -> tuple[Doubted, ...]:
    """Return outlets whose finding an opened breaker or RCD makes hard to believe, worst first.

    Args:
        before: The house as known before.
        entry: What the trip says. What hangs behind the RCD of an outlet is not on the maps, so
            such an RCD makes nothing hard to believe.
    """
    off = _circuits_off(before, entry)
    if not off:
        return ()
    found = [_doubted(before, o, off, is_dark=True) for o in entry.dark]
    found += [_doubted(before, o, off, is_dark=False) for o in entry.still_on]
    weak = [each for each in found if each.chance < UNLIKELY.value]
    return tuple(sorted(weak, key=lambda each: (each.chance, each.outlet)))


def misfits(scene: Scene, seen: Found, after_s: float | None) -> tuple[str, ...]:
    """Return outlets without any one of which what was found would have a cause, likeliest first.

    Empty where something explains it as it is, or where leaving one outlet away does not help.
    """
    if opened(scene, seen, None, after_s):
        return ()
    weights: dict[str, float] = {}
    for outlet in dict.fromkeys((*seen.dark, *seen.lit)):
        dark = tuple(o for o in seen.dark if o != outlet)
        # What is lit and nothing dark is no trip.
        if dark:
            lit = tuple(o for o in seen.lit if o != outlet)
            rest = replace(seen, dark=dark, lit=lit, dark_units=(), lit_units=())
            weights[outlet] = total_weight(scene, rest, after_s)
    return tuple(sorted((o for o in weights if weights[o] > 0), key=lambda o: (-weights[o], o)))


def _circuits_off(before: Scene, entry: Observation) -> frozenset[str]:
    facts = before.facts
    if entry.what is not Seen.RCD:
        return frozenset(entry.circuits)
    if any(outlet.rcd == entry.rcd for outlet in facts.job.outlets.values()):
        return frozenset()
    return frozenset(c.id for c in facts.circuits.values() if entry.rcd in c.rcds)


def _doubted(before: Scene, outlet: str, off: frozenset[str], *, is_dark: bool) -> Doubted:
    chances = before.maps.chances(outlet)
    on_it = sum(share for circuit, share in chances.items() if circuit in off)
    known_on = next(iter(chances)) if len(chances) == 1 else ""
    return Doubted(outlet, is_dark, min(max(on_it if is_dark else 1 - on_it, 0.0), 1.0), known_on)
