"""How likely a breaker or fuse opens when it did, or still holds, at a multiple of its rating.

A standard gives the time before which and the time by which a device opens. In between every time
is taken to be as likely as any other on logarithmic paper, and the load to be known as well as
loads are. Must not import anything of the project but this package.
"""

from dataclasses import dataclass
from functools import cache
from math import exp, log

import numpy as np
from numpy.typing import NDArray

from spreadload.electrical.protection import Device, earliest_s, latest_s
from spreadload.electrical.rows import Figure

Floats = NDArray[np.float64]
_SOONEST_S = Figure(1.0, source="sooner nobody can tell from at once; our own choice")
_LONGEST_S = Figure(28_800.0, source="a shooting day; longer is holding; our own choice")
_SPREAD = Figure(0.08, source="how far planned amps are off, as a share; our own choice")
_STEP = Figure(0.05, source="spacing of multiples looked up; our own choice")
_FROM = Figure(0.2, source="far below anything that opens; our own choice")
_TO = Figure(12.0, source="above every instantaneous band of curves B and C; our own choice")


# Of what knows no clock every time is as likely as any other on that paper, per e-fold of time.
ANY_TIME = Figure(
    1 / log(_LONGEST_S.value / _SOONEST_S.value), source="from the two above; derived"
)


@dataclass(frozen=True)
class TripOdds:
    """Odds of one device at a time after the load came on, by multiple of the rating.

    Attributes:
        ratios: Multiples of the rating.
        opens: How likely it opens about then, per e-fold of time.
        holds: How likely it still holds.
    """

    ratios: Floats
    opens: Floats
    holds: Floats

    def opens_at(self, ratio: Floats) -> Floats:
        """Return how likely it opens about then at some multiples of its rating."""
        return np.interp(ratio, self.ratios, self.opens)

    def holds_at(self, ratio: Floats) -> Floats:
        """Return how likely it still holds at some multiples of its rating."""
        return np.interp(ratio, self.ratios, self.holds)


@cache
def trip_odds(device: Device, seconds: float) -> TripOdds:
    """Return the odds of a device so long after its load came on.

    Args:
        device: The breaker or fuse.
        seconds: Since the last thing on it was switched on [s].
    """
    after_s = max(seconds, _SOONEST_S.value)
    ratios = np.arange(_FROM.value, _TO.value, _STEP.value)
    exact = [_exact(device, float(ratio), after_s) for ratio in ratios]
    opens, holds = (np.array(column) for column in zip(*exact, strict=True))
    return TripOdds(ratios, _blurred(ratios, opens), _blurred(ratios, holds))


def _exact(device: Device, ratio: float, after_s: float) -> tuple[float, float]:
    """Return the odds of opening then and of holding till then at exactly this multiple."""
    early_s = max(earliest_s(device, ratio), _SOONEST_S.value)
    if early_s >= _LONGEST_S.value:
        return 0.0, 1.0
    late_s = max(min(latest_s(device, ratio), _LONGEST_S.value), early_s * (1 + _STEP.value))
    decades = log(late_s / early_s)
    holds = min(max(log(late_s / after_s) / decades, 0.0), 1.0)
    opens = 1 / max(decades, 1.0) if early_s <= after_s <= late_s else 0.0
    return opens, holds


def _blurred(ratios: Floats, values: Floats) -> Floats:
    """Return values as if each multiple were known to within the usual spread only."""
    steps = np.arange(-2, 3)
    weights = np.array([exp(-step * step / 2) for step in steps])
    moved = [np.interp(ratios * (1 + step * _SPREAD.value), ratios, values) for step in steps]
    blurred: Floats = np.average(moved, axis=0, weights=weights)
    return blurred
