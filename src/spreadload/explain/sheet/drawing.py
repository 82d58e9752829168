"""The map of one level: rooms, marks, boards, leads and labels, none lying on another.

Rooms are drawn softly around what is known of them. A mark or label that has to move away from what
it belongs to gets a line back to it. Lengths are drawing units: twenty to a mark.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import dist

from spreadload.explain.judged import JudgedPlan
from spreadload.explain.names import circuits_of, row, units_name
from spreadload.explain.sentences import run_words
from spreadload.explain.sheet.board import mark_of
from spreadload.explain.sheet.floor import Floor, floors
from spreadload.explain.sheet.packing import (
    Box,
    Packer,
    Placed,
    around_all,
    curve,
    text_size,
    text_width,
)
from spreadload.explain.sheet.records import (
    DayLines,
    Level,
    OutletMark,
    RoomShape,
    RouteLine,
    Spot,
    Text,
)
from spreadload.job.job import Job
from spreadload.plan import Placement
from spreadload.units import whole_metres

At = tuple[float, float]

# Sizes in drawing units; a matter of drawing only.
MARK = 20.0
RING = 17.0
_LAST_RESORT = 4.0
_PLATE_HIGH = 14.0
_PLATE_LETTER = 11.0
_LABEL_LETTER = 12.0
_ROOM_LETTER = 13.0
_BOARD = (20.0, 26.0)
_PLACE = (13.0, 13.0)
_ROOM_PAD = 29.0
_ROOM_NAME_AWAY = 60.0
_EDGE = 10.0
# How far a lead may swing out, gentle curves first: the first that passes fewest marks is drawn.
_BENDS = (0.1, -0.1, 0.2, -0.2, 0.32, -0.32)
_LONGEST = 22
_SHOWN_CIRCUITS = 2

# How many marks fit across a level: fewer are drawn larger, crowds smaller, none too small.
_LEAST_M = 4.0
_FEWEST_ACROSS = 12
_USUAL_ACROSS = 22
_MOST_ACROSS = 30
_OF_NEAREST = 0.55

_HOW = {
    "tested": ("solid", "tested"),
    "told": ("dashed", "told"),
    "labelled": ("dashed", "read from a label"),
    "guessed": ("dotted", "guessed"),
    "stated": ("dashed", "stated, not said how it is known"),
    "": ("dotted", "not known"),
}


def levels(judged: JudgedPlan, stated: Job) -> tuple[Level, ...]:
    """Return the map of every level with an outlet on it, lowest first.

    Args:
        judged: The plan.
        stated: The job as the crew states it, guesses included.
    """
    found = floors(stated)
    fullest = max(found, key=lambda floor: len(floor.outlets), default=None)
    size_m = _size_m(fullest) if fullest else 1.0
    drawn = [_Drawing(judged, stated, floor, size_m).level() for floor in found]
    # As wide as the widest, so that all are drawn to one scale.
    width = max((level.width for level in drawn), default=0.0)
    return tuple(
        replace(level, left=level.left - (width - level.width) / 2, width=width) for level in drawn
    )


@dataclass(frozen=True)
class _Lead:
    """Units that go from an outlet to a place in one set-up."""

    setup: str
    outlet: str
    place: str
    units: tuple[Placement, ...]


class _Drawing:
    """One level on its way to paper."""

    def __init__(self, judged: JudgedPlan, stated: Job, floor: Floor, size_m: float) -> None:
        self._judged = judged
        self._stated = stated
        self._floor = floor
        self._scale = MARK / size_m
        self._packer = Packer()
        self._leads = _leads(judged, floor)

    def level(self) -> Level:
        """Return the finished map; what is fixed takes its place before what can give way."""
        boards = [(name, self._put(at, _BOARD)) for name, at in self._floor.boards]
        marks = {o: self._mark(o, self._at(at)) for o, at in self._floor.outlets.items()}
        used = {lead.place for lead in self._leads}
        places = {p: self._put(at, _PLACE) for p, at in self._floor.places.items() if p in used}
        rooms = tuple(self._rooms(marks))
        texts = tuple(self._text((name,), placed.box.middle) for name, placed in boards)
        days, boxes = self._days(marks, {p: each.box.middle for p, each in places.items()})
        bounds = around_all([*boxes, *(_around_room(room) for room in rooms)])
        return Level(
            name=self._floor.name,
            left=bounds.left - _EDGE,
            top=bounds.top - _EDGE,
            width=bounds.right - bounds.left + 2 * _EDGE,
            height=bounds.bottom - bounds.top + 2 * _EDGE,
            rooms=rooms,
            outlets=tuple(marks.values()),
            boards=tuple(Spot(n, *p.box.middle, p.leader) for n, p in boards),
            texts=texts,
            days=days,
            unmeasured=tuple(o for there in self._floor.loose.values() for o in there),
        )

    def _at(self, at: At) -> At:
        return at[0] * self._scale, at[1] * self._scale

    def _put(self, at: At, size: At) -> Placed:
        return self._packer.put(self._at(at), size, on_spot=True)

    def _text(self, lines: Sequence[str], at: At, packer: Packer | None = None) -> Text:
        """Return a label beside something."""
        short = tuple(_shortened(line) for line in lines)
        placed = (packer or self._packer).put(at, text_size(short, _LABEL_LETTER), on_spot=False)
        return _written(short, placed)

    def _mark(self, outlet_id: str, at: At) -> OutletMark:
        outlet = self._stated.outlets[outlet_id]
        point = self._judged.facts.points[outlet_id]
        circuits = circuits_of(point) if outlet.circuit is None else (outlet.circuit,)
        plate = "/".join(circuits) if len(circuits) <= _SHOWN_CIRCUITS else "?"
        placed, ring = self._put_mark(at, plate, is_last_resort=point.is_last_resort)
        known = "" if outlet.circuit is None else (outlet.known.value if outlet.known else "stated")
        how, words = _HOW[known]
        return OutletMark(
            id=outlet_id,
            at_m=self._floor.outlets[outlet_id],
            x=ring[0],
            y=ring[1],
            leader=None if placed.leader is None else (at, ring),
            circuits=_shortened(plate),
            plate_width=_plate_width(plate),
            mark=mark_of(self._judged, circuits[0]) if len(circuits) == 1 else -1,
            how=how,
            how_words=words,
            is_last_resort=point.is_last_resort,
            is_off_limits=point.is_off_limits,
            room=outlet.room or "",
            note=outlet.where,
        )

    def _put_mark(self, at: At, plate: str, *, is_last_resort: bool) -> tuple[Placed, At]:
        """Take a place for a mark: a ring, and under it a plate with the circuit."""
        above = RING + 2 + (_LAST_RESORT if is_last_resort else 0.0)
        below = above + _PLATE_HIGH
        width = max(2 * above, _plate_width(plate) + 2)
        lower = (below - above) / 2
        placed = self._packer.put((at[0], at[1] + lower), (width, above + below), on_spot=True)
        return placed, (placed.box.middle[0], placed.box.top + above)

    def _rooms(self, marks: dict[str, OutletMark]) -> Iterable[RoomShape]:
        for room_id, room in self._stated.rooms.items():
            corners = [
                (mark.x, mark.y)
                for outlet_id, mark in marks.items()
                if self._stated.outlets[outlet_id].room == room_id
            ]
            if room_id in self._floor.rooms:
                corners.append(self._at(self._floor.rooms[room_id]))
            if corners:
                is_guessed = room_id in self._floor.guessed
                name = _shortened(room.name or room_id) + (" (not measured)" * is_guessed)
                yield RoomShape(room_id, name, hull(corners), self._room_name(name, corners))

    def _room_name(self, name: str, corners: Sequence[At]) -> Text:
        left, right = min(x for x, _ in corners), max(x for x, _ in corners)
        at = ((left + right) / 2, min(y for _, y in corners) - RING - _ROOM_LETTER / 2)
        placed = self._packer.put(at, text_size((name,), _ROOM_LETTER), on_spot=True)
        is_near = dist(placed.box.middle, at) < _ROOM_NAME_AWAY
        return _written((name,), replace(placed, leader=None) if is_near else placed)

    def _days(
        self, marks: dict[str, OutletMark], places: dict[str, At]
    ) -> tuple[tuple[DayLines, ...], list[Box]]:
        """Return leads and their labels per set-up, and every box taken by any of them."""
        found, boxes = [], list(self._packer.taken)
        for setup in self._judged.facts.demands:
            packer = self._packer.copy()
            leads = [lead for lead in self._leads if lead.setup == setup]
            routes = tuple(self._route(lead, marks, places, packer) for lead in leads)
            ends = dict.fromkeys(lead.place for lead in leads)
            texts = tuple(
                self._text(
                    (place, *(f"{r.length} from {r.source}" for r in routes if r.place == place)),
                    places[place],
                    packer,
                )
                for place in ends
            )
            spots = tuple(Spot(place, *places[place]) for place in ends)
            found.append(DayLines(setup, routes, spots, texts))
            boxes += packer.taken
            boxes += (Box(x, y, x, y) for x, y in packer.lines)
        return tuple(found), boxes

    def _route(
        self,
        lead: _Lead,
        marks: dict[str, OutletMark],
        places: dict[str, At],
        packer: Packer,
    ) -> RouteLine:
        mark, end = marks[lead.outlet], places[lead.place]
        ways = [curve((mark.x, mark.y), end, bend) for bend in _BENDS]
        middle, points = min(ways, key=lambda way: packer.hit(way[1]))
        packer.lines += points
        point = self._judged.point(lead.units[0])
        return RouteLine(
            outlet=lead.outlet,
            place=lead.place,
            start=(mark.x, mark.y),
            middle=middle,
            end=end,
            length=f"{whole_metres(self._judged.facts.route_m(lead.place, point))} m",
            source=f"{lead.outlet} {point.box}" if point.box else lead.outlet,
            what=_carried(self._judged, lead.units),
            mark=mark.mark,
        )


def _size_m(floor: Floor) -> float:
    """Return how large a mark may be: smaller where outlets crowd, never too small to read [m]."""
    outlets = list(floor.outlets.values())
    every = [*outlets, *floor.places.values(), *(at for _, at in floor.boards)]
    xs, ys = [x for x, _ in every], [y for _, y in every]
    extent_m = max(max(xs) - min(xs), max(ys) - min(ys), _LEAST_M)
    nearest = sorted(
        min((dist(a, b) for m, b in enumerate(outlets) if m != n), default=extent_m)
        for n, a in enumerate(outlets)
    )
    crowded_m = nearest[len(nearest) // 4] * _OF_NEAREST
    across = min(max(2 * len(outlets), _FEWEST_ACROSS), _USUAL_ACROSS)
    return min(extent_m / across, max(crowded_m, extent_m / _MOST_ACROSS))


def _leads(judged: JudgedPlan, floor: Floor) -> tuple[_Lead, ...]:
    together: dict[tuple[str, str, str], list[Placement]] = defaultdict(list)
    for p in judged.known:
        outlet = judged.point(p).outlet
        if p.place in floor.places and outlet in floor.outlets:
            together[p.setup, outlet, p.place].append(p)
    return tuple(_Lead(*key, tuple(units)) for key, units in together.items())


def _carried(judged: JudgedPlan, units: Sequence[Placement]) -> str:
    by_load: dict[tuple[str, str], list[int]] = defaultdict(list)
    for p in units:
        run = run_words(judged.facts, (p.board, p.board_lead, p.lead))
        by_load[p.load, run].append(p.unit)
    return row(
        units_name(judged.facts, load, numbers) + (f" on {run}" if run else "")
        for (load, run), numbers in by_load.items()
    )


def _plate_width(plate: str) -> float:
    return max(text_width(_shortened(plate), _PLATE_LETTER) + 6.0, MARK)


def _shortened(text: str) -> str:
    return text if len(text) <= _LONGEST else text[: _LONGEST - 1] + "…"


def _written(lines: tuple[str, ...], placed: Placed) -> Text:
    x, _ = placed.box.middle
    return Text(lines, x, placed.box.top, placed.leader)


def _around_room(room: RoomShape) -> Box:
    return around_all(Box.around(corner, 2 * _ROOM_PAD, 2 * _ROOM_PAD) for corner in room.corners)


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
