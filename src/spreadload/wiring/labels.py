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
    words = [row for row in practice.labels(job.region) if row.room and says(label, row.word)]
    # The 2 of “2nd floor beds” is no number of a bedroom.
    of_floors = {n for words in _floor_words(job, label) for n in _numbers(words)}
    numbers = _numbers(label) - of_floors
    by_name = {
        room_id
        for room_id, room in job.rooms.items()
        if says(label, room_id) or says(label, room.name or "")
    }
    return frozenset(by_name.union(*(_rooms_of_word(job, word, numbers) for word in words)))


def _rooms_of_word(job: Job, word: practice.LabelWord, numbers: set[str]) -> set[str]:
    """Return the rooms of the use a word names; of several, those that are called so.

    Where one room is called den and one lounge, both to live in, a label “lounge” is not the den's.
    """
    rooms = {
        room_id: room
        for room_id, room in job.rooms.items()
        if zone_use(room.use).value == word.room and _may_be_number(room_id, room, numbers)
    }
    own = {room_id for room_id, room in rooms.items() if room.use.value == word.room}
    others = _other_words(job, word)
    exactly = {room_id for room_id in own if _is_called(job, room_id, (word.word,))}
    alike = {room_id for room_id in own if others and _is_called(job, room_id, word.alike)}
    if exactly or alike:
        return set(rooms) - own | (exactly or alike)
    return {room_id for room_id in rooms if not _is_called(job, room_id, others)} or set(rooms)


def _is_called(job: Job, room_id: str, words: tuple[str, ...]) -> bool:
    own = f"{room_id} {job.rooms[room_id].name or ''}"
    return any(says(own, word) for word in words)


def _other_words(job: Job, word: practice.LabelWord) -> tuple[str, ...]:
    """Return the words of the same language for other rooms of the same use."""
    rows = practice.labels(job.region)
    alike = [row for row in rows if (row.room, row.language) == (word.room, word.language)]
    return tuple(row.word for row in alike if row.word not in word.alike)


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
