"""Reading the clock: what the time until a trip says about the load, and about what is not planned.

Never imports the solver.
"""

import re
from dataclasses import dataclass
from math import inf

from spreadload.electrical.protection import Device, ratio_band_for_delay
from spreadload.electrical.rows import Figure

_UNITS_S = {"s": 1.0, "sec": 1.0, "m": 60.0, "min": 60.0, "h": 3600.0, "hour": 3600.0}
_AT_ONCE = frozenset({"0", "once", "at once", "instantly", "immediately", "straight away", "now"})
_DELAY = re.compile(r"(\d+(?:[.,]\d+)?)\s*([a-z]*)")
INSTANT_S = Figure(1.0, source="sooner than this nobody can tell from at once; our own choice")


@dataclass(frozen=True)
class HabitBand:
    """What crews expect of an overload that lasted so long.

    Attributes:
        up_to_s: The row holds up to this delay [s].
        low: Least multiple of the rating.
        high: Largest multiple.
        words: What it usually is.
    """

    up_to_s: float
    low: float
    high: float
    words: str
    source: str


_C = "common practice, no source; a warm breaker is quicker"
HABITS = (
    HabitBand(1.0, 0.0, inf, "inrush, or a short in what was just switched on", _C),
    HabitBand(60.0, 2.5, inf, "a gross overload", _C),
    HabitBand(600.0, 1.4, 2.0, "a heavy overload: a kettle, heater or dryer", _C),
    HabitBand(3600.0, 1.2, 1.5, "a moderate overload", _C),
    HabitBand(inf, 1.0, 1.3, "a slight overload, or hot neighbours in the board", _C),
)


@dataclass(frozen=True)
class Delay:
    """How long a device held before it opened.

    Attributes:
        seconds: How long [s].
        low: Least multiple of the rating that explains it.
        high: Largest; infinite where nothing caps it.
        words: What it usually is.
        says_nothing: Whether it tells nothing of the steady load.
    """

    seconds: float
    low: float
    high: float
    words: str
    says_nothing: bool

    def unseen_a(self, rated_a: float, planned_a: float) -> tuple[float, float]:
        """Return the band of load that must be on the device and is not in the plan [A]."""
        return (
            max(self.low * rated_a - planned_a, 0.0),
            max(self.high * rated_a - planned_a, 0.0),
        )


def seconds_of(text: str) -> float | None:
    """Return a stated delay in seconds, or None when it cannot be read: ``5min``, ``at once``."""
    plain = text.strip().lower()
    if plain in _AT_ONCE:
        return 0.0
    parts = _DELAY.findall(plain)
    rest = _DELAY.sub("", plain).strip()
    if not parts or rest:
        return None
    total_s = 0.0
    for number, unit in parts:
        per_s = _unit_s(unit)
        if per_s is None:
            return None
        total_s += float(number.replace(",", ".")) * per_s
    return total_s


def _unit_s(unit: str) -> float | None:
    """Return the seconds of a unit; minutes where none is named."""
    if not unit:
        return _UNITS_S["min"]
    word = unit.removesuffix("s") if len(unit) > 1 else unit
    word = {"minute": "min", "second": "sec", "hr": "hour"}.get(word, word)
    return _UNITS_S.get(word)


def delay_of(device: Device | None, seconds: float) -> Delay:
    """Return what a delay says about the load of a device.

    The lower end is the lesser of what the standard's gates and what crews expect, because a warm
    breaker is quicker; the upper end the lesser, because no breaker is slower than its standard.

    Args:
        device: The breaker or fuse; None where no standard tells its times.
        seconds: How long it had held [s].
    """
    habit = next(row for row in HABITS if seconds <= row.up_to_s)
    is_instant = seconds <= INSTANT_S.value
    low, high = habit.low, habit.high
    if device is not None:
        gates_low, gates_high = ratio_band_for_delay(seconds, device)
        high = min(high, gates_high)
        low = min(low, gates_low, high)
    return Delay(seconds, low, high, habit.words, is_instant)
