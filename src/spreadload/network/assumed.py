"""What is assumed everywhere of fixed wiring and of loads nobody looked at, as sourced rows.

Data and look-ups only. Must not import anything of the project but ``electrical`` and ``job``.
"""

from dataclasses import dataclass

from spreadload.electrical.rows import Figure
from spreadload.job.kit import LoadKind

# Lines of a supply, or lines a load is on.
TWO, THREE = 2, 3

CIRCUIT_M = Figure(
    20.0,
    source="cable from a board to an outlet of an ordinary house; common practice, no source",
)
FEED_M = Figure(
    25.0, source="cable to a sub-board of the same property; common practice, no source"
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
    row = SERVICE_NEUTRAL_SHARE if lines == THREE else WIRING_NEUTRAL_SHARE
    return row.value


def window_row(kind: LoadKind) -> WindowRow:
    """Return how far the volts of a kind of load may fall."""
    return next(row for row in WINDOWS if kind in row.kinds)
