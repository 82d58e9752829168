"""The gates that breaker and fuse standards put on the time a device takes to open, as rows.

A gate says: carrying so many times its rating, the device opens no sooner than one time and no
later than another. Standards fix a few gates; between them ``protection`` draws straight lines on
logarithmic paper. Must not import anything of the project but this package.
"""

from dataclasses import dataclass
from enum import StrEnum
from math import inf


class DeviceKind(StrEnum):
    """Families of overcurrent device."""

    MCB = "miniature breaker (IEC 60898-1)"
    INDUSTRIAL = "industrial breaker (IEC 60947-2)"
    UL_BREAKER = "moulded-case breaker (UL 489)"
    PLUG_FUSE = "plug fuse (BS 1362)"
    CARTRIDGE_FUSE = "cartridge fuse (IEC 60269 gG)"
    REWIREABLE_FUSE = "rewireable fuse (BS 3036)"


class Curve(StrEnum):
    """Instantaneous band of a breaker to IEC 60898-1."""

    B = "B"
    C = "C"
    D = "D"


@dataclass(frozen=True, slots=True)
class Gate:
    """Limits on the opening time at one multiple of the rating.

    Attributes:
        kind: Device family.
        ratio: Current over rating.
        earliest_s: The device opens no sooner [s]; None where the standard says nothing.
        latest_s: The device opens no later [s]; None where the standard says nothing.
        source: Document, table and status.
        over_a: The gate holds for ratings above this [A].
        up_to_a: The gate holds for ratings up to this [A].
        curve: The gate holds for this curve only; None for every curve.
    """

    kind: DeviceKind
    ratio: float
    earliest_s: float | None
    latest_s: float | None
    source: str
    over_a: float = 0
    up_to_a: float = inf
    curve: Curve | None = None


@dataclass(frozen=True, slots=True)
class InstantBand:
    """Multiples of the rating between which a breaker begins to open without delay.

    Attributes:
        kind: Device family.
        curve: Curve, or None where the family has none.
        low: Below this multiple it does not open at once.
        high: From this multiple it always opens at once.
        source: Document, table and status.
    """

    kind: DeviceKind
    curve: Curve | None
    low: float
    high: float
    source: str


_MCB = DeviceKind.MCB
_IND = DeviceKind.INDUSTRIAL
_UL = DeviceKind.UL_BREAKER
_PLUG = DeviceKind.PLUG_FUSE
_GG = DeviceKind.CARTRIDGE_FUSE
_WIRE = DeviceKind.REWIREABLE_FUSE

_T7 = "IEC 60898-1 table 7; verified in public text"
_T7_MEMORY = (
    "IEC 60898-1:2015 table 7, upper time at the foot of the instantaneous band; from memory"
)
_47_BAND_TIME = "IEC 60947-2 breakers sold with the same letters, times borrowed; from memory"
_47_TIME = "IEC 60947-2, one hour up to 63 A and two above; from memory"
_489_EARLY = "UL 489 calibration, latest time read in public text, earliest time added; from memory"
_489_MEMORY = "UL 489 calibration, longer times for larger ratings; from memory"
_489_CURVE = "ordinary published UL 489 curves, fast side; from memory"
_1362 = "BS 1362, 13 A fuse; verified in public text"
_1362_SMALL = "BS 1362, 3 A fuse; verified in public text"
_GG_TEXT = "IEC 60269-1 conventional currents of gG fuses; from memory"
_GG_GATES = "IEC 60269-1 gates of gG fuses, widest of 16 to 100 A; from memory"
_WIRE_TEXT = "BS 3036, fusing near twice the rating; from memory"

GATES: tuple[Gate, ...] = (
    Gate(_MCB, 1.13, 3600.0, None, source=_T7, up_to_a=63.0),
    Gate(_MCB, 1.13, 7200.0, None, source=_T7, over_a=63.0),
    Gate(_MCB, 1.45, None, 3600.0, source=_T7, up_to_a=63.0),
    Gate(_MCB, 1.45, None, 7200.0, source=_T7, over_a=63.0),
    Gate(_MCB, 2.55, 1.0, 60.0, source=_T7, up_to_a=32.0),
    Gate(_MCB, 2.55, 1.0, 120.0, source=_T7, over_a=32.0),
    Gate(_MCB, 3.0, 0.1, 45.0, source=_T7_MEMORY, up_to_a=32.0, curve=Curve.B),
    Gate(_MCB, 3.0, 0.1, 90.0, source=_T7_MEMORY, over_a=32.0, curve=Curve.B),
    Gate(_MCB, 5.0, None, 0.1, source=_T7, curve=Curve.B),
    Gate(_MCB, 5.0, 0.1, 15.0, source=_T7_MEMORY, up_to_a=32.0, curve=Curve.C),
    Gate(_MCB, 5.0, 0.1, 30.0, source=_T7_MEMORY, over_a=32.0, curve=Curve.C),
    Gate(_MCB, 10.0, None, 0.1, source=_T7, curve=Curve.C),
    Gate(_MCB, 10.0, 0.1, 8.0, source=_T7_MEMORY, curve=Curve.D),
    Gate(_MCB, 20.0, None, 0.1, source=_T7, curve=Curve.D),
    Gate(_IND, 1.05, 3600.0, None, source=_47_TIME, up_to_a=63.0),
    Gate(_IND, 1.05, 7200.0, None, source=_47_TIME, over_a=63.0),
    Gate(_IND, 1.30, None, 3600.0, source=_47_TIME, up_to_a=63.0),
    Gate(_IND, 1.30, None, 7200.0, source=_47_TIME, over_a=63.0),
    Gate(_IND, 2.55, 1.0, 120.0, source=_47_BAND_TIME),
    Gate(_IND, 3.0, 0.1, None, source=_47_BAND_TIME, curve=Curve.B),
    Gate(_IND, 5.0, None, 0.1, source=_47_BAND_TIME, curve=Curve.B),
    Gate(_IND, 5.0, 0.1, None, source=_47_BAND_TIME, curve=Curve.C),
    Gate(_IND, 10.0, None, 0.1, source=_47_BAND_TIME, curve=Curve.C),
    Gate(_IND, 10.0, 0.1, None, source=_47_BAND_TIME, curve=Curve.D),
    Gate(_IND, 20.0, None, 0.1, source=_47_BAND_TIME, curve=Curve.D),
    Gate(_UL, 1.0, 10800.0, None, source=_489_CURVE),
    Gate(_UL, 1.35, 60.0, 3600.0, source=_489_EARLY, up_to_a=50.0),
    Gate(_UL, 1.35, 60.0, 7200.0, source=_489_MEMORY, over_a=50.0),
    Gate(_UL, 2.0, 10.0, 120.0, source=_489_EARLY, up_to_a=30.0),
    Gate(_UL, 2.0, 10.0, 240.0, source=_489_MEMORY, over_a=30.0, up_to_a=50.0),
    Gate(_UL, 2.0, 10.0, 360.0, source=_489_MEMORY, over_a=50.0),
    Gate(_UL, 5.0, 0.1, None, source=_489_CURVE),
    Gate(_UL, 20.0, None, 0.1, source=_489_CURVE),
    Gate(_PLUG, 1.6, 1800.0, None, source=_1362),
    Gate(_PLUG, 1.9, None, 1800.0, source=_1362),
    Gate(_PLUG, 2.31, 1.0, 400.0, source=_1362, over_a=3.0),
    Gate(_PLUG, 3.85, 0.1, 20.0, source=_1362, over_a=3.0),
    Gate(_PLUG, 7.69, 0.01, 0.2, source=_1362, over_a=3.0),
    Gate(_PLUG, 3.0, 0.02, 80.0, source=_1362_SMALL, up_to_a=3.0),
    Gate(_PLUG, 6.67, None, 0.1, source=_1362_SMALL, up_to_a=3.0),
    Gate(_PLUG, 10.0, None, 0.03, source=_1362_SMALL, up_to_a=3.0),
    Gate(_GG, 1.25, 3600.0, None, source=_GG_TEXT, over_a=16.0, up_to_a=63.0),
    Gate(_GG, 1.6, None, 3600.0, source=_GG_TEXT, over_a=16.0, up_to_a=63.0),
    Gate(_GG, 1.25, 7200.0, None, source=_GG_TEXT, over_a=63.0),
    Gate(_GG, 1.6, None, 7200.0, source=_GG_TEXT, over_a=63.0),
    Gate(_GG, 1.5, 3600.0, None, source=_GG_TEXT, up_to_a=16.0),
    Gate(_GG, 1.9, None, 3600.0, source=_GG_TEXT, up_to_a=16.0),
    Gate(_GG, 2.06, 10.0, None, source=_GG_GATES),
    Gate(_GG, 5.8, None, 5.0, source=_GG_GATES),
    Gate(_GG, 5.3, 0.1, None, source=_GG_GATES),
    Gate(_GG, 14.5, None, 0.1, source=_GG_GATES),
    Gate(_WIRE, 1.45, 3600.0, None, source=_WIRE_TEXT),
    Gate(_WIRE, 2.0, 30.0, 7200.0, source=_WIRE_TEXT),
    Gate(_WIRE, 4.0, 0.5, 10.0, source=_WIRE_TEXT),
    Gate(_WIRE, 10.0, 0.05, 0.5, source=_WIRE_TEXT),
)

_T2 = "IEC 60898-1 table 2; verified in public text"
_47_BAND = "IEC 60947-2 breakers sold with the same letters; from memory"

INSTANT_BANDS: tuple[InstantBand, ...] = (
    InstantBand(_MCB, Curve.B, 3.0, 5.0, source=_T2),
    InstantBand(_MCB, Curve.C, 5.0, 10.0, source=_T2),
    InstantBand(_MCB, Curve.D, 10.0, 20.0, source=_T2),
    InstantBand(_IND, Curve.B, 3.0, 5.0, source=_47_BAND),
    InstantBand(_IND, Curve.C, 5.0, 10.0, source=_47_BAND),
    InstantBand(_IND, Curve.D, 10.0, 20.0, source=_47_BAND),
    InstantBand(_UL, None, 5.0, 20.0, source=_489_CURVE),
)
