"""What loads draw as they start, held against the instantaneous band of a breaker.

Tungsten is nearly a short until it glows, drivers fill their capacitors, motors must turn, and
magnetic discharge heads draw more for minutes. Must not import anything of the project but this
package.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum

from spreadload.electrical.protection import Device, Verdict, earliest_s, instant_band, verdict
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
    100.0, source="lighting suppliers' notes, tens of amps for one driver; verified in public text"
)


@dataclass(frozen=True, slots=True)
class StartLoad:
    """A load about to be switched on.

    Attributes:
        name: Name for the reader.
        running_a: Current once running [A].
        kind: How it starts.
        path: Names of the devices it is fed through, for ``striking_order``.
        inrush_a: Peak at switch-on where its plate gives one [A].
    """

    name: str
    running_a: float
    kind: StartKind
    path: tuple[str, ...] = ()
    inrush_a: float | None = None


@dataclass(frozen=True, slots=True)
class Ahead:
    """Supply and cable in front of a load.

    Attributes:
        voltage_v: Volts with nothing on [V].
        loop_ohm: Loop impedance [Ω].
    """

    voltage_v: float
    loop_ohm: float


class StrikeOutcome(StrEnum):
    """What a moment of switching on does to a device."""

    SAFE = "safe"
    MAY_TRIP = "may trip"
    EXPECT_TRIP = "expect a trip"


@dataclass(frozen=True, slots=True)
class StrikeVerdict:
    """Loads struck in one moment behind one device.

    Attributes:
        outcome: In one of three steps.
        low_a: Lower figure for the moment, with what already runs [A].
        high_a: Upper figure for the moment [A].
        limit_a: Current the moment must stay below [A].
        run_up_a: Current through the run-up that follows [A].
        run_up: What the run-up does to the device if it stayed that high.
        run_up_s: How long the run-up lasts [s].
        words: The same in plain words.
    """

    outcome: StrikeOutcome
    low_a: float
    high_a: float
    limit_a: float
    run_up_a: float
    run_up: Verdict
    run_up_s: float
    words: str


@dataclass(frozen=True, slots=True)
class StrikeStep:
    """One load in an order of switching on.

    Attributes:
        load: The load to switch on.
        wait_s: How long to wait before the next [s].
        verdicts: What the step does to each device on its path.
    """

    load: StartLoad
    wait_s: float
    verdicts: Mapping[str, StrikeVerdict] = field(default_factory=dict)

    @property
    def is_safe(self) -> bool:
        """Whether no device on the path comes near its band."""
        return all(each.outcome is StrikeOutcome.SAFE for each in self.verdicts.values())


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


def _held_a(prospective_a: float, ahead: Ahead | None) -> float:
    if ahead is None:
        return prospective_a
    return limited_a(prospective_a, ahead.voltage_v, ahead.loop_ohm)


def safe_to_strike_together(
    loads: Iterable[StartLoad],
    device: Device,
    *,
    running_a: float = 0.0,
    ahead: Ahead | None = None,
) -> StrikeVerdict:
    """Return what it does to a device to switch several loads on in one moment.

    Args:
        loads: What is switched on together.
        device: Breaker or fuse in front of them.
        running_a: What already runs behind the device [A].
        ahead: Supply and cable in front of the loads, which hold an inrush down; None counts on
            no help from them.
    """
    struck = tuple(loads)
    bands = [inrush_band_a(load) for load in struck]
    low_a = running_a + _held_a(sum(low for low, _ in bands), ahead)
    high_a = running_a + _held_a(sum(high for _, high in bands), ahead)
    rows = [start_row(load.kind) for load in struck]
    pulse_s = max((row.pulse_s for row in rows), default=0.0)
    run_up_a = running_a + sum(
        row.run_up * load.running_a for row, load in zip(rows, struck, strict=True)
    )
    outcome, limit_a = _strike_outcome(low_a, high_a, pulse_s, device)
    return StrikeVerdict(
        outcome=outcome,
        low_a=low_a,
        high_a=high_a,
        limit_a=limit_a,
        run_up_a=run_up_a,
        run_up=verdict(run_up_a, device),
        run_up_s=max((row.run_up_s for row in rows), default=0.0),
        words=f"{outcome}: {low_a:.0f} to {high_a:.0f} A for a moment; "
        f"the device may open from {limit_a:.0f} A",
    )


def _strike_outcome(
    low_a: float, high_a: float, pulse_s: float, device: Device
) -> tuple[StrikeOutcome, float]:
    """Return the outcome and the current [A] below which the moment is safe."""
    band = instant_band(device)
    if band is None:
        return _fuse_outcome(low_a, high_a, pulse_s, device)
    from_a, sure_a = band.low * device.rated_a, band.high * device.rated_a
    if high_a < from_a:
        return StrikeOutcome.SAFE, from_a
    return (StrikeOutcome.EXPECT_TRIP if low_a >= sure_a else StrikeOutcome.MAY_TRIP), from_a


def _fuse_outcome(
    low_a: float, high_a: float, pulse_s: float, device: Device
) -> tuple[StrikeOutcome, float]:
    """A fuse has no band: it must carry the pulse for as long as it lasts."""
    if earliest_s(device, high_a / device.rated_a) > pulse_s:
        return StrikeOutcome.SAFE, high_a
    expected = verdict(low_a, device).latest_s <= pulse_s
    return (StrikeOutcome.EXPECT_TRIP if expected else StrikeOutcome.MAY_TRIP), high_a


def striking_order(
    loads: Sequence[StartLoad],
    devices: Mapping[str, Device],
    *,
    running_a: Mapping[str, float] | None = None,
    ahead: Ahead | None = None,
) -> tuple[StrikeStep, ...]:
    """Return the order of switching on, one load at a time, with the lowest momentary currents.

    Each load meets only what runs before it, so the largest excess of inrush over running current
    goes first: no other order has a lower highest moment behind any device. A step that is not safe
    even so is marked; it needs a dimmer brought up slowly or another circuit, not another order.

    Args:
        loads: What is to be switched on; each names the devices on its path.
        devices: The devices by name.
        running_a: What already runs behind each device [A].
        ahead: Supply in front of all of them; see ``safe_to_strike_together``.

    Raises:
        KeyError: A load's path names a device that is not given.
    """
    behind = dict.fromkeys(devices, 0.0) | dict(running_a or {})
    steps: list[StrikeStep] = []
    for load in sorted(loads, key=lambda each: (-_excess_a(each), each.name)):
        verdicts = {
            name: safe_to_strike_together(
                (load,), devices[name], running_a=behind[name], ahead=ahead
            )
            for name in load.path
        }
        steps.append(StrikeStep(load, start_row(load.kind).run_up_s, verdicts))
        for name in load.path:
            behind[name] += load.running_a
    return tuple(steps)


def _excess_a(load: StartLoad) -> float:
    return inrush_band_a(load)[1] - load.running_a
