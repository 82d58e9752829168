"""What a row of what loads draw looks like: watts, power factor, leakage, start, cool-down.

Holds data only. Imports nothing of the project but the records it is made of.
"""

from spreadload.practice.records import Figure, Kind, Positive, Sourced, Text


class Allowance(Sourced):
    """A factor with its best, likely and worst value; best is the one that leads to least amps."""

    best: Positive
    likely: Positive
    worst: Positive
    words: Text


class WattsRow(Allowance):
    """How watts at the plug follow from a name or a lamp rating."""

    id: Text


class PowerFactorRow(Allowance):
    """Power factor of loads that fit every stated condition; None fits all.

    Attributes:
        kinds: Kinds of load it is for.
        corrected: For loads stated to be corrected (or not to be), or None.
        magnetic: For magnetic ballasts only, for others only, or None.
        above_w: For loads above these watts.
        up_to_w: For loads up to these watts.
    """

    kinds: tuple[Kind, ...]
    corrected: bool | None = None
    magnetic: bool | None = None
    above_w: float | None = None
    up_to_w: float | None = None

    def fits(
        self, *, kind: str, watts: float | None, corrected: bool | None, magnetic: bool
    ) -> bool:
        """Return whether a load falls under this row."""
        return (
            kind in self.kinds
            and self.corrected in (None, corrected)
            and self.magnetic in (None, magnetic)
            and is_between(watts, self.above_w, self.up_to_w)
        )


class LeakageRow(Figure):
    """Standing leakage of one unit [mA] guessed from kind and watts."""

    kinds: tuple[Kind, ...]
    above_w: float | None = None
    up_to_w: float | None = None


class StartRow(Sourced):
    """Current at switch-on as a multiple of running current.

    Attributes:
        likely: Multiple to expect.
        worst: Multiple to hold against a breaker's instantaneous band.
    """

    kinds: tuple[Kind, ...]
    likely: Positive
    worst: Positive


class KindRow(Figure):
    """A figure per kind of load."""

    kinds: tuple[Kind, ...]


def is_between(watts: float | None, above_w: float | None, up_to_w: float | None) -> bool:
    """Return whether watts fall in a half-open range; unknown watts fit only an open one."""
    if watts is None:
        return above_w is None and up_to_w is None
    return (above_w is None or watts > above_w) and (up_to_w is None or watts <= up_to_w)
