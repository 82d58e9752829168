"""Points that something may be plugged into, set-up by set-up, and what takes their sockets."""

from collections import defaultdict
from collections.abc import Iterator

from spreadload.derived.records import Point
from spreadload.solver.model.candidates import Candidate
from spreadload.solver.model.variables import Linear, Variables, total


def occupied(v: Variables) -> Iterator[tuple[str, Point, list[Candidate]]]:
    """Yield every set-up and point that something may use, with what may use it."""
    for setup_id in v.setups():
        for point, options in points_of(v, setup_id):
            yield setup_id, point, options


def points_of(v: Variables, setup_id: str) -> Iterator[tuple[Point, list[Candidate]]]:
    """Yield every point that something may use in a set-up, with what may use it."""
    by_point: dict[str, list[Candidate]] = defaultdict(list)
    for demand in v.plugged(setup_id):
        for option in v.options[demand]:
            by_point[option.point.id].append(option)
    for point_id, options in sorted(by_point.items()):
        yield v.facts.points[point_id], options


def fed_sockets(v: Variables) -> dict[tuple[str, str], Linear]:
    """Return sockets taken by boards on leads and by boxes, per set-up and point; 0 for others."""
    taken: dict[tuple[str, str], list[Linear]] = defaultdict(list)
    for key, kind in v.remote_of.items():
        taken[key.setup, key.point].append(kind)
    for (setup_id, outlet_id, _), box in v.box_at.items():
        taken[setup_id, outlet_id].append(box)
    return defaultdict(int, {where: total(parts) for where, parts in taken.items()})
