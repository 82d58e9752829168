"""What a supply contract counts of everything together: watts, or the amps of both legs added up.

The sum is kept in whole watts or milliamps; nobody but this module needs to know which.
"""

from dataclasses import dataclass
from enum import StrEnum

from spreadload.units import MILLI, shown_amps, shown_capacity_amps


class Counted(StrEnum):
    """What the meter or limiter adds up."""

    WATTS = "W"
    AMPS = "A"


@dataclass(frozen=True)
class Contract:
    """A limit on everything together, on whichever line it is.

    Attributes:
        cap: What it allows [W], or of both legs together [mA].
        counted: Which of the two.
        source: Where it comes from.
    """

    cap: int
    counted: Counted
    source: str

    @property
    def key(self) -> str:
        """The key of `supply` that states it."""
        return "contract_w" if self.counted is Counted.WATTS else "limit_a"

    @property
    def cap_shown(self) -> str:
        """What it allows, for a reader: ``3300 W``, or ``30.0 A, both legs together``."""
        if self.counted is Counted.WATTS:
            return f"{self.cap} W"
        return f"{shown_capacity_amps(self.cap / MILLI)} A, both legs together"

    def shown(self, amount: int) -> str:
        """Return what is taken of it, for a reader."""
        return f"{amount} W" if self.counted is Counted.WATTS else f"{shown_amps(amount / MILLI)} A"

    def left_shown(self, amount: int) -> str:
        """Return what is left of it beside an amount, for a reader."""
        left = max(self.cap - amount, 0)
        if self.counted is Counted.WATTS:
            return f"{left} W"
        return f"{shown_capacity_amps(left / MILLI)} A"

    def amps(self, amount: int, planning_v: float) -> float:
        """Return an amount in amps at planning volts, all lines together [A]."""
        return amount / planning_v if self.counted is Counted.WATTS else amount / MILLI
