"""Copper conductors: sizes as people write them, and what they resist at a working temperature.

Must not import anything of the project but ``units`` and ``errors``.
"""

import re
from dataclasses import dataclass, replace
from difflib import get_close_matches
from enum import StrEnum

from spreadload.electrical.rows import Figure
from spreadload.errors import Fault, InputError
from spreadload.units import FOOT_M

_IEC = "IEC 60228, tables 1 to 3, maximum at 20 °C, plain copper; verified in public text"
_IEC_MEMORY = "IEC 60228, tables 1 to 3, maximum at 20 °C, plain copper; from memory"
_NEC = "NEC chapter 9 table 8, uncoated copper, direct current at 75 °C; verified in public text"
_NEC_MEMORY = "NEC chapter 9 table 8, uncoated copper, direct current at 75 °C; from memory"


class Strand(StrEnum):
    """How the copper of a conductor is laid up."""

    FLEXIBLE = "flexible"
    FIXED = "fixed"


@dataclass(frozen=True, slots=True)
class Conductor:
    """One size of copper conductor.

    Attributes:
        name: The size as printed: ``1.5 mm²`` or ``12 AWG``.
        area_mm2: Cross-section [mm²].
        flexible_ohm_per_km: Maximum resistance of the flexible form [Ω/km].
        fixed_ohm_per_km: Maximum resistance of the fixed-wiring form [Ω/km].
        at_c: Temperature of both resistances [°C].
        source: Document, table and status.
    """

    name: str
    area_mm2: float
    flexible_ohm_per_km: float
    fixed_ohm_per_km: float
    at_c: float
    source: str


def _metric(area_mm2: float, flexible: float, fixed: float, *, source: str) -> Conductor:
    return Conductor(
        f"{area_mm2:g} mm²", area_mm2, flexible, fixed, REFERENCE_C.value, source=source
    )


def _awg(gauge: int, area_mm2: float, stranded: float, solid: float, *, source: str) -> Conductor:
    """Return a row from Ω per 1000 ft, the unit the table is printed in."""
    return Conductor(
        f"{gauge} AWG", area_mm2, stranded / FOOT_M, solid / FOOT_M, NEC_C.value, source=source
    )


REFERENCE_C = Figure(20.0, source="IEC 60228, reference temperature; verified in public text")
NEC_C = Figure(75.0, source="NEC chapter 9 table 8, heading; verified in public text")
CORD_WORKING_C = Figure(
    60.0, source="BS 7671 table 4F3B, conductor of a 60 °C flexible cord; verified in public text"
)
WIRING_WORKING_C = Figure(
    70.0, source="IEC 60364-5-52, 70 °C thermoplastic insulation; verified in public text"
)
ZERO_RESISTANCE_C = Figure(
    234.5, source="IEC 60228 annex, exact form for copper, 234.5 °C below zero; from memory"
)
REACTANCE_OHM_PER_KM = Figure(
    0.08, source="IEC 60364-5-52:2009 annex G, per conductor; verified in public text"
)

METRIC: tuple[Conductor, ...] = (
    _metric(0.5, 39.0, 36.0, source=_IEC),
    _metric(0.75, 26.0, 24.5, source=_IEC),
    _metric(1.0, 19.5, 18.1, source=_IEC),
    _metric(1.25, 15.6, 15.6, source="UK flexible cord, not an IEC size; from memory"),
    _metric(1.5, 13.3, 12.1, source=_IEC),
    _metric(2.5, 7.98, 7.41, source=_IEC),
    _metric(4.0, 4.95, 4.61, source=_IEC),
    _metric(6.0, 3.30, 3.08, source=_IEC),
    _metric(10.0, 1.91, 1.83, source=_IEC),
    _metric(16.0, 1.21, 1.15, source=_IEC),
    _metric(25.0, 0.780, 0.727, source=_IEC),
    _metric(35.0, 0.554, 0.524, source=_IEC),
    _metric(50.0, 0.386, 0.387, source=_IEC),
    _metric(70.0, 0.272, 0.268, source=_IEC_MEMORY),
    _metric(95.0, 0.206, 0.193, source=_IEC_MEMORY),
    _metric(120.0, 0.161, 0.153, source=_IEC_MEMORY),
    _metric(150.0, 0.129, 0.124, source=_IEC_MEMORY),
    _metric(185.0, 0.106, 0.0991, source=_IEC_MEMORY),
    _metric(240.0, 0.0801, 0.0754, source=_IEC_MEMORY),
    _metric(300.0, 0.0641, 0.0601, source=_IEC_MEMORY),
    _metric(400.0, 0.0486, 0.0470, source=_IEC_MEMORY),
)

AWG: tuple[Conductor, ...] = (
    _awg(20, 0.52, 12.6, 12.3, source="resistivity of copper over the area at 75 °C; derived"),
    _awg(18, 0.82, 7.95, 7.77, source=_NEC),
    _awg(16, 1.31, 4.99, 4.89, source=_NEC),
    _awg(14, 2.08, 3.14, 3.07, source=_NEC),
    _awg(12, 3.31, 1.98, 1.93, source=_NEC),
    _awg(10, 5.26, 1.24, 1.21, source=_NEC),
    _awg(8, 8.37, 0.778, 0.764, source=_NEC),
    _awg(6, 13.30, 0.491, 0.491, source=_NEC),
    _awg(4, 21.15, 0.308, 0.308, source=_NEC),
    _awg(3, 26.7, 0.245, 0.245, source=_NEC),
    _awg(2, 33.62, 0.194, 0.194, source=_NEC),
    _awg(1, 42.41, 0.154, 0.154, source=_NEC_MEMORY),
    _awg(0, 53.49, 0.122, 0.122, source=_NEC_MEMORY),
)

_BY_NAME = {row.name: row for row in METRIC + AWG}
_BY_GAUGE = dict(sorted((int(row.name.split()[0]), row) for row in AWG))
_THINNEST_GAUGE = Figure(20, source="thinnest gauge anyone makes a lead of; our own choice")
_NUMBER = r"(\d+(?:[.,]\d+)?)"
_METRIC_TEXT = re.compile(
    rf"^(?:\d+\s*[gx\u00d7]\s*)?{_NUMBER}\s*(?:mm2|mm²|mm\^2|sq\.?\s*mm|mm)?$"
)
_AWG_TEXT = re.compile(
    r"^(?:#\s*(\d+)(?:\s*(?:awg|ga))?|awg\s*#?\s*(\d+)|(\d+)\s*-?\s*(?:awg|gauge|ga)|(\d+)\s*/\s*[2345])$"
)


def conductor(size: str | float | Conductor) -> Conductor:
    """Return the row of a size as a person writes it.

    Args:
        size: ``1.5``, ``"1.5"``, ``"2,5 mm²"``, ``"3G1.5"``, ``"12 AWG"``, ``"#12"`` or ``"12/3"``;
            a bare number is mm². A metric size between two listed ones is scaled by area from the
            smaller of them, and an odd gauge counts as the next thinner one listed; both can only
            overstate the resistance.

    Raises:
        InputError: The text is no size of copper conductor.
    """
    if isinstance(size, Conductor):
        return size
    text = f"{size:g}" if isinstance(size, int | float) else size.strip().casefold()
    if gauge := _AWG_TEXT.match(text):
        number = int(next(filter(None, gauge.groups())))
        if number <= _THINNEST_GAUGE.value:
            return _gauge_conductor(number)
    elif metric := _METRIC_TEXT.match(text):
        return _metric_conductor(float(metric[1].replace(",", ".")), text)
    raise InputError([_unknown(text)])


def _gauge_conductor(number: int) -> Conductor:
    listed = next(row for gauge, row in _BY_GAUGE.items() if gauge >= number)
    if listed.name == f"{number} AWG":
        return listed
    return replace(
        listed, name=f"{number} AWG", source=f"taken as {listed.name}, the next thinner; derived"
    )


def _metric_conductor(area_mm2: float, text: str) -> Conductor:
    smaller = [row for row in METRIC if row.area_mm2 <= area_mm2]
    if not smaller or area_mm2 > METRIC[-1].area_mm2:
        raise InputError([_unknown(text)])
    row = smaller[-1]
    if row.area_mm2 == area_mm2:
        return row
    share = row.area_mm2 / area_mm2
    return Conductor(
        f"{area_mm2:g} mm²",
        area_mm2,
        row.flexible_ohm_per_km * share,
        row.fixed_ohm_per_km * share,
        row.at_c,
        source=f"scaled by area from {row.name}, IEC 60228; derived",
    )


def _unknown(text: str) -> Fault:
    close = get_close_matches(text, _BY_NAME, n=1, cutoff=0)
    return Fault(
        file="",
        line=0,
        key="size",
        problem="not a conductor size",
        value=text,
        limit=f"{METRIC[0].name} to {METRIC[-1].name}, or {AWG[0].name} to {AWG[-1].name}",
        remedy=f"did you mean {close[0]}?" if close else "",
    )


def at_temperature(resistance_ohm: float, from_c: float, to_c: float) -> float:
    """Return a copper resistance [Ω] taken from one temperature [°C] to another.

    Source:
        R2 = R1·(234.5 + T2)/(234.5 + T1), the exact form of IEC 60228's annex.
    """
    zero_c = ZERO_RESISTANCE_C.value
    return resistance_ohm * (zero_c + to_c) / (zero_c + from_c)


def ohm_per_km(
    size: str | float | Conductor, *, temp_c: float, strand: Strand = Strand.FLEXIBLE
) -> float:
    """Return the resistance [Ω/km] of one conductor at a temperature [°C]."""
    row = conductor(size)
    listed = row.flexible_ohm_per_km if strand is Strand.FLEXIBLE else row.fixed_ohm_per_km
    return at_temperature(listed, row.at_c, temp_c)


def working_temperature_c(strand: Strand) -> float:
    """Return the conductor temperature [°C] assumed under load: 60 for cords, 70 for wiring."""
    return (CORD_WORKING_C if strand is Strand.FLEXIBLE else WIRING_WORKING_C).value


def loop_ohm(
    size: str | float | Conductor,
    length_m: float,
    *,
    temp_c: float | None = None,
    strand: Strand = Strand.FLEXIBLE,
) -> float:
    """Return the resistance [Ω] of go and return together.

    Args:
        size: See ``conductor``.
        length_m: Length of the lead or of the run, one way [m].
        temp_c: Conductor temperature [°C]; the working temperature of the kind if absent.
        strand: Flexible cord (IEC class 5, AWG stranded) or fixed wiring (class 1/2, AWG solid).
    """
    degrees = working_temperature_c(strand) if temp_c is None else temp_c
    return 2 * length_m * ohm_per_km(size, temp_c=degrees, strand=strand) / 1000


def loop_impedance_ohm(
    size: str | float | Conductor,
    length_m: float,
    *,
    temp_c: float | None = None,
    strand: Strand = Strand.FLEXIBLE,
) -> complex:
    """Return resistance and reactance [Ω] of go and return together; see ``loop_ohm``."""
    reactance = 2 * length_m * REACTANCE_OHM_PER_KM.value / 1000
    return complex(loop_ohm(size, length_m, temp_c=temp_c, strand=strand), reactance)
