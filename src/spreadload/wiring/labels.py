"""What part of the house the label of a circuit names: rooms by name or use, or a floor.

Imports the job, practice and derived only.
"""

from spreadload import practice
from spreadload.derived.reach import floor_level
from spreadload.job.job import Job
from spreadload.job.site import Room, RoomUse
from spreadload.practice.floors import FloorWords, floor_words
from spreadload.practice.label_text import plain_words, says

_SHARE_A_ZONE = {RoomUse.PANTRY: RoomUse.KITCHEN, RoomUse.STAIRS: RoomUse.HALL}


def zone_use(use: RoomUse) -> RoomUse:
    """Return the use under which a room is wired: a pantry is part of the kitchen."""
    return _SHARE_A_ZONE.get(use, use)


def label_rooms(job: Job, feeding: tuple[str, ...]) -> dict[str, frozenset[str]]:
    """Return, for every circuit whose label names part of the house, the rooms it names.

    A label that names a floor means what is left of it: where another circuit is labelled for the
    kitchen, “sockets down” is the rest of the ground floor.
    """
    labels = {c: job.circuits[c].label for c in feeding}
    rooms = {c: _rooms_named(job, label) for c, label in labels.items()}
    floors = {c: _on_floors_named(job, label) for c, label in labels.items()}
    found = {c: (rooms[c] & floors[c]) or rooms[c] for c in feeding if rooms[c]}
    taken = frozenset().union(*found.values())
    found |= {c: (floors[c] - taken) or floors[c] for c in feeding if not rooms[c]}
    return {c: found[c] for c in feeding if 0 < len(found[c]) < len(job.rooms)}


def _rooms_named(job: Job, label: str) -> frozenset[str]:
    """Return the rooms a label names by name, or by use and number."""
    uses = {row.room for row in practice.labels(job.region) if row.room and says(label, row.word)}
    # The 2 of “2nd floor beds” is no number of a bedroom.
    of_floors = {n for words in _floor_words(job, label) for n in _numbers(words)}
    numbers = _numbers(label) - of_floors
    return frozenset(
        room_id
        for room_id, room in job.rooms.items()
        if says(label, room_id)
        or says(label, room.name or "")
        or (zone_use(room.use).value in uses and _may_be_number(room_id, room, numbers))
    )


def _on_floors_named(job: Job, label: str) -> frozenset[str]:
    rows = _floor_words(job, label).values()
    return frozenset(
        room_id
        for room_id, room in job.rooms.items()
        if any(row.is_of(floor_level(room.floor)) for row in rows)
    )


def _floor_words(job: Job, label: str) -> dict[str, FloorWords]:
    """Return the words for floors in a label, each with the floor it means."""
    rows = floor_words(job.region)
    return {word: row for row in rows for word in row.words if says(label, word)}


def _may_be_number(room_id: str, room: Room, numbers: set[str]) -> bool:
    own = _numbers(f"{room_id} {room.name or ''}")
    return not numbers or not own or bool(own & numbers)


def _numbers(text: str) -> set[str]:
    return {word for word in plain_words(text).split() if word.isdigit()}
