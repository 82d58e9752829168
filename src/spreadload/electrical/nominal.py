"""Nominal voltages by region and how far they may stray.

Must not import anything of the project but this package.
"""

from dataclasses import dataclass
from enum import StrEnum


class VoltageRegion(StrEnum):
    """Where a voltage range holds."""

    AU = "AU"
    NZ = "NZ"
    UK = "UK"
    EU = "EU"
    US = "US"
    JP = "JP"


@dataclass(frozen=True, slots=True)
class VoltageRange:
    """Volts at the point of supply, line to neutral (line to one side of a split supply).

    Attributes:
        region: Where it holds.
        nominal_v: Nominal voltage [V].
        low_v: Lowest ordinary voltage [V].
        high_v: Highest ordinary voltage [V].
        source: Document and status.
    """

    region: VoltageRegion
    nominal_v: float
    low_v: float
    high_v: float
    source: str


@dataclass(frozen=True, slots=True)
class DropLimit:
    """Drop a region asks or advises inside a building, supply to outlet.

    Attributes:
        region: Where it holds.
        lighting_pct: For lighting [% of nominal].
        other_pct: For everything else [% of nominal].
        is_mandatory: Whether the code binds or advises.
        source: Document and status.
    """

    region: VoltageRegion
    lighting_pct: float
    other_pct: float
    is_mandatory: bool
    source: str


RANGES: tuple[VoltageRange, ...] = (
    VoltageRange(
        VoltageRegion.AU, 230.0, 216.2, 253.0, source="AS 60038:2000; verified in public text"
    ),
    VoltageRange(
        VoltageRegion.NZ,
        230.0,
        216.2,
        243.8,
        source="NZ Electricity (Safety) Regulations 2010; verified in public text",
    ),
    VoltageRange(
        VoltageRegion.UK, 230.0, 216.2, 253.0, source="ESQCR 2002 reg. 27; verified in public text"
    ),
    VoltageRange(
        VoltageRegion.EU, 230.0, 207.0, 253.0, source="EN 50160, ±10 %; verified in public text"
    ),
    VoltageRange(
        VoltageRegion.US,
        120.0,
        114.0,
        126.0,
        source="ANSI C84.1 range A, service; verified in public text",
    ),
    VoltageRange(
        VoltageRegion.JP,
        100.0,
        95.0,
        107.0,
        source="Electricity Business Act enforcement rule art. 38; verified in public text",
    ),
)

_AS_3000 = "AS/NZS 3000 clause 3.6.2; verified in public text"

DROP_LIMITS: tuple[DropLimit, ...] = (
    DropLimit(VoltageRegion.AU, 5.0, 5.0, is_mandatory=True, source=_AS_3000),
    DropLimit(VoltageRegion.NZ, 5.0, 5.0, is_mandatory=True, source=_AS_3000),
    DropLimit(
        VoltageRegion.UK,
        3.0,
        5.0,
        is_mandatory=False,
        source="BS 7671 appendix 4, 6.4; verified in public text",
    ),
    DropLimit(
        VoltageRegion.EU,
        3.0,
        5.0,
        is_mandatory=False,
        source="IEC 60364-5-52 table G.52.1; verified in public text",
    ),
    DropLimit(
        VoltageRegion.US,
        5.0,
        5.0,
        is_mandatory=False,
        source="NEC 210.19(A) and 215.2 notes, branch and feeder; verified in public text",
    ),
)


def voltage_range(region: VoltageRegion) -> VoltageRange:
    """Return the ordinary range of volts at the point of supply."""
    return next(row for row in RANGES if row.region is region)


def drop_limit(region: VoltageRegion) -> DropLimit | None:
    """Return the drop a region asks or advises, or None where no figure was found."""
    return next((row for row in DROP_LIMITS if row.region is region), None)


def shifted_v(nominal_v: float, *shifts_pct: float) -> float:
    """Return a voltage [V] after shifts in per cent of nominal, such as -5 and -5."""
    return nominal_v + sum(nominal_v * shift_pct / 100 for shift_pct in shifts_pct)
