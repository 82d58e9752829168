"""What a sheet holds: plain words and whole numbers, ready to be laid out."""

from dataclasses import dataclass, field
from typing import Any

from spreadload.explain.first_moves import FirstMove
from spreadload.explain.plug_lines import PlugLine
from spreadload.explain.sheet.map_records import Level
from spreadload.explain.told_once import Why


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
    plugged: tuple[PlugLine, ...]
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
    plugged: tuple[PlugLine, ...]


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
    """From one set-up to the next, in the order to do it.

    Attributes:
        carry: What stands somewhere else while its plug stays.
    """

    before: str
    after: str
    kill: tuple[str, ...]
    move: tuple[str, ...]
    carry: tuple[str, ...]
    light: tuple[str, ...]


@dataclass(frozen=True)
class Bundle:
    """Units at one outlet that share a way there.

    Attributes:
        items: Name and amps of each, for a reader.
        run: The lead or board they hang on, or "".
    """

    items: tuple[tuple[str, str], ...]
    run: str


@dataclass(frozen=True)
class PaperOutlet:
    """An outlet on the printed page with everything on it."""

    outlet: str
    bundles: tuple[Bundle, ...]


@dataclass(frozen=True)
class PaperWay:
    """A way of the board on the printed page.

    Attributes:
        elsewhen: Amps in each other set-up, "" where it carries nothing.
        elsewhen_words: The same in words where there are too many set-ups for columns.
    """

    way: Way
    outlets: tuple[PaperOutlet, ...]
    elsewhen: tuple[str, ...]
    elsewhen_words: str


@dataclass(frozen=True)
class PaperUnsure:
    """Outlets on the printed page whose circuit is not known.

    Attributes:
        likely: Ways without a row of their own that have a first move.
    """

    circuits: str
    counted: str
    outlets: tuple[PaperOutlet, ...]
    likely: tuple[Way, ...] = ()


@dataclass(frozen=True)
class Paper:
    """The power plan in the fewest words.

    Attributes:
        others: Set-ups with a column of their own; none where they are too many.
        ways: Ways that carry something on the day.
        wired: Ways that carry the same wired loads all day, in words: nothing there can be moved.
        unused: The other ways, in words.
        staying: The least light that stays, set-up by set-up.
        stay_on: What must stay on, with the circuits it shares with heads.
    """

    others: tuple[str, ...]
    ways: tuple[PaperWay, ...]
    unsure: tuple[PaperUnsure, ...]
    wired: str
    unused: str
    moves: tuple[Moves, ...]
    staying: tuple[str, ...]
    stay_on: tuple[str, ...]
    unproven: tuple[str, ...]


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
class Other:
    """A further plan beside the first."""

    name: str
    tightest: str
    price: str
    goals: tuple[tuple[str, int], ...]
    differs: tuple[str, ...]


@dataclass(frozen=True)
class Sheet:
    """Everything on the sheet.

    Attributes:
        length_word: Unit the map tells lengths in.
        answer: The first line.
        says: The kind of answer.
        supply: Phases, planning volts and the limit with its source.
        main: Id of the set-up that the paper shows in full.
        breaks: Limits the plan passes, in words; empty when it holds.
        paper: The same in the fewest words.
        live: What the phone needs to follow taps.
    """

    title: str
    region: str
    length_word: str
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
    stay_on_shared: tuple[str, ...]
    staying: tuple[str, ...]
    moves: tuple[Moves, ...]
    first_moves: tuple[FirstMove, ...]
    whys: tuple[Why, ...]
    others: tuple[Other, ...]
    others_note: str
    unproven: tuple[str, ...]
    chance: tuple[str, ...]
    cautions: tuple[str, ...]
    pulls: str
    needs_signature_of: tuple[str, ...]
    levels: tuple[Level, ...]
    tables: tuple[Table, ...]
    paper: Paper
    live: dict[str, Any] = field(default_factory=dict)
