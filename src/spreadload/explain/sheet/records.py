"""What a sheet holds: plain words and whole numbers, ready to be laid out."""

from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True)
class Made:
    """When and from what a sheet was made: it is a snapshot and says so.

    Attributes:
        when: Date and time in words.
        revision: What the crew calls this state of the plan.
        digest: Short text that changes whenever the job does.
    """

    when: str
    revision: str
    digest: str


@dataclass(frozen=True)
class FirstMove:
    """What to do first when one circuit goes down in one set-up.

    Attributes:
        text: The move in one line.
        before_a: What the circuit carries before, in amps, for a reader.
        after_a: What it carries after.
    """

    setup: str
    circuit: str
    text: str
    before_a: str = ""
    after_a: str = ""


@dataclass(frozen=True)
class Plugged:
    """Identical units at one outlet.

    Attributes:
        outlet: Outlet, or a phase of a box with the outlet it stands at.
        amps: All of them together, for a reader.
        run: Leads and boards on the way, or "".
    """

    outlet: str
    item: str
    place: str
    amps: str
    run: str


@dataclass(frozen=True)
class Way:
    """One way of the board in one set-up.

    Attributes:
        rating: Breaker or fuse in amps.
        known: How its outlets are known, or "".
        amps: What counts against it, for a reader; "" when nothing does.
        left: What it can still take.
        elsewhen: Amps in the other set-ups that load it, in the order of the day.
        mark: Number of its pattern and colour on the map.
    """

    id: str
    label: str
    board: str
    way: str
    rating: str
    feeds: str
    use: str
    rcds: str
    phases: str
    known: str
    plugged: tuple[Plugged, ...]
    amps: str
    left: str
    used_pct: int
    elsewhen: tuple[tuple[str, str], ...]
    first_move: FirstMove | None
    mark: int


@dataclass(frozen=True)
class Meter:
    """One limit upstream of the ways."""

    name: str
    amps: str
    limit: str
    used_pct: int


@dataclass(frozen=True)
class Unsure:
    """Plugs whose circuit is not known.

    Attributes:
        counted: Whether they count on each circuit they might be on, or where.
    """

    circuits: str
    counted: str
    plugged: tuple[Plugged, ...]


@dataclass(frozen=True)
class SetupPage:
    """One set-up on the board.

    Attributes:
        tightest: The fullest device with its share.
        fullest_pct: The same share [%].
    """

    id: str
    name: str
    window: str
    ways: tuple[Way, ...]
    unsure: tuple[Unsure, ...]
    meters: tuple[Meter, ...]
    tightest: str
    fullest_pct: int
    volts: str
    dark: str


@dataclass(frozen=True)
class Moves:
    """From one set-up to the next, in the order to do it."""

    before: str
    after: str
    kill: tuple[str, ...]
    move: tuple[str, ...]
    light: tuple[str, ...]


@dataclass(frozen=True)
class Table:
    """One list for the truck.

    Attributes:
        name: File name without its ending.
        blank: Empty lines to leave for writing.
    """

    name: str
    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str = ""
    blank: int = 0


@dataclass(frozen=True)
class Why:
    """Why identical units are where they are."""

    setups: str
    head: str
    text: str


@dataclass(frozen=True)
class Other:
    """A further plan beside the first."""

    name: str
    tightest: str
    price: str
    goals: tuple[tuple[str, int], ...]
    differs: tuple[str, ...]


@dataclass(frozen=True)
class OutletMark:
    """An outlet on the map; lengths in metres, y growing downwards."""

    id: str
    x_m: float
    y_m: float
    circuits: str
    mark: int
    how: str
    how_words: str
    is_last_resort: bool
    is_off_limits: bool
    room: str
    note: str


@dataclass(frozen=True)
class RoomShape:
    """A soft shape around what is known of a room."""

    id: str
    name: str
    corners: tuple[tuple[float, float], ...]
    x_m: float
    y_m: float
    is_guessed: bool


@dataclass(frozen=True)
class RouteLine:
    """A lead from an outlet to a place in one set-up."""

    setup: str
    outlet: str
    place: str
    corners: tuple[tuple[float, float], ...]
    length: str
    what: str
    mark: int


@dataclass(frozen=True)
class Spot:
    """A named spot: a place where heads stand, or a board."""

    name: str
    x_m: float
    y_m: float


@dataclass(frozen=True)
class Level:
    """One floor of the house."""

    name: str
    left_m: float
    top_m: float
    width_m: float
    height_m: float
    size_m: float
    rooms: tuple[RoomShape, ...]
    outlets: tuple[OutletMark, ...]
    places: tuple[Spot, ...]
    boards: tuple[Spot, ...]
    routes: tuple[RouteLine, ...]
    unmeasured: tuple[str, ...]


@dataclass(frozen=True)
class Sheet:
    """Everything on the sheet.

    Attributes:
        answer: The first line.
        says: The kind of answer.
        supply: Phases, planning volts and the limit with its source.
        main: Id of the set-up that the paper shows in full.
        breaks: Limits the plan passes, in words; empty when it holds.
        live: What the phone needs to follow taps.
    """

    title: str
    region: str
    made: Made
    answer: str
    says: str
    second: tuple[str, ...]
    supply: str
    main: str
    breaks: tuple[str, ...]
    setups: tuple[SetupPage, ...]
    must_be_off: tuple[str, ...]
    may_run: tuple[str, ...]
    stay_on: tuple[str, ...]
    staying: tuple[str, ...]
    moves: tuple[Moves, ...]
    first_moves: tuple[FirstMove, ...]
    whys: tuple[Why, ...]
    others: tuple[Other, ...]
    unproven: tuple[str, ...]
    chance: tuple[str, ...]
    cautions: tuple[str, ...]
    pulls: str
    needs_signature_of: tuple[str, ...]
    levels: tuple[Level, ...]
    tables: tuple[Table, ...]
    live: dict[str, Any] = field(default_factory=dict)
