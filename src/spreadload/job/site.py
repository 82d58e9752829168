"""The house: supply, switchboard, rooms and outlets, as seen on the recce."""

from enum import StrEnum
from typing import Annotated

from pydantic import Field

from spreadload.job.base import (
    Amps,
    Feet,
    Metres,
    Position,
    PositionFt,
    Stated,
    Text,
    Volts,
    Watts,
    length_in_m,
    position_in_m,
)


class System(StrEnum):
    """How the supply arrives."""

    SINGLE_PHASE = "single-phase"
    SPLIT_PHASE = "split-phase"
    THREE_PHASE = "three-phase"

    @property
    def phases(self) -> tuple[str, ...]:
        """Names of the line conductors; the legs of a split-phase supply are A and B."""
        return _PHASES[self]


_PHASES = {
    System.SINGLE_PHASE: ("L1",),
    System.SPLIT_PHASE: ("A", "B"),
    System.THREE_PHASE: ("L1", "L2", "L3"),
}


class Feeds(StrEnum):
    """What a way of the switchboard feeds."""

    OUTLETS = "outlets"
    LIGHTING = "lighting"
    COOKING = "cooking"
    WATER = "water"
    HEATING = "heating"
    AIR = "air"
    SUB_BOARD = "sub-board"
    OTHER = "other"


class Permission(StrEnum):
    """What the crew may do with a circuit or an outlet."""

    ALLOWED = "allowed"
    LAST_RESORT = "last resort"
    OFF_LIMITS = "off limits"


class HowKnown(StrEnum):
    """How an outlet's circuit is known, strongest first."""

    TESTED = "tested"
    TOLD = "told"
    LABELLED = "labelled"
    GUESSED = "guessed"


class Curve(StrEnum):
    """Instantaneous tripping curve of a breaker to IEC 60898-1."""

    B = "B"
    C = "C"
    D = "D"


class Reading(Stated):
    """Volts read at one point, idle and, better, with a known load on."""

    at: Text = "board"
    idle_v: Volts
    loaded_v: Volts | None = None
    load_a: Amps | None = None
    load_w: Watts | None = None
    phase: Text | tuple[Text, ...] | None = None
    time: Text | None = None
    note: Text = ""


class LimitCounts(StrEnum):
    """What a limit in amps is held against on two legs."""

    EACH_LEG = "each leg"
    BOTH_LEGS = "both legs"


class MainSwitch(Stated):
    """The handle at the head of the board; often only an isolator."""

    rating_a: Amps | None = None
    is_limit: bool = False


class Supply(Stated):
    """What the network gives and what limits it."""

    system: System | None = None
    planning_v: Volts | None = None
    limit_a: Amps | None = Field(default=None, description="per phase or leg")
    limit_source: Text | None = None
    limit_is_contract: bool = False
    limit_counts: LimitCounts | None = None
    contract_w: Watts | None = None
    contract_va: Watts | None = None
    main_switch: MainSwitch | None = None
    readings: tuple[Reading, ...] = ()
    min_v: Volts | None = None
    board_at: Position | None = None
    board_at_ft: PositionFt | None = None
    board_floor: Text = "G"

    @property
    def board_at_in_m(self) -> Position | None:
        """Where the main board is on the plan of the house, x and y [m]."""
        return position_in_m(self.board_at, self.board_at_ft)


class RcdKind(StrEnum):
    """Families of residual-current device."""

    RCD = "RCD"
    RCBO = "RCBO"
    GFCI = "GFCI"
    EQUIPMENT = "equipment"


class Rcd(Stated):
    """A residual-current device and so a group of circuits or outlets that drop together."""

    trips_at_ma: Annotated[float, Field(gt=0, le=1000)] | None = None
    kind: RcdKind = RcdKind.RCD
    type: Text | None = None
    rating_a: Amps | None = None


class SubBoard(Stated):
    """A board fed from another; its feed is a limit of its own."""

    label: Text = ""
    fed_from: Text | None = Field(default=None, description="another sub-board; main if absent")
    feed_a: Amps
    phase: Text | tuple[Text, ...] | None = None
    rcd: Text | None = None
    cable_m: Metres | None = None
    cable_ft: Feet | None = None
    cable_mm2: Annotated[float, Field(gt=0, le=400)] | None = None
    at: Position | None = None
    at_ft: PositionFt | None = None
    floor: Text = "G"

    @property
    def cable_in_m(self) -> float | None:
        """Length of its cable [m]."""
        return length_in_m(self.cable_m, self.cable_ft)

    @property
    def at_in_m(self) -> Position | None:
        """Where it is on the plan of the house, x and y [m]."""
        return position_in_m(self.at, self.at_ft)


class Circuit(Stated):
    """One way of a switchboard."""

    label: Text = ""
    breaker_a: Amps | None = None
    fuse_a: Amps | None = None
    rewireable: bool = False
    curve: Curve | None = None
    phase: Text | tuple[Text, ...] | None = None
    rcd: Text | None = None
    sub_board: Text | None = None
    feeds: Feeds | None = None
    use: Permission = Permission.ALLOWED
    arc_fault: bool = False
    ring: bool = False
    shares_neutral_with: Text | None = None
    toggle_colour: Text | None = None
    way: Text | None = None
    cable_m: Metres | None = None
    cable_ft: Feet | None = None
    cable_mm2: Annotated[float, Field(gt=0, le=400)] | None = None
    note: Text = ""

    @property
    def cable_in_m(self) -> float | None:
        """Length of its cable [m]."""
        return length_in_m(self.cable_m, self.cable_ft)


class RoomUse(StrEnum):
    """What a room is for; drives habits about its wiring."""

    LIVING = "living"
    DINING = "dining"
    KITCHEN = "kitchen"
    PANTRY = "pantry"
    LAUNDRY = "laundry"
    BATHROOM = "bathroom"
    BEDROOM = "bedroom"
    STUDY = "study"
    HALL = "hall"
    STAIRS = "stairs"
    GARAGE = "garage"
    OUTSIDE = "outside"
    STAGE = "stage"
    WORKSHOP = "workshop"
    OTHER = "other"


class Room(Stated):
    """A room in the owner's words."""

    name: Text | None = None
    floor: Text = "G"
    use: RoomUse = RoomUse.OTHER
    at: Position | None = None
    at_ft: PositionFt | None = None

    @property
    def at_in_m(self) -> Position | None:
        """Where it is on the plan of the house, x and y [m]."""
        return position_in_m(self.at, self.at_ft)


class Outlet(Stated):
    """One plate on a wall, with one or more sockets on one circuit."""

    room: Text | None = None
    where: Text = ""
    at: Position | None = None
    at_ft: PositionFt | None = None
    floor: Text | None = None
    sockets: Annotated[int, Field(ge=1, le=12)] | None = None
    plug: Text | None = None
    socket_a: Amps | None = None
    plate_a: Amps | None = None
    switched: bool = False
    circuit: Text | None = None
    known: HowKnown | None = None
    maybe_on: tuple[Text, ...] = ()
    rcd: Text | None = None
    use: Permission = Permission.ALLOWED
    note: Text = ""

    @property
    def at_in_m(self) -> Position | None:
        """Where it is on the plan of the house, x and y [m]."""
        return position_in_m(self.at, self.at_ft)


class Place(Stated):
    """A spot where heads stand."""

    room: Text | None = None
    at: Position | None = None
    at_ft: PositionFt | None = None
    floor: Text | None = None
    name: Text | None = None

    @property
    def at_in_m(self) -> Position | None:
        """Where it is on the plan of the house, x and y [m]."""
        return position_in_m(self.at, self.at_ft)
