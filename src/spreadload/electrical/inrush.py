"""What loads draw in the first moment and while they run up.

Tungsten is nearly a short until it glows, drivers fill their capacitors, motors must turn, and
magnetic discharge heads draw more for minutes. Must not import anything of the project but this
package.
"""

from dataclasses import dataclass
from enum import StrEnum

from spreadload.electrical.rows import Figure


class StartKind(StrEnum):
    """How a load starts."""

    TUNGSTEN = "tungsten"
    DRIVER = "driver or electronic ballast"
    MAGNETIC_DISCHARGE = "magnetic discharge"
    MOTOR = "motor"
    STEADY = "steady"


@dataclass(frozen=True, slots=True)
class StartRow:
    """Current at switch-on as multiples of the running current.

    Attributes:
        kind: How the load starts.
        low: Lower figure for the first moment.
        high: Upper figure for the first moment.
        pulse_s: How long that moment lasts [s].
        run_up: Upper multiple drawn afterwards while it runs up.
        run_up_s: How long the run-up lasts [s].
        source: Document and status.
    """

    kind: StartKind
    low: float
    high: float
    pulse_s: float
    run_up: float
    run_up_s: float
    source: str


STARTS: tuple[StartRow, ...] = (
    StartRow(
        StartKind.TUNGSTEN,
        10.0,
        16.0,
        0.1,
        1.0,
        2.0,
        source="installation guide and lamp site, 10 to 15 times, 16 by theatre practice, large "
        "lamps still above rated after 1 s; verified in public text",
    ),
    StartRow(
        StartKind.DRIVER,
        40.0,
        100.0,
        0.0003,
        1.0,
        1.0,
        source="lighting suppliers' notes, 40 to 100 times for microseconds to milliseconds; "
        "verified in public text",
    ),
    StartRow(
        StartKind.MAGNETIC_DISCHARGE,
        1.3,
        2.0,
        0.1,
        2.0,
        240.0,
        source="run-up of uncorrected magnetic ballasts, 1.3 to 2 times for 1 to 4 min; "
        "from memory",
    ),
    StartRow(
        StartKind.MOTOR,
        5.0,
        7.0,
        1.0,
        1.0,
        2.0,
        source="installation guide, 5 to 7 times; verified in public text",
    ),
    StartRow(StartKind.STEADY, 1.0, 1.0, 0.1, 1.0, 1.0, source="resistive, no inrush; derived"),
)
DRIVER_PULSE_FACTOR = Figure(
    4.0,
    source="breaker makers' curves: a 0.3 ms pulse must be about four times as high as a half "
    "cycle to open a breaker; from memory",
)
DRIVER_PEAK_A = Figure(
    100.0, source="upper end of lighting suppliers' “tens of amps” for one driver; from memory"
)


@dataclass(frozen=True, slots=True)
class Ahead:
    """Supply and cable in front of a load.

    Attributes:
        voltage_v: Volts with nothing on [V].
        loop_ohm: Loop impedance [Ω].
    """

    voltage_v: float
    loop_ohm: float


@dataclass(frozen=True, slots=True)
class StartLoad:
    """A load about to be switched on.

    Attributes:
        name: Name for the reader.
        running_a: Current once running [A].
        kind: How it starts.
        path: Names of the devices it is fed through, for ``striking_order``.
        inrush_a: Peak at switch-on where its plate gives one [A].
        ahead: Supply and cable in front of it, where known; they hold the peak down.
    """

    name: str
    running_a: float
    kind: StartKind
    path: tuple[str, ...] = ()
    inrush_a: float | None = None
    ahead: Ahead | None = None


def start_row(kind: StartKind) -> StartRow:
    """Return the figures for a way of starting."""
    return next(row for row in STARTS if row.kind is kind)


def inrush_band_a(load: StartLoad) -> tuple[float, float]:
    """Return lower and upper figure [A] for the moment of switch-on, as a breaker feels it.

    The pulse of a driver is short, so it counts by its share of a half cycle; one driver is taken
    to peak at no more than the cap of its row.
    """
    row = start_row(load.kind)
    if load.kind is not StartKind.DRIVER:
        peak_a = load.inrush_a
        if peak_a is not None:
            return peak_a, peak_a
        return row.low * load.running_a, row.high * load.running_a
    cap_a = DRIVER_PEAK_A.value
    low_a, high_a = (min(cap_a, times * load.running_a) for times in (row.low, row.high))
    if load.inrush_a is not None:
        low_a = high_a = load.inrush_a
    felt = DRIVER_PULSE_FACTOR.value
    return max(load.running_a, low_a / felt), max(load.running_a, high_a / felt)


def limited_a(prospective_a: float, voltage_v: float, loop_ohm: float) -> float:
    """Return an inrush [A] held down by the impedance of supply and cable in front of it."""
    return prospective_a / (1 + prospective_a * loop_ohm / voltage_v)


def held_a(prospective_a: float, ahead: Ahead | None) -> float:
    """Return an inrush [A] as the supply ahead lets it through; None lets all of it."""
    if ahead is None:
        return prospective_a
    return limited_a(prospective_a, ahead.voltage_v, ahead.loop_ohm)
