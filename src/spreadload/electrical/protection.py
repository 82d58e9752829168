"""Breakers and fuses in time: how long a load can last, and what a trip says about the load.

A breaker is no cliff at its rating. ``verdict`` says honestly what to expect of a load, as a band
of seconds and in words; ``ratio_band_for_delay`` reads the same curves backwards after a trip.
Must not import anything of the project but this package.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import pairwise
from math import ceil, floor, inf, log, pow  # noqa: A004 - always a float

from spreadload.electrical.rows import Figure, Steps
from spreadload.electrical.trip_gates import (
    GATES,
    INSTANT_BANDS,
    Curve,
    DeviceKind,
    Gate,
    InstantBand,
)

RATINGS_A = Steps(
    (6.0, 8.0, 10.0, 13.0, 16.0, 20.0, 25.0, 32.0, 40.0, 50.0, 63.0, 80.0, 100.0, 125.0),
    source="IEC 60898-1 clause 5.3.2, preferred values of rated current; from memory",
)
_LETTERED = frozenset({DeviceKind.MCB, DeviceKind.INDUSTRIAL})
_BREAKERS = _LETTERED | {DeviceKind.UL_BREAKER}
_MINUTE = Figure(60.0, source="seconds in a minute; derived")
_HOUR = Figure(3600.0, source="seconds in an hour; derived")
_TENTH_HOUR = Figure(360.0, source="seconds in a tenth of an hour; derived")
_NEAR_ENOUGH = Figure(0.05, source="of a unit that is told; our own choice")
_NOISE = Figure(1e-9, source="absorbs the last bits of a division; our own choice")


class Outcome(StrEnum):
    """What to expect of a device under a steady load, mildest first."""

    HOLDS = "holds"
    MAY_HOLD_FOR_HOURS = "may hold for hours"
    MINUTES_TO_AN_HOUR = "expect minutes to an hour"
    WITHIN_A_MINUTE = "within a minute or so"
    MAY_OPEN_AT_ONCE = "may open at once"
    AT_ONCE = "at once"


@dataclass(frozen=True, slots=True)
class Device:
    """An overcurrent device.

    Attributes:
        kind: Family, which fixes the gates.
        rated_a: Rating [A], above 0.
        curve: Curve of a breaker to IEC; the most sensitive, B, is assumed where unknown.
    """

    kind: DeviceKind
    rated_a: float
    curve: Curve | None = None


@dataclass(frozen=True, slots=True)
class Verdict:
    """What a steady load does to a device.

    Attributes:
        outcome: In one of a few steps.
        ratio: Load over rating.
        earliest_s: It will not open sooner [s], by its standard and a cold start.
        latest_s: It will have opened by then [s]; infinite where it may never open.
        words: The same in plain words.
    """

    outcome: Outcome
    ratio: float
    earliest_s: float
    latest_s: float
    words: str


def _curve_of(device: Device) -> Curve | None:
    return (device.curve or Curve.B) if device.kind in _LETTERED else None


def gates(device: Device) -> tuple[Gate, ...]:
    """Return the gates that apply to a device, by rising multiple of the rating."""
    curve = _curve_of(device)
    chosen = [
        gate
        for gate in GATES
        if gate.kind is device.kind
        and gate.over_a < device.rated_a <= gate.up_to_a
        and gate.curve in {None, curve}
    ]
    return tuple(sorted(chosen, key=lambda gate: gate.ratio))


def instant_band(device: Device) -> InstantBand | None:
    """Return the multiples at which a breaker opens without delay; None for a fuse."""
    curve = _curve_of(device)
    return next(
        (row for row in INSTANT_BANDS if row.kind is device.kind and row.curve is curve), None
    )


def hold_ratio(device: Device) -> float:
    """Return the multiple of the rating the standard lets a device carry for its test time."""
    return _points(device, lambda gate: gate.earliest_s)[0][0]


def _points(
    device: Device, side: Callable[[Gate], float | None]
) -> tuple[tuple[float, float], ...]:
    """Return (multiple, seconds) along one side of the band, never rising with the current."""
    points: list[tuple[float, float]] = []
    for gate in gates(device):
        seconds = side(gate)
        if seconds is not None:
            points.append((gate.ratio, min([seconds, *(time for _, time in points)])))
    return tuple(points)


def earliest_s(device: Device, ratio: float) -> float:
    """Return the time [s] before which a device does not open at a multiple of its rating."""
    if ratio <= 1:
        return inf
    points = _points(device, lambda gate: gate.earliest_s)
    if ratio <= points[0][0]:
        return points[0][1]
    if ratio > points[-1][0]:
        return 0.0
    return _between(points, ratio)


def latest_s(device: Device, ratio: float) -> float:
    """Return the time [s] by which a device has opened at a multiple of its rating."""
    points = _points(device, lambda gate: gate.latest_s)
    if ratio < points[0][0]:
        return inf
    if ratio >= points[-1][0]:
        return points[-1][1]
    return _between(points, ratio)


def _between(points: Sequence[tuple[float, float]], ratio: float) -> float:
    """Return seconds on the straight line, on logarithmic paper, between two gates."""
    (low, slow_s), (high, fast_s) = next(pair for pair in pairwise(points) if ratio <= pair[1][0])
    return slow_s * pow(fast_s / slow_s, log(ratio / low) / log(high / low))


def verdict(load_a: float, device: Device) -> Verdict:
    """Return what a steady load [A] does to a device starting cold in 30 °C air.

    Args:
        load_a: Steady current [A].
        device: Breaker or fuse. Rate it down first for a warm or full board: ``grouping``.
    """
    ratio = load_a / device.rated_a
    outcome = _outcome(device, ratio)
    early, late = earliest_s(device, ratio), latest_s(device, ratio)
    return Verdict(
        outcome=outcome,
        ratio=ratio,
        earliest_s=early,
        latest_s=late,
        words=_words(outcome, ratio, early, late, is_fuse=device.kind not in _BREAKERS),
    )


def _outcome(device: Device, ratio: float) -> Outcome:
    if ratio <= 1 + _NOISE.value:
        return Outcome.HOLDS
    band = instant_band(device)
    if band is not None and ratio >= band.low:
        return Outcome.AT_ONCE if ratio >= band.high else Outcome.MAY_OPEN_AT_ONCE
    if ratio <= hold_ratio(device) + _NOISE.value:
        return Outcome.MAY_HOLD_FOR_HOURS
    if latest_s(device, ratio) > 2 * _MINUTE.value:
        return Outcome.MINUTES_TO_AN_HOUR
    return Outcome.AT_ONCE if latest_s(device, ratio) <= 1 else Outcome.WITHIN_A_MINUTE


def _words(outcome: Outcome, ratio: float, early_s: float, late_s: float, *, is_fuse: bool) -> str:
    load = f"{ceil(100 * ratio - _NOISE.value)} % of its rating"
    last = "" if late_s == inf else f", open within {_at_most(late_s)}"
    match outcome:
        case Outcome.HOLDS:
            return f"{load}: holds in ordinary warmth"
        case Outcome.MAY_HOLD_FOR_HOURS:
            caution = "running hot all the while" if is_fuse else "less on a warm board"
            return f"{load}: may hold for hours, {caution}"
        case Outcome.MINUTES_TO_AN_HOUR:
            return f"{load}: {_span(early_s, late_s)}{last}"
        case Outcome.WITHIN_A_MINUTE:
            return f"{load}: within a minute or so{last}"
        case Outcome.MAY_OPEN_AT_ONCE:
            return f"{load}: may open at once{last}"
        case Outcome.AT_ONCE:
            return f"{load}: opens at once"


def _span(early_s: float, late_s: float) -> str:
    """Return when to expect a device to open that is overloaded, but not by much."""
    first = f"hardly before {_at_least(early_s)} from cold"
    if late_s == inf and early_s >= _HOUR.value:
        return f"may hold for hours, or open: {first}"
    if late_s < _HOUR.value:
        return f"expect minutes, {first}"
    return f"expect minutes to {'an hour' if late_s in (inf, _HOUR.value) else 'hours'}, {first}"


def _at_least(seconds: float) -> str:
    """Return a time in words, not later than it is."""
    return _duration(seconds, floor)


def _at_most(seconds: float) -> str:
    """Return a time in words, not sooner than it is."""
    return _duration(seconds, ceil)


def _duration(exact_s: float, whole: Callable[[float], int]) -> str:
    seconds = round(exact_s, 1)
    near = _NEAR_ENOUGH.value if whole is floor else -_NEAR_ENOUGH.value
    if seconds < _MINUTE.value:
        return f"{max(1, whole(seconds + near))} s"
    if seconds < _HOUR.value:
        return f"{whole(seconds / _MINUTE.value + near)} min"
    tenths = whole(seconds / _TENTH_HOUR.value + near)
    return f"{tenths * _TENTH_HOUR.value / _HOUR.value:g} h"


def ratio_band_for_delay(
    delay_s: float, device: Device, *, warm: bool = False
) -> tuple[float, float]:
    """Return the multiples of the rating that fit a trip seen after so long.

    Args:
        delay_s: Seconds between the last thing switched on and the trip, at least 0.
        device: The device that opened; a breaker of unknown curve may be of any.
        warm: It had been carrying a load near its rating; then anything over 1 may open it soon.

    Returns:
        Lowest and highest multiple of the rating; infinite where nothing caps it. After the test
        time of the standard anything over 1 may have opened it.
    """
    unknown = device.kind in _LETTERED and device.curve is None
    devices = [replace(device, curve=curve) for curve in Curve] if unknown else [device]
    low = min(_lowest_ratio(delay_s, each, warm=warm) for each in devices)
    return low, max(_highest_ratio(delay_s, each) for each in devices)


def _lowest_ratio(delay_s: float, device: Device, *, warm: bool) -> float:
    """Return the smallest multiple at which the device can open this soon."""
    points = _points(device, lambda gate: gate.earliest_s)
    if delay_s >= points[0][1] or (warm and delay_s > points[-1][1]):
        return 1.0
    return _ratio_at(points, delay_s)


def _highest_ratio(delay_s: float, device: Device) -> float:
    """Return the largest multiple the device can carry this long."""
    points = _points(device, lambda gate: gate.latest_s)
    if delay_s >= points[0][1]:
        return points[0][0]
    if delay_s <= points[-1][1]:
        return inf
    return _ratio_at(points, delay_s)


def _ratio_at(points: Sequence[tuple[float, float]], seconds: float) -> float:
    """Return the multiple at which a falling line of gates passes a time."""
    below = [pair for pair in pairwise(points) if pair[0][1] > seconds >= pair[1][1]]
    if not below:
        return points[-1][0]
    (low, slow_s), (high, fast_s) = below[0]
    return low * pow(high / low, log(seconds / slow_s) / log(fast_s / slow_s))
