"""Groups of outlets that are wired as one unless they stray: rooms, zones, halves of big rooms.

Imports the job, practice and derived only.
"""

import re
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import hypot

from spreadload import practice
from spreadload.derived.reach import Spot, floor_level, outlet_spot
from spreadload.job.job import Job
from spreadload.job.site import Room, RoomUse
from spreadload.wiring.beliefs import UPPER_FLOOR, Beliefs

# Two outlets of one room without positions are not on top of each other.
_LEAST_RUN_M = 1.0
_WORD = re.compile(r"[^\W\d_]+|\d+")
_UP = frozenset({"up", "upstairs", "upper", "og", "étage", "alta"})
_DOWN = frozenset({"dn", "down", "downstairs", "lower", "eg", "rdc", "ground"})
_SHARE_A_ZONE = {RoomUse.PANTRY: RoomUse.KITCHEN, RoomUse.STAIRS: RoomUse.HALL}


@dataclass(frozen=True)
class Atom:
    """Outlets believed to be wired together.

    Attributes:
        name: Room, zone or outlet id it goes by.
        rooms: Rooms it covers.
        outlets: Its outlets, in the order of the job.
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
    for outlet_id, outlet in job.outlets.items():
        room = outlet.room or f"outlet {outlet_id}"
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


def label_rooms(job: Job, feeding: tuple[str, ...]) -> dict[str, frozenset[str]]:
    """Return, for every circuit whose label names part of the house, the rooms it names."""
    found: dict[str, frozenset[str]] = {}
    for circuit_id in feeding:
        words = _words(job.circuits[circuit_id].label)
        rooms = _named(job, words) if words else frozenset()
        if rooms and len(rooms) < len(job.rooms):
            found[circuit_id] = rooms
    return found


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
    uses = {_SHARE_A_ZONE.get(use, use) for use in atom.uses}
    own = max((beliefs.own_circuit_m.get(use.value, 0.0) for use in uses), default=0.0)
    is_upper = all(spot.floor > 0 for spot in atom.spots)
    return max(own, beliefs.own_circuit_m.get(UPPER_FLOOR, 0.0) if is_upper else 0.0)


def _zone_uses(atom: Atom) -> frozenset[RoomUse]:
    return frozenset(_SHARE_A_ZONE.get(use, use) for use in atom.uses)


def _words(label: str) -> tuple[str, ...]:
    return tuple(_WORD.findall(label.lower()))


def _named(job: Job, words: tuple[str, ...]) -> frozenset[str]:
    """Return the rooms that a label's words name: by name, by use and number, by floor."""
    text = f" {' '.join(words)} "
    by_name = {r for r, room in job.rooms.items() if _has_name(text, r, room)}
    uses = {row.room for row in practice.labels(job.region) if f" {row.word} " in text and row.room}
    numbers = {word for word in words if word.isdigit()}
    by_use = {
        r
        for r, room in job.rooms.items()
        if _SHARE_A_ZONE.get(room.use, room.use).value in uses and _has_number(r, room, numbers)
    }
    floors = {r for r, room in job.rooms.items() if _on_floor(room, words)}
    named = by_name | by_use
    says_floor = bool((_UP | _DOWN) & set(words))
    if named and says_floor and named & floors:
        return frozenset(named & floors)
    return frozenset(named or (floors if says_floor else set()))


def _has_name(text: str, room_id: str, room: Room) -> bool:
    names = [" ".join(_words(name)) for name in (room_id, room.name or "")]
    return any(name and f" {name} " in text for name in names)


def _has_number(room_id: str, room: Room, numbers: set[str]) -> bool:
    own = {word for word in _words(f"{room_id} {room.name or ''}") if word.isdigit()}
    return not numbers or not own or bool(own & numbers)


def _on_floor(room: Room, words: tuple[str, ...]) -> bool:
    level = floor_level(room.floor)
    return (level > 0 and bool(_UP & set(words))) or (level == 0 and bool(_DOWN & set(words)))
