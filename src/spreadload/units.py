"""Conversions, and the only place that rounds quantities for the solver, the judge and the reader.

Demand is rounded up and capacity down, so that rounding can never make a plan look better than it
is. This module imports nothing of the project.
"""

from dataclasses import dataclass
from math import ceil, floor

FOOT_M = 0.3048
MILLI = 1000
FULL_PCT = 100
# Amps that come out of a division carry errors near 1e-15; a hundredth of a microamp absorbs them
# without hiding any real load.
_NOISE_DIGITS = 5


def demand_milliamps(current_a: float) -> int:
    """Return a demand [mA] rounded up to a whole milliamp."""
    return ceil(round(current_a * MILLI, _NOISE_DIGITS))


def capacity_milliamps(current_a: float) -> int:
    """Return a capacity [mA] rounded down to a whole milliamp."""
    return floor(round(current_a * MILLI, _NOISE_DIGITS))


def demand_microamps(leakage_ma: float) -> int:
    """Return a leakage [µA], given in mA, rounded up."""
    return ceil(round(leakage_ma * MILLI, _NOISE_DIGITS))


def capacity_microamps(leakage_ma: float) -> int:
    """Return a leakage limit [µA], given in mA, rounded down."""
    return floor(round(leakage_ma * MILLI, _NOISE_DIGITS))


def demand_watts(power_w: float) -> int:
    """Return a demand [W] rounded up to a whole watt."""
    return ceil(round(power_w, _NOISE_DIGITS))


def capacity_watts(power_w: float) -> int:
    """Return a capacity [W] rounded down to a whole watt."""
    return floor(round(power_w, _NOISE_DIGITS))


def percent_used(demand: int, capacity: int) -> int:
    """Return demand over capacity in whole per cent, rounded up; both in one integer unit.

    A capacity that rounds down to nothing counts as one, so that any demand on it is far over.
    """
    return -(-100 * demand // max(capacity, 1))


def whole_amps(current_ma: int) -> int:
    """Return milliamps in whole amps, rounded up."""
    return -(-current_ma // MILLI)


def whole_milliamps(leakage_ua: int) -> int:
    """Return microamps in whole milliamps, rounded up."""
    return -(-leakage_ua // MILLI)


def tenths_up(value: float) -> str:
    """Return what is asked, in any unit, for a reader: one decimal, rounded up."""
    return f"{ceil(round(value * 10, _NOISE_DIGITS)) / 10:.1f}"


def tenths_down(value: float) -> str:
    """Return what there is or is allowed, in any unit, for a reader: one decimal, rounded down."""
    return f"{floor(round(value * 10, _NOISE_DIGITS)) / 10:.1f}"


def shown_amps(current_a: float) -> str:
    """Return amps that are drawn for a reader: one decimal, rounded up."""
    return tenths_up(current_a)


def shown_capacity_amps(current_a: float) -> str:
    """Return amps that a device gives for a reader: one decimal, rounded down."""
    return tenths_down(current_a)


def whole_metres(length_m: float) -> int:
    """Return a length of lead [m] rounded up to whole metres."""
    return ceil(round(length_m, _NOISE_DIGITS))


@dataclass(frozen=True, slots=True)
class Lengths:
    """How lengths are told to a crew; in here and in every file for machines they are metres.

    Attributes:
        unit: ``m``, or ``ft`` where leads are sold and spoken of in feet.
    """

    unit: str

    @property
    def word(self) -> str:
        """The unit in words: ``metres``."""
        return "feet" if self.unit == "ft" else "metres"

    def whole(self, length_m: float) -> str:
        """Return a length that has to be there, in whole units rounded up: ``13 m``."""
        return f"{ceil(round(self._in_unit(length_m), _NOISE_DIGITS))} {self.unit}"

    def near(self, length_m: float) -> str:
        """Return a length that nobody measured, in whole units: ``13 m``."""
        return f"{self._in_unit(length_m):.0f} {self.unit}"

    def needed(self, length_m: float) -> str:
        """Return a length that has to be there, with one decimal rounded up: ``12.3 m``."""
        return f"{tenths_up(self._in_unit(length_m))} {self.unit}"

    def at_hand(self, length_m: float) -> str:
        """Return a length that there is, with one decimal rounded down: ``12.3 m``."""
        return f"{tenths_down(self._in_unit(length_m))} {self.unit}"

    def plain(self, length_m: float) -> str:
        """Return a length as it was stated: ``2.5 m``."""
        return f"{round(self._in_unit(length_m), _NOISE_DIGITS):g} {self.unit}"

    def _in_unit(self, length_m: float) -> float:
        return length_m / FOOT_M if self.unit == "ft" else length_m


METRIC = Lengths("m")


def metres(feet: float) -> float:
    """Return feet in metres."""
    return feet * FOOT_M
