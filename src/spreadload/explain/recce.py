"""What to look at and write down on a recce, in the order of a walk through the house.

Every field is a key of the job file; what the file has no key for becomes a line of its note.
Nothing here knows of HTML or paper.
"""

from dataclasses import dataclass
from enum import StrEnum

from spreadload import practice
from spreadload.job.kit import LoadKind, Policy
from spreadload.job.site import Curve, Feeds, HowKnown, Permission, RoomUse, System
from spreadload.units import Lengths


@dataclass(frozen=True)
class Field:
    """One thing to write down.

    Attributes:
        key: Key in the job file; dots go into nested entries.
        kind: text, number, count, tick, time, choice, at, from, heads, on or note.
        choices: What a choice may be; for ``from`` the section whose ids it may name.
        usual: What most often goes in, or "".
    """

    key: str
    label: str
    kind: str = "text"
    choices: tuple[str, ...] = ()
    usual: str = ""


@dataclass(frozen=True)
class Section:
    """One part of the sheet.

    Attributes:
        key: Key in the job file, or "" for the top level.
        many: How its entries stand in the file: one, named, or listed.
        name: What one entry is called.
        first_id: What ids usually start with.
        blank: Empty lines on paper.
        hint: A line to go by.
    """

    key: str
    title: str
    many: str
    fields: tuple[Field, ...]
    name: str = ""
    first_id: str = ""
    blank: int = 1
    hint: str = ""


@dataclass(frozen=True)
class Recce:
    """The whole sheet for one region."""

    region: str
    region_name: str
    volts: float
    sections: tuple[Section, ...]
    flags: tuple[str, ...]
    on_paper_only: tuple[Section, ...]
    cautions: tuple[str, ...]


FLAGS = (
    "rewireable fuses",
    "two-pin outlets",
    "scorched or melted plates",
    "loose outlets or covers missing",
    "buzzing or warm board",
    "no RCD",
    "damp",
    "two-wire cable, no earth",
)


def recce(region: str) -> Recce:
    """Return what to write down on a recce in a region."""
    habit = practice.region(region)
    return Recce(
        region=region,
        region_name=habit.name,
        volts=habit.nominal_v,
        sections=(*_house(region), *_loads(), *_kit(region), _day()),
        flags=FLAGS,
        on_paper_only=_paper(),
        cautions=tuple(row.text for row in practice.cautions(region) if row.when == "always"),
    )


def _values(of: type[StrEnum]) -> tuple[str, ...]:
    return tuple(member.value for member in of)


def _house(region: str) -> tuple[Section, ...]:
    return (
        _place(),
        _supply(region),
        Section(
            "rcds", "RCDs", "named",
            (
                Field("trips_at_ma", "trips at mA", "number", usual=_usual_rcd(region)),
                Field("rating_a", "rating A", "number"),
            ),
            "RCD", "RCD", 3, "Each is a group that drops together.",
        ),
        _circuits(region),
        Section(
            "rooms", "Rooms", "named",
            (Field("use", "used as", "choice", _values(RoomUse)), Field("floor", "floor")),
            "room", "", 8,
        ),
        _outlets(region),
        Section(
            "places", "Where heads will stand", "named",
            (Field("room", "room", "from", ("rooms",)), _position(region, "at")),
            "place", "", 6,
            f"{_lengths(region).word.capitalize()} from one corner of the house, the same for all.",
        ),
    )  # fmt: skip


def _place() -> Section:
    return Section(
        "", "Place and people", "one",
        (
            Field("title", "place and scene"),
            Field("address", "address", "note"),
            Field("owner", "owner, phone", "note"),
            Field("key", "key to board, meter, cellar", "note"),
            Field("neighbours", "neighbours on the same supply", "note"),
            Field("trips", "what trips, what was added", "note"),
            Field("never", "what must never lose power", "note"),
            Field("leave", "leave given: which breakers, when", "note"),
            Field("verdict", "verdict and conditions", "note"),
        ),
    )  # fmt: skip


def _supply(region: str) -> Section:
    return Section(
        "supply", "Supply", "one",
        (
            Field("system", "system", "choice", _systems(region)),
            Field("limit_a", "service fuse or main breaker A", "number"),
            Field("limit_source", "who says so, or where it is marked"),
            *_contract(region),
            Field("main_switch.rating_a", "main switch A", "number"),
            Field("main_switch.is_limit", "it is a breaker, not only a switch", "tick"),
            _position(region, "board_at", "board at "),
            Field("meter", "meter, solar, battery, car charger", "note"),
            Field("earthing", "earthing, age and kind of board", "note"),
        ),
        hint="A main switch rated higher than the fuse behind it limits nothing.",
    )  # fmt: skip


def _circuits(region: str) -> Section:
    system = _systems(region)
    phases: tuple[str, ...] = ("L1", "L2", "L3") if System.THREE_PHASE.value in system else ()
    phases += ("A", "B", "AB") if System.SPLIT_PHASE.value in system else ()
    return Section(
        "circuits", "Board, way by way", "named",
        (
            Field("label", "words on the label"),
            Field("breaker_a", "breaker A", "number"),
            Field("fuse_a", "or fuse A", "number"),
            Field("rewireable", "rewireable fuse", "tick"),
            Field("curve", "curve", "choice", _values(Curve)),
            Field("phase", "phase", "choice", phases),
            Field("rcd", "RCD", "from", ("rcds",)),
            Field("feeds", "feeds", "choice", _values(Feeds)),
            Field("use", "we may use it", "choice", _values(Permission)),
            Field("way", "way no."),
            Field("note", "note"),
        ),
        "way", "P", 14, "Read only what shows with the door open; covers stay on.",
    )  # fmt: skip


def _outlets(region: str) -> Section:
    return Section(
        "outlets", "Outlets", "named",
        (
            Field("room", "room", "from", ("rooms",)),
            Field("where", "wall, behind what"),
            _position(region, "at"),
            Field("sockets", "sockets", "count", usual="2"),
            Field("plug", "kind", "choice", _plugs(region)),
            Field("switched", "goes off with a wall switch", "tick"),
            Field("circuit", "circuit", "from", ("circuits",)),
            Field("known", "how known", "choice", _values(HowKnown)),
            Field("use", "we may use it", "choice", _values(Permission)),
            Field("note", "condition, socket tester"),
        ),
        "outlet", "A", 18, "Leave the circuit empty where nobody knows it.",
    )  # fmt: skip


def _loads() -> tuple[Section, ...]:
    draw = (
        Field("kind", "kind", "choice", _values(LoadKind)),
        Field("plate_w", "watts on the plate", "number"),
        Field("plate_a", "or amps on the plate", "number"),
    )
    return (
        Section(
            "house", "What the house itself runs", "named",
            (
                Field("what", "what"),
                *draw,
                Field("room", "room", "from", ("rooms",)),
                Field("circuit", "or wired to", "from", ("circuits",)),
                Field("policy", "agreed", "choice", _values(Policy)),
                Field("starts_by_itself", "starts by itself", "tick"),
                Field("note", "who agreed"),
            ),
            "load", "", 8, "Fridge, freezer, router, hot water, pumps, timers.",
        ),
        Section(
            "departments", "What others plug in", "named",
            (
                Field("by", "department"),
                Field("what", "what"),
                *draw,
                Field("room", "room", "from", ("rooms",)),
                Field("intermittent", "for minutes only", "tick"),
            ),
            "load", "", 6,
        ),
        Section(
            "heads", "Heads on the van", "named",
            (
                Field("what", "what"),
                *draw,
                Field("power_factor", "power factor", "number"),
                Field("count", "how many", "count", usual="1"),
                Field("priority", "1 matters most, 9 least", "count"),
            ),
            "head", "", 8,
        ),
    )  # fmt: skip


def _contract(region: str) -> tuple[Field, ...]:
    """Return the fields of a contract, as the bills of the region are written."""
    rule = practice.region(region).contract
    fields = {
        "W": Field("contract_w", "contract W", "number"),
        "VA": Field("contract_va", "contract VA", "number"),
        "A": Field("limit_is_contract", "those A are the limiter of a contract", "tick"),
    }
    return tuple(fields[unit] for unit in rule.counts) if rule else ()


def _lengths(region: str) -> Lengths:
    return Lengths(practice.region(region).units_of_length)


def _position(region: str, key: str, label: str = "") -> Field:
    """Return the field of a position, under the key that takes the region's unit."""
    unit = _lengths(region)
    in_unit = f"{key}_ft" if unit.unit == "ft" else key
    return Field(in_unit, f"{label}x, y in {unit.word}", "at")


def _kit(region: str) -> tuple[Section, ...]:
    unit = _lengths(region)
    is_feet = unit.unit == "ft"
    length = Field(f"length_{unit.unit}", unit.word, "number")
    size = Field("size_awg", "gauge", "count") if is_feet else Field("size_mm2", "mm²", "number")
    count = Field("count", "how many", "count", usual="1")
    return (
        Section("leads", "Leads", "listed", (length, size, count), "lead", blank=5),
        Section(
            "power_boards", "Power boards", "listed",
            (Field("ways", "ways", "count", usual="4"), Field("rating_a", "A", "number"), count),
            "power board",
            blank=3,
        ),
    )  # fmt: skip


def _day() -> Section:
    return Section(
        "setups", "Set-ups, in order", "listed",
        (
            Field("id", "short name", usual="SU1"),
            Field("name", "what is shot"),
            Field("from", "from", "time"),
            Field("to", "to", "time"),
            Field("heads", "heads lit together", "heads"),
            Field("on", "others on", "on", ("departments", "house")),
        ),
        "set-up",
        blank=4,
    )  # fmt: skip


def _paper() -> tuple[Section, ...]:
    return (
        Section(
            "volts", "Volts", "listed",
            tuple(Field("", label) for label in ("time", "outlet", "idle V", "loaded V",
                                                 "load used", "weather, solar")),
            blank=4,
        ),
        Section(
            "openings", "Openings and routes", "listed",
            tuple(Field("", label) for label in ("window or door", "cable may pass?",
                                                 "must shut?", "distance", "wet? ground?")),
            blank=4,
        ),
    )  # fmt: skip


def _systems(region: str) -> tuple[str, ...]:
    return tuple(str(system) for system in practice.region(region).systems)


def _plugs(region: str) -> tuple[str, ...]:
    return tuple(plug.id for plug in practice.plug_family(region))


def _usual_rcd(region: str) -> str:
    return f"{practice.rcd_row(practice.region(region).rcd_kind).value:g}"
