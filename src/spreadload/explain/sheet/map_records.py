"""What the map of a sheet holds: marks, shapes, leads and labels, each where it is drawn."""

from dataclasses import dataclass

At = tuple[float, float]
Leader = tuple[At, At] | None


@dataclass(frozen=True)
class OutletMark:
    """An outlet on the map, in drawing units.

    Attributes:
        at_m: Where it really is, y growing downwards [m].
        x: Middle of its ring.
        y: The same downwards.
        leader: Line back to where it is, when its mark had to move away.
        plate_width: Width of the plate with its circuit.
    """

    id: str
    at_m: At
    x: float
    y: float
    leader: Leader
    circuits: str
    plate_width: float
    mark: int
    how: str
    how_words: str
    is_last_resort: bool
    is_off_limits: bool
    room: str
    note: str


@dataclass(frozen=True)
class Text:
    """Lines of a label, one under the other.

    Attributes:
        x: Their middle.
        top: Upper edge of the first.
        leader: Line to what they belong to, where that is not beside them.
    """

    lines: tuple[str, ...]
    x: float
    top: float
    leader: Leader


@dataclass(frozen=True)
class RoomShape:
    """A soft shape around what is known of a room."""

    id: str
    name: str
    corners: tuple[At, ...]
    text: Text


@dataclass(frozen=True)
class RouteLine:
    """A lead from an outlet to a place: a curve, not the way it lies; its length is of the way.

    Attributes:
        outlet: What it comes from: the outlet, or a box on its own cable there.
        start: Where it starts; the place itself when the outlet is on another level.
    """

    outlet: str
    place: str
    start: At
    middle: At
    end: At
    length: str
    what: str


@dataclass(frozen=True)
class Spot:
    """A named spot: a place where heads stand, or a board."""

    name: str
    x: float
    y: float
    leader: Leader = None


@dataclass(frozen=True)
class DayLines:
    """What one set-up draws on the map."""

    setup: str
    routes: tuple[RouteLine, ...]
    places: tuple[Spot, ...]
    texts: tuple[Text, ...]


@dataclass(frozen=True)
class Level:
    """One floor of the house, in drawing units."""

    name: str
    left: float
    top: float
    width: float
    height: float
    rooms: tuple[RoomShape, ...]
    outlets: tuple[OutletMark, ...]
    boards: tuple[Spot, ...]
    texts: tuple[Text, ...]
    days: tuple[DayLines, ...]
    unmeasured: tuple[str, ...]
