"""Where everything in a house is, level by level, in metres.

What nobody measured is set out in rows beside the plan and said to be so.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field

from spreadload.derived.reach import floor_level, outlet_spot, spot
from spreadload.job.job import Job

At = tuple[float, float]

# Spacing of what has no position of its own [m]; a matter of drawing only.
_ROW_STEP_M = 2.0
_BAND_M = 2.6
_PER_ROW = 6


@dataclass
class Floor:
    """Positions on one level, y growing downwards [m].

    Attributes:
        boards: Name and position of each board.
        loose: Outlets without a position, by room.
        guessed: Rooms whose outlets were set out in rows.
    """

    name: str
    outlets: dict[str, At] = field(default_factory=dict)
    rooms: dict[str, At] = field(default_factory=dict)
    places: dict[str, At] = field(default_factory=dict)
    boards: list[tuple[str, At]] = field(default_factory=list)
    loose: dict[str, list[str]] = field(default_factory=lambda: defaultdict(list))
    guessed: set[str] = field(default_factory=set)


def floors(job: Job) -> tuple[Floor, ...]:
    """Return every level with an outlet or a place on it, lowest first.

    Args:
        job: The job as the crew states it, guesses included.
    """
    found = _positions(job)
    for floor in found.values():
        _set_out(floor)
    ordered = (found[level] for level in sorted(found))
    return tuple(floor for floor in ordered if floor.outlets or floor.places)


def _positions(job: Job) -> dict[int, Floor]:
    names = {floor_level(r.floor): r.floor for r in job.rooms.values()}
    floors: dict[int, Floor] = {}

    def on(level: int) -> Floor:
        return floors.setdefault(level, Floor(names.get(level, str(level) if level else "G")))

    for outlet_id in job.outlets:
        where = outlet_spot(job, outlet_id)
        if where.at is None:
            on(where.floor).loose[where.room or ""].append(outlet_id)
        else:
            on(where.floor).outlets[outlet_id] = _flipped(where.at)
    for room_id, room in job.rooms.items():
        if room.at_in_m is not None:
            on(floor_level(room.floor)).rooms[room_id] = _flipped(room.at_in_m)
    for place_id in job.places:
        where = spot(job, place_id)
        if where.at is not None:
            on(where.floor).places[place_id] = _flipped(where.at)
    for name, at, floor in _boards(job):
        on(floor_level(floor)).boards.append((name, _flipped(at)))
    return floors


def _boards(job: Job) -> Iterable[tuple[str, At, str]]:
    if job.supply.board_at_in_m is not None:
        yield "board and meter", job.supply.board_at_in_m, job.supply.board_floor
    for board_id, board in job.sub_boards.items():
        if board.at_in_m is not None:
            yield board.label or board_id, board.at_in_m, board.floor


def _flipped(at: At) -> At:
    """Return a position with y growing downwards, as drawings have it."""
    return at[0], -at[1]


def _set_out(floor: Floor) -> None:
    """Give what has no position a place in rows below the plan, room by room."""
    measured = [*floor.outlets.values(), *floor.rooms.values(), *floor.places.values()]
    left = min((x for x, _ in measured), default=0.0)
    y = max((y for _, y in measured), default=-_BAND_M) + _BAND_M
    x = left
    for room, outlets in floor.loose.items():
        if x > left and (x - left) / _ROW_STEP_M + len(outlets) > _PER_ROW:
            x, y = left, y + _BAND_M
        for outlet in outlets:
            if (x - left) / _ROW_STEP_M >= _PER_ROW:
                x, y = left, y + _BAND_M
            floor.outlets[outlet] = (x, y)
            x += _ROW_STEP_M
        floor.guessed.add(room)
        x += _ROW_STEP_M
