"""Standing earth leakage against residual-current devices.

Must not import anything of the project but this package.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from spreadload.electrical.rows import Band, Figure

GUIDE_SHARE = Figure(
    0.3, source="BS 7671:2018 531.3.2 and IEC 60364-5-53 531.3.2; verified in public text"
)
MAY_TRIP_SHARE = Figure(
    0.5, source="IEC 61008-1 and 61009-1, does not operate at or below; verified in public text"
)
MUST_TRIP_SHARE = Figure(
    1.0, source="IEC 61008-1 and 61009-1, operates at or above; verified in public text"
)
SIMULTANEITY = Band(
    0.7, 0.8, source="switchgear catalogue, sum of unlike leakages; verified in public text"
)
GFCI_MA = Band(4.0, 6.0, source="UL 943 class A; verified in public text")
GFCI_TIME_MA = Figure(20.0, source="UL 943, T = (20/I)^1.43; verified in public text")
GFCI_TIME_POWER = Figure(1.43, source="UL 943, T = (20/I)^1.43; verified in public text")
GFCI_RANGE_MA = Band(
    6.0, 264.0, source="UL 943, range of the time formula; verified in public text"
)


class LeakageKind(StrEnum):
    """What leaks, for a default where nobody measured."""

    LED_SMALL = "LED or electronics up to 500 W"
    LED_LARGE = "LED or electronics above 500 W"
    DISCHARGE = "discharge head"
    TUNGSTEN = "tungsten"
    HEATER = "heater or kettle"
    MOTOR = "motor or appliance"
    COMPUTER = "computer or charger"


@dataclass(frozen=True, slots=True)
class LeakageGuess:
    """Standing leakage to plan with where a load's own is unknown.

    Attributes:
        kind: Kind of load.
        likely_ma: Planning figure [mA].
        high_ma: What its standard allows or what is met at worst [mA].
        source: Document and status.
    """

    kind: LeakageKind
    likely_ma: float
    high_ma: float
    source: str


_FILTER = "estimate for heads with mains filters inside IEC 60598-1 limits; from memory"

GUESSES: tuple[LeakageGuess, ...] = (
    LeakageGuess(LeakageKind.LED_SMALL, 0.75, 1.0, source=_FILTER),
    LeakageGuess(LeakageKind.LED_LARGE, 2.0, 3.5, source=_FILTER),
    LeakageGuess(LeakageKind.DISCHARGE, 2.0, 3.5, source=_FILTER),
    LeakageGuess(
        LeakageKind.TUNGSTEN,
        0.1,
        0.5,
        source="no filter, insulation only; common practice, no source",
    ),
    LeakageGuess(
        LeakageKind.HEATER, 0.75, 3.5, source="IEC 60335-1, more when damp or cold; from memory"
    ),
    LeakageGuess(
        LeakageKind.MOTOR,
        0.75,
        3.5,
        source="IEC 60335-1 class I appliances; verified in public text",
    ),
    LeakageGuess(
        LeakageKind.COMPUTER,
        1.5,
        3.5,
        source="instrument maker's article, 1 to 2 mA; verified in public text",
    ),
)


class LeakageOutcome(StrEnum):
    """How a sum of leakage stands, mildest first."""

    WITHIN_GUIDE = "within the guide"
    ABOVE_GUIDE = "above the guide"
    MAY_TRIP = "may trip"
    WILL_TRIP = "will trip"


@dataclass(frozen=True, slots=True)
class ResidualDevice:
    """The limits of a residual-current device.

    Attributes:
        guide_ma: Standing leakage to plan for at most [mA].
        may_trip_ma: Above this it may trip [mA].
        must_trip_ma: From this it must trip [mA].
    """

    guide_ma: float
    may_trip_ma: float
    must_trip_ma: float


@dataclass(frozen=True, slots=True)
class LeakageVerdict:
    """Standing leakage behind one device.

    Attributes:
        sum_ma: Arithmetic sum [mA].
        likely_low_ma: What a meter would read at the low end of simultaneity [mA].
        likely_high_ma: The same at the high end [mA].
        device: The limits it was held against.
        outcome: In one of a few steps, by the arithmetic sum; certain only by the likely low.
        words: The same in plain words.
    """

    sum_ma: float
    likely_low_ma: float
    likely_high_ma: float
    device: ResidualDevice
    outcome: LeakageOutcome
    words: str


def rcd(rated_ma: float) -> ResidualDevice:
    """Return the limits of an RCD of a rated residual current [mA]."""
    return ResidualDevice(
        guide_ma=GUIDE_SHARE.value * rated_ma,
        may_trip_ma=MAY_TRIP_SHARE.value * rated_ma,
        must_trip_ma=MUST_TRIP_SHARE.value * rated_ma,
    )


def gfci() -> ResidualDevice:
    """Return the limits of a US class A ground-fault interrupter.

    The guide is half of what it ignores, as it is near enough for RCDs.
    """
    return ResidualDevice(
        guide_ma=GFCI_MA.low / 2, may_trip_ma=GFCI_MA.low, must_trip_ma=GFCI_MA.high
    )


def gfci_latest_s(leakage_ma: float) -> float | None:
    """Return the time [s] by which a class A device has opened; None below its trip level.

    Source:
        UL 943: T = (20/I)^1.43 from 6 to 264 mA, where it ends; larger faults are no slower.
    """
    if leakage_ma < GFCI_RANGE_MA.low:
        return None
    counted_ma = min(leakage_ma, GFCI_RANGE_MA.high)
    return float((GFCI_TIME_MA.value / counted_ma) ** GFCI_TIME_POWER.value)


def leakage_guess(kind: LeakageKind) -> LeakageGuess:
    """Return the planning figure for a kind of load."""
    return next(row for row in GUESSES if row.kind is kind)


def leakage_verdict(leakages_ma: Iterable[float], device: ResidualDevice) -> LeakageVerdict:
    """Return how the standing leakages [mA] behind a device stand against its limits."""
    sum_ma = sum(leakages_ma)
    low_ma, high_ma = SIMULTANEITY.low * sum_ma, SIMULTANEITY.high * sum_ma
    outcome = _outcome(sum_ma, low_ma, device)
    return LeakageVerdict(
        sum_ma=sum_ma,
        likely_low_ma=low_ma,
        likely_high_ma=high_ma,
        device=device,
        outcome=outcome,
        words=_words(outcome, sum_ma, device),
    )


def _outcome(sum_ma: float, low_ma: float, device: ResidualDevice) -> LeakageOutcome:
    if low_ma >= device.must_trip_ma:
        return LeakageOutcome.WILL_TRIP
    if sum_ma > device.may_trip_ma:
        return LeakageOutcome.MAY_TRIP
    if sum_ma > device.guide_ma:
        return LeakageOutcome.ABOVE_GUIDE
    return LeakageOutcome.WITHIN_GUIDE


def _words(outcome: LeakageOutcome, sum_ma: float, device: ResidualDevice) -> str:
    limit_ma = {
        LeakageOutcome.WITHIN_GUIDE: device.guide_ma,
        LeakageOutcome.ABOVE_GUIDE: device.guide_ma,
        LeakageOutcome.MAY_TRIP: device.may_trip_ma,
        LeakageOutcome.WILL_TRIP: device.must_trip_ma,
    }[outcome]
    return f"{sum_ma:.1f} mA standing leakage, {outcome} ({limit_ma:.1f} mA)"
