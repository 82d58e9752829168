"""The smallest convex shape around some points: how a room is drawn around what is known of it."""

from collections.abc import Iterable, Sequence

At = tuple[float, float]


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
