"""What is assumed of fixed wiring and of loads where nobody looked, as sourced rows.

Data and look-ups only. Must not import anything of the project but ``electrical`` and ``job``.
"""

from dataclasses import dataclass

from spreadload.electrical.rows import Figure
from spreadload.job.kit import LoadKind

PHASES = 3
# Lines a load is on.
TWO, THREE = 2, 3


@dataclass(frozen=True, slots=True)
class WireRow:
    """Cable to expect behind a breaker.

    Attributes:
        up_to_a: Holds for ratings up to this [A].
        size: Conductor size as printed.
        source: Document or habit, and status.
    """

    up_to_a: float
    size: str
    source: str


_AU = "usual sizes behind AS/NZS 3000 ratings in houses; from memory"
_UK = "usual sizes of BS 7671 radial circuits in houses; from memory"
_EU = "smallest usual sizes of continental house wiring; from memory"
_US = "NEC 240.4(D) and table 310.16, smallest copper at 60 °C; from memory"
_JP = "solid 1.6, 2.0 and 2.6 mm wire, as areas, rounded down; from memory"

_AU_ROWS = (
    WireRow(10.0, "1.5 mm²", source=_AU),
    WireRow(20.0, "2.5 mm²", source=_AU),
    WireRow(25.0, "4 mm²", source=_AU),
    WireRow(32.0, "6 mm²", source=_AU),
    WireRow(40.0, "10 mm²", source=_AU),
    WireRow(63.0, "16 mm²", source=_AU),
    WireRow(80.0, "25 mm²", source=_AU),
)
_UK_ROWS = (
    WireRow(10.0, "1.5 mm²", source=_UK),
    WireRow(20.0, "2.5 mm²", source=_UK),
    WireRow(32.0, "4 mm²", source=_UK),
    WireRow(40.0, "6 mm²", source=_UK),
    WireRow(50.0, "10 mm²", source=_UK),
    WireRow(63.0, "16 mm²", source=_UK),
    WireRow(100.0, "25 mm²", source=_UK),
)
_EU_ROWS = (
    WireRow(16.0, "1.5 mm²", source=_EU),
    WireRow(20.0, "2.5 mm²", source=_EU),
    WireRow(25.0, "4 mm²", source=_EU),
    WireRow(32.0, "6 mm²", source=_EU),
    WireRow(50.0, "10 mm²", source=_EU),
    WireRow(63.0, "16 mm²", source=_EU),
)
_US_ROWS = (
    WireRow(15.0, "14 AWG", source=_US),
    WireRow(20.0, "12 AWG", source=_US),
    WireRow(30.0, "10 AWG", source=_US),
    WireRow(40.0, "8 AWG", source=_US),
    WireRow(60.0, "6 AWG", source=_US),
    WireRow(70.0, "4 AWG", source=_US),
    WireRow(100.0, "3 AWG", source=_US),
)
_JP_ROWS = (
    WireRow(15.0, "2 mm²", source=_JP),
    WireRow(20.0, "3 mm²", source=_JP),
    WireRow(30.0, "5 mm²", source=_JP),
    WireRow(50.0, "10 mm²", source=_JP),
)
WIRES: dict[str, tuple[WireRow, ...]] = {
    "AU": _AU_ROWS,
    "NZ": _AU_ROWS,
    "UK": _UK_ROWS,
    "EU": _EU_ROWS,
    "IT": _EU_ROWS,
    "US": _US_ROWS,
    "CA": _US_ROWS,
    "JP": _JP_ROWS,
}

CIRCUIT_M = Figure(
    20.0,
    source="cable from a board to an outlet of an ordinary house; common practice, no source",
)
FEED_M = Figure(
    25.0, source="cable to a sub-board of the same property; common practice, no source"
)
RING_SIZE = WireRow(
    32.0,
    "2.5 mm²",
    source="BS 7671 433.1.204, ring of 2.5 mm² behind 30 or 32 A; verified in public text",
)
RING_SHARE = Figure(
    0.5, source="two equal ways round to the far point of a ring, in parallel; derived"
)
SERVICE_NEUTRAL_SHARE = Figure(
    0.4,
    source="IEC 60725 reference impedance, 0.24 Ω phase and 0.16 Ω neutral; from memory",
)
WIRING_NEUTRAL_SHARE = Figure(
    0.5, source="neutral of the same size as the line in house wiring; derived"
)
READING_SERVICE_SHARE = Figure(
    0.5,
    source="least share of an impedance read at an outlet that is put down to the supply; "
    "our own choice",
)
LOCKED_ROTOR_PF = Figure(
    0.4, source="power factor of a small motor as it starts; common practice, no source"
)


@dataclass(frozen=True, slots=True)
class WindowRow:
    """How far the volts of a load may fall before it stops working.

    Attributes:
        kinds: Kinds of load it is for.
        least_share: Least working volts as a share of nominal; 0 where it only dims or cools.
        source: Document or habit, and status.
    """

    kinds: tuple[LoadKind, ...]
    least_share: float
    source: str


_PLATE = "plates commonly say ±10 %; common practice, no source"
WINDOWS: tuple[WindowRow, ...] = (
    WindowRow((LoadKind.DISCHARGE, LoadKind.FLUORESCENT), 0.9, source=_PLATE),
    WindowRow((LoadKind.LED, LoadKind.ELECTRONICS, LoadKind.OTHER), 0.9, source=_PLATE),
    WindowRow(
        (LoadKind.MOTOR,), 0.9, source="IEC 60034-1 zone B, ±10 % of rated volts; from memory"
    ),
    WindowRow((LoadKind.TUNGSTEN, LoadKind.HEATER), 0.0, source="resistive, no lower end; derived"),
)


def service_neutral_share(lines: int) -> float:
    """Return the part of the supply's loop impedance that lies in the neutral.

    Args:
        lines: Lines of the supply besides the neutral.
    """
    row = SERVICE_NEUTRAL_SHARE if lines == PHASES else WIRING_NEUTRAL_SHARE
    return row.value


def wire_row(region: str, rating_a: float, *, ring: bool = False) -> WireRow:
    """Return the cable to expect behind a breaker of a rating [A]; the largest row beyond them.

    Args:
        region: Region of the job.
        rating_a: Rating of the breaker [A].
        ring: Whether the circuit is a ring; then each leg is thinner than a single cable would be.
    """
    if ring and rating_a <= RING_SIZE.up_to_a:
        return RING_SIZE
    rows = WIRES.get(region, _EU_ROWS)
    return next((row for row in rows if rating_a <= row.up_to_a), rows[-1])


def window_row(kind: LoadKind) -> WindowRow:
    """Return how far the volts of a kind of load may fall."""
    return next(row for row in WINDOWS if kind in row.kinds)
