"""The house as a drawing: rooms, outlets, boards and lead routes per level, in metres.

Rooms are drawn softly around what is known of them. What nobody measured is set out in rows beside
the plan and said to be so.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from math import dist

from spreadload.derived.reach import floor_level, outlet_spot, spot
from spreadload.explain.judged import JudgedPlan
from spreadload.explain.names import circuits_of, row, units_name
from spreadload.explain.sentences import run_words
from spreadload.explain.sheet.board import mark_of
from spreadload.explain.sheet.records import Level, OutletMark, RoomShape, RouteLine, Spot
from spreadload.job.job import Job
from spreadload.plan import Placement

At = tuple[float, float]

# Spacing of what has no position of its own [m]; a matter of drawing only.
_ROW_STEP_M = 2.0
_BAND_M = 2.6
_SAME_SPOT_M = 0.9
_MARGIN_M = 1.6
_LEAST_M = 4.0
_FEWEST_MARKS_ACROSS = 12
_MARKS_ACROSS = 30
_MOST_MARKS_ACROSS = 70
_OF_NEAREST = 0.55
_PER_ROW = 6
_SHOWN_CIRCUITS = 2

_HOW = {
    "tested": ("solid", "tested"),
    "told": ("dashed", "told"),
    "labelled": ("dashed", "read from a label"),
    "guessed": ("dotted", "guessed"),
    "stated": ("dashed", "stated, not said how it is known"),
    "": ("dotted", "not known"),
}


@dataclass
class _Floor:
    """Positions on one level, as they are found."""

    name: str
    outlets: dict[str, At] = field(default_factory=dict)
    rooms: dict[str, At] = field(default_factory=dict)
    places: dict[str, At] = field(default_factory=dict)
    boards: list[Spot] = field(default_factory=list)
    loose: dict[str, list[str]] = field(default_factory=lambda: defaultdict(list))
    guessed: set[str] = field(default_factory=set)


def levels(judged: JudgedPlan, stated: Job) -> tuple[Level, ...]:
    """Return every level with an outlet or a place on it, lowest first.

    Args:
        judged: The plan.
        stated: The job as the crew states it, guesses included.
    """
    floors = _positions(stated)
    for floor in floors.values():
        _set_out(floor)
        _spread(floor.outlets)
    return tuple(_level((judged, stated), floors[n]) for n in sorted(floors) if floors[n].outlets)


def _positions(job: Job) -> dict[int, _Floor]:
    names = {floor_level(r.floor): r.floor for r in job.rooms.values()}
    floors: dict[int, _Floor] = {}

    def on(level: int) -> _Floor:
        return floors.setdefault(level, _Floor(names.get(level, str(level) if level else "G")))

    for outlet_id in job.outlets:
        where = outlet_spot(job, outlet_id)
        if where.at is None:
            on(where.floor).loose[where.room or ""].append(outlet_id)
        else:
            on(where.floor).outlets[outlet_id] = _flipped(where.at)
    for room_id, room in job.rooms.items():
        if room.at is not None:
            on(floor_level(room.floor)).rooms[room_id] = _flipped(room.at)
    for place_id in job.places:
        where = spot(job, place_id)
        if where.at is not None:
            on(where.floor).places[place_id] = _flipped(where.at)
    for name, at, floor in _boards(job):
        on(floor_level(floor)).boards.append(Spot(name, *_flipped(at)))
    return floors


def _boards(job: Job) -> Iterable[tuple[str, At, str]]:
    if job.supply.board_at is not None:
        yield "board and meter", job.supply.board_at, job.supply.board_floor
    for board_id, board in job.sub_boards.items():
        if board.at is not None:
            yield board.label or board_id, board.at, board.floor


def _flipped(at: At) -> At:
    """Return a position with y growing downwards, as drawings have it."""
    return at[0], -at[1]


def _set_out(floor: _Floor) -> None:
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


def _spread(outlets: dict[str, At]) -> None:
    """Move outlets that share a spot a little apart, so that each can be read."""
    seen: dict[tuple[int, int], int] = defaultdict(int)
    for outlet, (x, y) in outlets.items():
        key = (round(x / _SAME_SPOT_M), round(y / _SAME_SPOT_M))
        outlets[outlet] = (x + seen[key] * _SAME_SPOT_M, y)
        seen[key] += 1


def _level(known: tuple[JudgedPlan, Job], floor: _Floor) -> Level:
    judged, stated = known
    every = [*floor.outlets.values(), *floor.places.values(), *floor.rooms.values()]
    every += [(b.x_m, b.y_m) for b in floor.boards]
    left, right = min(x for x, _ in every), max(x for x, _ in every)
    top, bottom = min(y for _, y in every), max(y for _, y in every)
    width, height = max(right - left, _LEAST_M), max(bottom - top, _LEAST_M)
    size_m = _size_m(max(width, height), list(floor.outlets.values()))
    margin = max(_MARGIN_M, 3 * size_m)
    return Level(
        name=floor.name,
        left_m=left - margin,
        top_m=top - margin,
        width_m=width + 2 * margin,
        height_m=height + 2 * margin,
        size_m=size_m,
        rooms=_rooms(stated, floor),
        outlets=tuple(_mark(known, outlet, at) for outlet, at in floor.outlets.items()),
        places=tuple(Spot(place, *at) for place, at in floor.places.items()),
        boards=tuple(floor.boards),
        routes=tuple(_routes(judged, floor)),
        unmeasured=tuple(o for there in floor.loose.values() for o in there),
    )


def _size_m(extent_m: float, outlets: Sequence[At]) -> float:
    """Return how large marks may be: smaller where outlets crowd, but never too small to read."""
    nearest = sorted(
        min((dist(a, b) for m, b in enumerate(outlets) if m != n), default=extent_m)
        for n, a in enumerate(outlets)
    )
    crowded_m = nearest[len(nearest) // 4] * _OF_NEAREST
    across = min(max(2 * len(outlets), _FEWEST_MARKS_ACROSS), _MARKS_ACROSS)
    return min(extent_m / across, max(crowded_m, extent_m / _MOST_MARKS_ACROSS))


def _rooms(job: Job, floor: _Floor) -> tuple[RoomShape, ...]:
    found = []
    for room_id, room in job.rooms.items():
        corners = [at for o, at in floor.outlets.items() if job.outlets[o].room == room_id]
        if room_id in floor.rooms:
            corners.append(floor.rooms[room_id])
        if corners:
            xs, top = [x for x, _ in corners], min(y for _, y in corners)
            middle = (min(xs) + max(xs)) / 2
            name, shape = room.name or room_id, hull(corners)
            found.append(RoomShape(room_id, name, shape, middle, top, room_id in floor.guessed))
    return tuple(found)


def hull(corners: Iterable[At]) -> tuple[At, ...]:
    """Return the corners of the smallest convex shape around some points.

    Source:
        A. M. Andrew, "Another efficient algorithm for convex hulls in two dimensions",
        Information Processing Letters 9 (1979).
    """
    points = sorted(set(corners))
    if len(points) <= 2:  # noqa: PLR2004 - a point or a line has no inside
        return tuple(points)
    return (*_chain(points)[:-1], *_chain(points[::-1])[:-1])


def _chain(points: Sequence[At]) -> list[At]:
    found: list[At] = []
    for point in points:
        while len(found) > 1 and _turn(found[-2], found[-1], point) <= 0:
            found.pop()
        found.append(point)
    return found


def _turn(a: At, b: At, c: At) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _mark(job: tuple[JudgedPlan, Job], outlet_id: str, at: At) -> OutletMark:
    judged, stated = job
    outlet = stated.outlets[outlet_id]
    point = judged.facts.points[outlet_id]
    circuits = circuits_of(point) if outlet.circuit is None else (outlet.circuit,)
    known = "" if outlet.circuit is None else (outlet.known.value if outlet.known else "stated")
    how, words = _HOW[known]
    return OutletMark(
        id=outlet_id,
        x_m=at[0],
        y_m=at[1],
        circuits="/".join(circuits) if len(circuits) <= _SHOWN_CIRCUITS else "?",
        mark=mark_of(judged, circuits[0]) if len(circuits) == 1 else -1,
        how=how,
        how_words=words,
        is_last_resort=point.is_last_resort,
        is_off_limits=point.is_off_limits,
        room=outlet.room or "",
        note=outlet.where,
    )


def _routes(judged: JudgedPlan, floor: _Floor) -> Iterable[RouteLine]:
    together: dict[tuple[str, str, str], list[Placement]] = defaultdict(list)
    for p in judged.known:
        outlet = judged.point(p).outlet
        if p.place in floor.places and outlet in floor.outlets:
            together[p.setup, outlet, p.place].append(p)
    for (setup, outlet, place), units in together.items():
        start, end = floor.outlets[outlet], floor.places[place]
        circuits = circuits_of(judged.point(units[0]))
        yield RouteLine(
            setup=setup,
            outlet=outlet,
            place=place,
            corners=(start, (end[0], start[1]), end),
            length=f"{judged.facts.route_m(place, judged.point(units[0])):.0f} m",
            what=_carried(judged, units),
            mark=mark_of(judged, circuits[0]) if len(circuits) == 1 else -1,
        )


def _carried(judged: JudgedPlan, units: Sequence[Placement]) -> str:
    by_load: dict[tuple[str, str], list[int]] = defaultdict(list)
    for p in units:
        run = run_words(judged.facts, (p.board, p.board_lead, p.lead))
        by_load[p.load, run].append(p.unit)
    return row(
        units_name(judged.facts, load, numbers) + (f" on {run}" if run else "")
        for (load, run), numbers in by_load.items()
    )
