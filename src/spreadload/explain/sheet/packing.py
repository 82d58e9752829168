"""Where marks and labels of a drawing go so that none lies on another.

Greedy and deterministic: each in turn takes the nearest free spot around what it belongs to.
Lengths are drawing units, y growing downwards. Knows nothing of houses.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from math import hypot

At = tuple[float, float]

# Widths of letters as parts of the letter size, on the wide side of what phones and printers
# carry, so that a text is never wider than the room kept for it; a matter of drawing only.
_NARROW, _USUAL, _BROAD, _FULL = 0.4, 0.64, 0.78, 1.12
_NARROW_LETTERS = frozenset("iljtfrI.,:;'|!()[]/ -")
_LINE = 1.2
_PAD = 2.0

# How far from its anchor a label may go, step by step, and the directions it may go in.
_STEPS = (4.0, 9.0, 15.0, 22.0, 30.0, 40.0, 52.0, 66.0, 82.0, 100.0, 125.0, 155.0, 190.0)
_DIRECTIONS = (
    (0, 1), (0, -1), (1, 0), (-1, 0), (1, 1), (-1, 1), (1, -1), (-1, -1),
    (0.5, 1), (-0.5, 1), (0.5, -1), (-0.5, -1), (1, 0.5), (-1, 0.5), (1, -0.5), (-1, -0.5),
)  # fmt: skip
_CROSSING_COSTS = 5.0
_DIRECTION_COSTS = 0.6
_OVER_COSTS = 9.0
_LEADER_POINTS = 8
_LEADER_FROM = 14.0


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle."""

    left: float
    top: float
    right: float
    bottom: float

    @staticmethod
    def around(at: At, width: float, height: float) -> "Box":
        """Return the box of a size with its middle at a point."""
        return Box(at[0] - width / 2, at[1] - height / 2, at[0] + width / 2, at[1] + height / 2)

    @property
    def middle(self) -> At:
        """The point in the middle."""
        return (self.left + self.right) / 2, (self.top + self.bottom) / 2

    def meets(self, other: "Box") -> bool:
        """Whether two boxes share more than an edge."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )

    def holds(self, at: At) -> bool:
        """Whether a point lies inside."""
        return self.left < at[0] < self.right and self.top < at[1] < self.bottom

    def nearest(self, at: At) -> At:
        """Return the point of the box nearest to another point."""
        x = min(max(at[0], self.left), self.right)
        return x, min(max(at[1], self.top), self.bottom)


@dataclass(frozen=True, slots=True)
class Placed:
    """Something that found its place.

    Attributes:
        box: Where it is.
        leader: Where a line to what it belongs to starts and ends; None where it is near enough.
    """

    box: Box
    leader: tuple[At, At] | None


@dataclass(slots=True)
class Packer:
    """Remembers what is taken and finds the nearest free spot for what comes next.

    Attributes:
        taken: Boxes nothing else may lie on.
        lines: Points of lines that a label had better not hide.
    """

    taken: list[Box] = field(default_factory=list)
    lines: list[At] = field(default_factory=list)

    def hit(self, points: Iterable[At]) -> int:
        """Return how many points lie on something taken."""
        return sum(box.holds(point) for point in points for box in self.taken)

    def copy(self) -> "Packer":
        """Return a packer with the same things taken."""
        return Packer(list(self.taken), list(self.lines))

    def put(self, at: At, size: tuple[float, float], *, on_spot: bool) -> Placed:
        """Take a place for something that belongs to a point.

        Args:
            at: The point.
            size: Width and height.
            on_spot: Whether it may lie on the point itself, as a mark does and a label does not.
        """
        best, least = None, float("inf")
        for box, away in _spots(at, size, on_spot=on_spot):
            if away >= least:
                continue
            if any(box.meets(each) for each in self.taken):
                continue
            cost = away + _CROSSING_COSTS * sum(box.holds(each) for each in self.lines)
            cost += _OVER_COSTS * self.hit(_between(_leader(box, at, on_spot=on_spot)))
            if cost < least:
                best, least = box, cost
        found = best or self._below(at, size)
        self.taken.append(found)
        return Placed(found, _leader(found, at, on_spot=on_spot))

    def _below(self, at: At, size: tuple[float, float]) -> Box:
        """Return a box under everything: a place there always is."""
        top = max(each.bottom for each in self.taken) + _PAD
        return Box(at[0] - size[0] / 2, top, at[0] + size[0] / 2, top + size[1])


def around_all(boxes: Iterable[Box]) -> Box:
    """Return the smallest box around others.

    Raises:
        ValueError: There are none.
    """
    every = list(boxes)
    return Box(
        min(b.left for b in every),
        min(b.top for b in every),
        max(b.right for b in every),
        max(b.bottom for b in every),
    )


def _spots(at: At, size: tuple[float, float], *, on_spot: bool) -> Iterator[tuple[Box, float]]:
    """Yield places around a point with what each costs, near ones first."""
    width, height = size
    if on_spot:
        yield Box.around(at, width, height), 0.0
    for step in _STEPS:
        for rank, (dx, dy) in enumerate(_DIRECTIONS):
            x = at[0] + dx * (width / 2 + step)
            y = at[1] + dy * (height / 2 + step)
            yield Box.around((x, y), width, height), step + _DIRECTION_COSTS * rank


def _leader(box: Box, at: At, *, on_spot: bool) -> tuple[At, At] | None:
    end = box.middle if on_spot else box.nearest(at)
    away = hypot(end[0] - at[0], end[1] - at[1])
    is_near = away == 0 if on_spot else away <= _LEADER_FROM
    return None if is_near else (at, end)


def _between(line: tuple[At, At] | None) -> Iterator[At]:
    """Yield points along a line, its ends left away."""
    if line is None:
        return
    (x, y), (end_x, end_y) = line
    for n in range(1, _LEADER_POINTS):
        t = n / _LEADER_POINTS
        yield x + t * (end_x - x), y + t * (end_y - y)


def text_width(text: str, letter: float) -> float:
    """Return how wide a text may turn out, on the wide side.

    Args:
        text: One line.
        letter: Size of the letters.
    """
    return letter * sum(map(_letter_width, text))


def _letter_width(letter: str) -> float:
    if letter in _NARROW_LETTERS:
        return _NARROW
    if letter.isascii():
        return _BROAD if letter.isupper() or letter in "mw@%&#" else _USUAL
    return _USUAL if letter.isalpha() and ord(letter) < 0x2E80 else _FULL  # noqa: PLR2004 - CJK on


def text_size(lines: Sequence[str], letter: float) -> tuple[float, float]:
    """Return width and height to keep free for lines of text."""
    width = max(text_width(line, letter) for line in lines)
    return width + 2 * _PAD, letter * _LINE * len(lines) + _PAD


def curve(start: At, end: At, bend: float) -> tuple[At, tuple[At, ...]]:
    """Return the middle control point of a gentle curve, and points along it.

    Args:
        start: Where it starts.
        end: Where it ends.
        bend: How far it swings out, as a part of its length; the sign says to which side.

    Source:
        Quadratic Bézier curve, B(t) = (1-t)²P0 + 2(1-t)tP1 + t²P2.
    """
    dx, dy = end[0] - start[0], end[1] - start[1]
    middle = ((start[0] + end[0]) / 2 - bend * dy, (start[1] + end[1]) / 2 + bend * dx)
    count = max(4, int(hypot(dx, dy) / 12))
    points = tuple(
        tuple(
            (1 - t) ** 2 * a + 2 * (1 - t) * t * m + t**2 * b
            for a, m, b in zip(start, middle, end, strict=True)
        )
        for t in (n / count for n in range(1, count))
    )
    return middle, tuple((p[0], p[1]) for p in points)
