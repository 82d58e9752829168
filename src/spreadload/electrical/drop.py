"""Voltage drop along a lead, and the smallest size on the van that works.

Must not import anything of the project but ``units`` and this package.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from spreadload.electrical.conductors import Conductor, conductor, loop_ohm
from spreadload.electrical.cords import CordFamily, cord_rating_a


@dataclass(frozen=True, slots=True)
class SizeTried:
    """How one size of lead would do.

    Attributes:
        size: The size as printed.
        rated_a: What the cord may carry [A]; 0 where its family gives no figure.
        drop_v: Drop along the lead [V].
        drop_pct: The same [% of the voltage].
        carries: The cord may carry the current.
        reaches: The drop stays within the limit.
    """

    size: str
    rated_a: float
    drop_v: float
    drop_pct: float
    carries: bool
    reaches: bool

    @property
    def works(self) -> bool:
        """Whether the size both carries the current and keeps the volts."""
        return self.carries and self.reaches


@dataclass(frozen=True, slots=True)
class SizeSearch:
    """The smallest size that works, if any, and what became of every size tried.

    Attributes:
        chosen: Smallest that works, or None.
        tried: Every size, smallest first.
    """

    chosen: SizeTried | None
    tried: tuple[SizeTried, ...]


def drop_pct(drop_v: float, voltage_v: float) -> float:
    """Return a drop in per cent of a voltage."""
    return 100 * drop_v / voltage_v


def smallest_size_that_works(
    amps_a: float,
    length_m: float,
    sizes: Sequence[str | float],
    *,
    voltage_v: float,
    max_drop_pct: float,
    family: CordFamily = CordFamily.APPLIANCE,
) -> SizeSearch:
    """Return the smallest of the sizes on hand that carries a load and keeps its volts.

    Args:
        amps_a: Current [A].
        length_m: Length of the lead [m].
        sizes: Sizes on hand, in any order.
        voltage_v: Voltage the limit is counted from [V].
        max_drop_pct: Largest drop allowed along the lead [%].
        family: Whose cord ratings apply.

    Raises:
        InputError: One of the sizes is no conductor size.
    """
    ordered = sorted({conductor(size) for size in sizes}, key=lambda row: row.area_mm2)
    tried = tuple(
        _try_size(row, amps_a, length_m, (voltage_v, max_drop_pct), family) for row in ordered
    )
    return SizeSearch(chosen=next((size for size in tried if size.works), None), tried=tried)


def _try_size(
    row: Conductor,
    amps_a: float,
    length_m: float,
    limit: tuple[float, float],
    family: CordFamily,
) -> SizeTried:
    voltage_v, max_drop_pct = limit
    drop_v = amps_a * loop_ohm(row, length_m)
    total_pct = drop_pct(drop_v, voltage_v)
    try:
        rated_a = cord_rating_a(row, family)
    except LookupError:
        rated_a = 0.0
    return SizeTried(
        size=row.name,
        rated_a=rated_a,
        drop_v=drop_v,
        drop_pct=total_pct,
        carries=amps_a <= rated_a,
        reaches=total_pct <= max_drop_pct,
    )
