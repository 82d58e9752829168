"""Voltage drop along cables and leads, and the smallest size on the van that works.

Must not import anything of the project but ``units`` and this package.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import sqrt

from spreadload.electrical.conductors import (
    REACTANCE_OHM_PER_KM,
    Conductor,
    Strand,
    conductor,
    loop_impedance_ohm,
    loop_ohm,
)
from spreadload.electrical.cords import CordFamily, cord_rating_a
from spreadload.electrical.rows import Figure

HOT_COPPER_OHM_MM2_PER_M = Figure(
    0.0225,
    source="IEC 60364-5-52:2009 annex G, 1.25 times the value at 20 °C; verified in public text",
)
COPPER_20C_OHM_MM2_PER_M = Figure(0.017241, source="IEC 60028; verified in public text")
NEC_K_OHM_CMIL_PER_FT = Figure(
    12.9, source="copper at 75 °C from NEC chapter 9 table 8, trade lesson; verified in public text"
)
_TABLE_ZERO_C = Figure(
    230.0, source="BS 7671 appendix 4, 6.1, rounded form for copper; verified in public text"
)
_TABLE_AMBIENT_C = Figure(
    30.0, source="BS 7671 appendix 4, ambient of the tables; verified in public text"
)


@dataclass(frozen=True, slots=True)
class LeadRun:
    """One lead in a chain.

    Attributes:
        size: Conductor size as written.
        length_m: Length [m].
        family: Whose ratings apply.
        wound: Part of it is still on a drum.
        layers: Layers on the drum, where counted.
    """

    size: str | float | Conductor
    length_m: float
    family: CordFamily = CordFamily.APPLIANCE
    wound: bool = False
    layers: int | None = None


@dataclass(frozen=True, slots=True)
class SizeTried:
    """How one size of lead would do.

    Attributes:
        size: The size as printed.
        rated_a: What the cord may carry [A]; 0 where its family gives no figure.
        drop_v: Drop along the lead [V].
        drop_pct: Drop of supply and lead together [% of the voltage].
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


def impedance_drop_v(amps_a: float, impedance_ohm: complex, pf: float = 1.0) -> float:
    """Return the fall in magnitude [V] along a loop impedance, by the usual approximation.

    Args:
        amps_a: Current towards the load [A].
        impedance_ohm: Go and return together [Ω].
        pf: Power factor of the load, lagging.

    Source:
        I·(R·cosφ + X·sinφ), as in IEC 60364-5-52:2009 annex G.
    """
    return amps_a * (impedance_ohm.real * pf + impedance_ohm.imag * _sine(pf))


def voltage_drop_v(
    amps_a: float,
    size: str | float | Conductor,
    length_m: float,
    *,
    pf: float = 1.0,
    temp_c: float | None = None,
    strand: Strand = Strand.FLEXIBLE,
) -> float:
    """Return the single-phase drop [V] along a lead or a run; see ``loop_ohm`` for the rest."""
    loop = loop_impedance_ohm(size, length_m, temp_c=temp_c, strand=strand)
    return impedance_drop_v(amps_a, loop, pf)


def drop_pct(drop_v: float, voltage_v: float) -> float:
    """Return a drop in per cent of a voltage."""
    return 100 * drop_v / voltage_v


def annex_g_drop_v(
    amps_a: float, area_mm2: float, length_m: float, *, pf: float = 1.0, three_phase: bool = False
) -> float:
    """Return the drop [V], line to neutral, by the formula of IEC 60364-5-52:2009 annex G.

    Args:
        amps_a: Line current [A].
        area_mm2: Copper cross-section [mm²].
        length_m: Route length [m].
        pf: Power factor, lagging.
        three_phase: Balanced three-phase, so that no current returns in the neutral.
    """
    ways = 1 if three_phase else 2
    resistance_ohm = HOT_COPPER_OHM_MM2_PER_M.value * length_m / area_mm2
    reactance_ohm = REACTANCE_OHM_PER_KM.value * length_m / 1000
    return ways * impedance_drop_v(amps_a, complex(resistance_ohm, reactance_ohm), pf)


def resistivity_drop_v(
    amps_a: float, area_mm2: float, length_m: float, ohm_mm2_per_m: float
) -> float:
    """Return the single-phase drop [V] of a conductor of a resistivity [Ω·mm²/m]."""
    return 2 * ohm_mm2_per_m * amps_a * length_m / area_mm2


def k_method_drop_v(amps_a: float, circular_mils: float, length_ft: float) -> float:
    """Return the single-phase drop [V] by the US trade's K method, copper at 75 °C."""
    return 2 * NEC_K_OHM_CMIL_PER_FT.value * amps_a * length_ft / circular_mils


def table_drop_v(mv_per_a_m: float, amps_a: float, length_m: float) -> float:
    """Return the drop [V] from a printed table value [mV/A/m], for the phases it is printed for."""
    return mv_per_a_m * amps_a * length_m / 1000


def largest_table_mv(drop_limit_v: float, amps_a: float, length_m: float) -> float:
    """Return the largest table value [mV/A/m] that keeps within a drop [V]."""
    return 1000 * drop_limit_v / (amps_a * length_m)


def table_drop_with_reactance_v(
    resistive_mv: float, reactive_mv: float, amps_a: float, length_m: float, pf: float
) -> float:
    """Return the drop [V] from separate resistive and reactive table values [mV/A/m]."""
    return table_drop_v(pf * resistive_mv + _sine(pf) * reactive_mv, amps_a, length_m)


def partial_load_factor(
    amps_a: float, rated_a: float, *, max_c: float, grouping: float = 1.0
) -> float:
    """Return what a table's resistive drop shrinks to because the conductor runs cooler.

    Args:
        amps_a: Current [A].
        rated_a: Tabulated rating of the cable [A].
        max_c: Highest conductor temperature of its insulation [°C].
        grouping: Product of the rating factors for grouping and ambient.

    Source:
        BS 7671 appendix 4, 6.1, factor Ct.
    """
    zero_c, ambient_c = _TABLE_ZERO_C.value, _TABLE_AMBIENT_C.value
    cooler_c = (grouping**2 - (amps_a / rated_a) ** 2) * (max_c - ambient_c)
    return (zero_c + max_c - cooler_c) / (zero_c + max_c)


def chain_impedance_ohm(runs: Iterable[LeadRun]) -> complex:
    """Return the loop impedance [Ω] of leads plugged one into another, at working temperature."""
    return sum((loop_impedance_ohm(run.size, run.length_m) for run in runs), start=0j)


def chain_rating_a(runs: Iterable[LeadRun]) -> float:
    """Return what a chain of leads may carry [A]: the weakest of them; infinite for none.

    Raises:
        LookupError: A lead is smaller than any cord of its family.
    """
    return min(
        (cord_rating_a(run.size, run.family, wound=run.wound, layers=run.layers) for run in runs),
        default=float("inf"),
    )


def smallest_size_that_works(
    amps_a: float,
    length_m: float,
    sizes: Sequence[str | float],
    *,
    voltage_v: float,
    max_drop_pct: float,
    family: CordFamily = CordFamily.APPLIANCE,
    upstream_drop_v: float = 0.0,
) -> SizeSearch:
    """Return the smallest of the sizes on hand that carries a load and keeps its volts.

    Args:
        amps_a: Current [A].
        length_m: Length of the lead [m].
        sizes: Sizes on hand, in any order.
        voltage_v: Voltage the limit is counted from [V].
        max_drop_pct: Largest drop allowed, with what is lost upstream [%].
        family: Whose cord ratings apply.
        upstream_drop_v: Volts already lost before the lead [V].

    Raises:
        InputError: One of the sizes is no conductor size.
    """
    ordered = sorted({conductor(size) for size in sizes}, key=lambda row: row.area_mm2)
    tried = tuple(
        _try_size(row, amps_a, length_m, (voltage_v, max_drop_pct, upstream_drop_v), family)
        for row in ordered
    )
    return SizeSearch(chosen=next((size for size in tried if size.works), None), tried=tried)


def _try_size(
    row: Conductor,
    amps_a: float,
    length_m: float,
    limit: tuple[float, float, float],
    family: CordFamily,
) -> SizeTried:
    voltage_v, max_drop_pct, upstream_drop_v = limit
    drop_v = amps_a * loop_ohm(row, length_m)
    total_pct = drop_pct(drop_v + upstream_drop_v, voltage_v)
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


def _sine(pf: float) -> float:
    return sqrt(max(0.0, 1 - pf * pf))
