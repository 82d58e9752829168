"""Groups of outlets that are wired as one unless they stray: rooms, zones, halves of big rooms.

Imports the job, practice and derived only.
"""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import hypot

from spreadload.derived.reach import Spot, outlet_spot
from spreadload.job.job import Job
from spreadload.job.site import RoomUse
from spreadload.wiring.beliefs import UPPER_FLOOR, Beliefs
from spreadload.wiring.labels import label_rooms, zone_use
from spreadload.words import natural

# Two outlets of one room without positions are not on top of each other.
_LEAST_RUN_M = 1.0


@dataclass(frozen=True)
class Atom:
    """Outlets believed to be wired together.

    Attributes:
        name: Room, zone or outlet id it goes by.
        rooms: Rooms it covers.
        outlets: Its outlets, by name.
        spots: Where they are.
        labels: Circuits whose label names it.
    """

    name: str
    rooms: frozenset[str]
    outlets: tuple[str, ...]
    spots: tuple[Spot, ...]
    uses: frozenset[RoomUse]
    labels: tuple[str, ...]
    is_stated_zone: bool = False

    def singles(self) -> tuple["Atom", ...]:
        """Return each outlet as an atom of its own."""
        return tuple(
            replace(self, name=outlet, outlets=(outlet,), spots=(spot,))
            for outlet, spot in zip(self.outlets, self.spots, strict=True)
        )


def atoms(job: Job, feeding: tuple[str, ...], least: int) -> tuple[Atom, ...]:
    """Return the atoms of a house, big rooms halved until there are at least ``least``.

    Args:
        job: The job.
        feeding: Circuits that can feed outlets.
        least: How many there should be, one per circuit that has to feed something.
    """
    zone_of = {room: zone for zone, rooms in job.wiring.zones.items() for room in rooms}
    by_name: dict[str, list[str]] = defaultdict(list)
    # By name, not as the file lists them: houses are drawn by what is written down first.
    for outlet_id in sorted(job.outlets, key=natural):
        room = job.outlets[outlet_id].room or f"outlet {outlet_id}"
        by_name[zone_of.get(room, room)].append(outlet_id)
    tied = label_rooms(job, feeding)
    made = [
        _atom(job, name, outlets, tied, is_zone=name in job.wiring.zones)
        for name, outlets in by_name.items()
    ]
    while len(made) < least and any(len(a.outlets) > 1 for a in made):
        biggest = max(made, key=lambda a: len(a.outlets))
        made.remove(biggest)
        made += _halves(job, biggest)
    return tuple(made)


def distance_m(beliefs: Beliefs, one: Atom, other: Atom) -> float:
    """Return how far apart two atoms count as [m]: nearest outlets, floors, habits of their uses.

    Source:
        Common practice, see the rows in the data file of the wiring habits.
    """
    between = min(spot_distance_m(beliefs, a, b) for a in one.spots for b in other.spots)
    if _zone_uses(one) == _zone_uses(other):
        return between
    extra = max((_own_m(beliefs, one), _own_m(beliefs, other)))
    return between + extra


def run_m(beliefs: Beliefs, one: Atom, other: Atom) -> float:
    """Return how far apart two atoms are along a cable that cares for no room [m]."""
    between = min(spot_distance_m(beliefs, a, b) for a in one.spots for b in other.spots)
    return between + _LEAST_RUN_M


def spot_distance_m(beliefs: Beliefs, a: Spot, b: Spot) -> float:
    """Return how far apart two outlets count as [m]."""
    floors_m = beliefs.floor_m * abs(a.floor - b.floor)
    if a.at is not None and b.at is not None:
        return hypot(a.at[0] - b.at[0], a.at[1] - b.at[1]) + floors_m
    if a.room is not None and a.room == b.room:
        return floors_m
    return beliefs.unplaced_m + floors_m


def _atom(
    job: Job,
    name: str,
    outlets: list[str],
    tied: Mapping[str, frozenset[str]],
    *,
    is_zone: bool,
) -> Atom:
    rooms = frozenset(r for o in outlets if (r := job.outlets[o].room) is not None)
    return Atom(
        name=name,
        rooms=rooms,
        outlets=tuple(outlets),
        spots=tuple(outlet_spot(job, o) for o in outlets),
        uses=frozenset(job.rooms[r].use for r in rooms if r in job.rooms),
        labels=tuple(c for c, named in tied.items() if rooms & named),
        is_stated_zone=is_zone,
    )


def _halves(job: Job, atom: Atom) -> list[Atom]:
    """Split a room along its longer side, or in the order of the list without positions."""
    pairs = list(zip(atom.outlets, atom.spots, strict=True))
    placed = [spot.at for _, spot in pairs if spot.at is not None]
    if len(placed) == len(pairs):
        wide = max(x for x, _ in placed) - min(x for x, _ in placed)
        deep = max(y for _, y in placed) - min(y for _, y in placed)
        axis = 0 if wide >= deep else 1
        pairs.sort(key=lambda pair: (pair[1].at or (0.0, 0.0))[axis])
    middle = len(pairs) // 2
    tied = dict.fromkeys(atom.labels, atom.rooms)
    return [
        _atom(job, f"{atom.name} {n}", [o for o, _ in part], tied, is_zone=atom.is_stated_zone)
        for n, part in enumerate((pairs[:middle], pairs[middle:]), 1)
    ]


def _own_m(beliefs: Beliefs, atom: Atom) -> float:
    uses = {zone_use(use) for use in atom.uses}
    own = max((beliefs.own_circuit_m.get(use.value, 0.0) for use in uses), default=0.0)
    is_upper = all(spot.floor > 0 for spot in atom.spots)
    return max(own, beliefs.own_circuit_m.get(UPPER_FLOOR, 0.0) if is_upper else 0.0)


def _zone_uses(atom: Atom) -> frozenset[RoomUse]:
    return frozenset(zone_use(use) for use in atom.uses)
