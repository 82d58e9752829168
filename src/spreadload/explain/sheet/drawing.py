"""The map of one level: rooms, marks, boards, leads and labels, none lying on another.

Rooms are drawn softly around what is known of them. A mark or label that has to move away from what
it belongs to gets a line back to it. Lengths are drawing units: twenty to a mark.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace
from math import dist

from spreadload.explain.judged import JudgedPlan
from spreadload.explain.names import circuits_of
from spreadload.explain.sheet.board import mark_of
from spreadload.explain.sheet.floor import Floor, floors
from spreadload.explain.sheet.hull import hull
from spreadload.explain.sheet.lead_ends import Lead, leads_of
from spreadload.explain.sheet.map_records import (
    DayLines,
    Level,
    OutletMark,
    RoomShape,
    RouteLine,
    Spot,
    Text,
)
from spreadload.explain.sheet.packing import (
    Box,
    Packer,
    Placed,
    around_all,
    curve,
    text_size,
    text_width,
)
from spreadload.job.job import Job

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
    """Return the map of every level with an outlet or the end of a lead, lowest first.

    Args:
        judged: The plan.
        stated: The job as the crew states it, guesses included.
    """
    every = floors(stated)
    leads = leads_of(judged, every)
    ends = {lead.place for lead in leads}
    found = [floor for floor in every if floor.outlets or ends & floor.places.keys()]
    fullest = max(found, key=lambda floor: len(floor.outlets), default=None)
    size_m = _size_m(fullest) if fullest else 1.0
    drawn = [_Drawing(judged, stated, floor, size_m, leads).level() for floor in found]
    # As wide as the widest, so that all are drawn to one scale.
    width = max((level.width for level in drawn), default=0.0)
    return tuple(
        replace(level, left=level.left - (width - level.width) / 2, width=width) for level in drawn
    )


class _Drawing:
    """One level on its way to paper."""

    def __init__(
        self,
        judged: JudgedPlan,
        stated: Job,
        floor: Floor,
        size_m: float,
        leads: Iterable[Lead],
    ) -> None:
        self._judged = judged
        self._stated = stated
        self._floor = floor
        self._scale = MARK / size_m
        self._packer = Packer()
        self._arriving = [lead for lead in leads if lead.place in floor.places]
        self._leaving = [lead for lead in leads if lead.rises and lead.outlet in floor.outlets]

    def level(self) -> Level:
        """Return the finished map; what is fixed takes its place before what can give way."""
        boards = [(name, self._put(at, _BOARD)) for name, at in self._floor.boards]
        marks = {o: self._mark(o, self._at(at)) for o, at in self._floor.outlets.items()}
        used = {lead.place for lead in self._arriving}
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
            arriving = [lead for lead in self._arriving if lead.setup == setup]
            leaving = [lead for lead in self._leaving if lead.setup == setup]
            routes = tuple(self._route(lead, marks, places, packer) for lead in arriving)
            labels = [
                *((places[place], (place, *lines)) for place, lines in _by_place(arriving)),
                *(((marks[o].x, marks[o].y), lines) for o, lines in _by_outlet(leaving)),
            ]
            texts = tuple(self._text(lines, at, packer) for at, lines in labels)
            spots = tuple(Spot(place, *places[place]) for place, _ in _by_place(arriving))
            found.append(DayLines(setup, routes, spots, texts))
            boxes += packer.taken
            boxes += (Box(x, y, x, y) for x, y in packer.lines)
        return tuple(found), boxes

    def _route(
        self, lead: Lead, marks: dict[str, OutletMark], places: dict[str, At], packer: Packer
    ) -> RouteLine:
        end = places[lead.place]
        # A lead from another level is told beside its place; there is nothing to draw it from.
        mark = marks.get(lead.outlet)
        start = end if mark is None else (mark.x, mark.y)
        ways = [curve(start, end, bend) for bend in _BENDS]
        middle, points = min(ways, key=lambda way: packer.hit(way[1]))
        packer.lines += points
        return RouteLine(
            outlet=lead.source,
            place=lead.place,
            start=start,
            middle=middle,
            end=end,
            length=lead.length,
            what=lead.what,
        )


def _by_place(leads: Iterable[Lead]) -> list[tuple[str, tuple[str, ...]]]:
    """Return what arrives at each place, for a label."""
    lines: dict[str, list[str]] = defaultdict(list)
    for lead in leads:
        lines[lead.place].append(lead.as_arriving)
    return [(place, tuple(there)) for place, there in lines.items()]


def _by_outlet(leads: Iterable[Lead]) -> list[tuple[str, tuple[str, ...]]]:
    """Return what goes to other levels from each outlet, for a label."""
    lines: dict[str, list[str]] = defaultdict(list)
    for lead in leads:
        lines[lead.outlet].append(lead.as_leaving)
    return [(outlet, tuple(there)) for outlet, there in lines.items()]


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


def _plate_width(plate: str) -> float:
    return max(text_width(_shortened(plate), _PLATE_LETTER) + 6.0, MARK)


def _shortened(text: str) -> str:
    return text if len(text) <= _LONGEST else text[: _LONGEST - 1] + "…"


def _written(lines: tuple[str, ...], placed: Placed) -> Text:
    x, _ = placed.box.middle
    return Text(lines, x, placed.box.top, placed.leader)


def _around_room(room: RoomShape) -> Box:
    return around_all(Box.around(corner, 2 * _ROOM_PAD, 2 * _ROOM_PAD) for corner in room.corners)
