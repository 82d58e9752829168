"""Formulas and tables of the trade's handbooks, written down on their own, to hold ours against.

Nothing here imports the project. Worked examples show that they are written down rightly
(``tests/reference/test_electrical_worked_examples.py``); what they are good for stands in
``tests/reference/test_against_the_handbook.py``.
"""

from math import sqrt

# IEC 60364-5-52:2009 annex G: hot copper [Ω·mm²/m], 1.25 times its value at 20 °C, and reactance
# [Ω/m]; verified in public text.
HOT_COPPER_OHM_MM2_PER_M = 0.0225
REACTANCE_OHM_PER_M = 0.00008
# IEC 60028, annealed copper at 20 °C [Ω·mm²/m]; verified in public text.
COPPER_20C_OHM_MM2_PER_M = 0.017241
# NEC chapter 9 table 8, copper at 75 °C, from a trade lesson [Ω·cmil/ft]; verified in public text.
NEC_K_OHM_CMIL_PER_FT = 12.9
# BS 7671 appendix 4, 6.1: rounded form for copper, and the ambient of the tables [°C]; verified in
# public text.
TABLE_ZERO_C = 230.0
TABLE_AMBIENT_C = 30.0
# Field Guide to Illumination, halogen: power as I^2.9, volts as I^1.9; verified in public text.
OPTICS_POWER_EXPONENT = 2.9
OPTICS_VOLTAGE_EXPONENT = 1.9
# BS 7671 tables 4F3A and, from 6 mm², 4F1A, single-phase [mm²: A]; verified in public text.
BS_7671_CORDS_A = {
    "0.5": 3, "0.75": 6, "1": 10, "1.25": 13, "1.5": 16, "2.5": 25, "4": 32, "6": 39, "10": 51,
    "16": 73, "25": 97,
}  # fmt: skip


def annex_g_drop_v(
    amps_a: float, area_mm2: float, length_m: float, *, pf: float = 1.0, three_phase: bool = False
) -> float:
    """Return the drop [V], line to neutral, by IEC 60364-5-52:2009 annex G."""
    ways = 1 if three_phase else 2
    resistance_ohm = HOT_COPPER_OHM_MM2_PER_M * length_m / area_mm2
    reactance_ohm = REACTANCE_OHM_PER_M * length_m
    return ways * amps_a * (resistance_ohm * pf + reactance_ohm * sine(pf))


def resistivity_drop_v(amps_a: float, area_mm2: float, length_m: float) -> float:
    """Return the single-phase drop [V] of copper at 20 °C."""
    return 2 * COPPER_20C_OHM_MM2_PER_M * amps_a * length_m / area_mm2


def k_method_drop_v(amps_a: float, circular_mils: float, length_ft: float) -> float:
    """Return the single-phase drop [V] by the US trade's K method, copper at 75 °C."""
    return 2 * NEC_K_OHM_CMIL_PER_FT * amps_a * length_ft / circular_mils


def table_drop_v(mv_per_a_m: float, amps_a: float, length_m: float) -> float:
    """Return the drop [V] from a printed table value [mV/A/m], for the phases it is printed for."""
    return mv_per_a_m * amps_a * length_m / 1000


def partial_load_factor(amps_a: float, rated_a: float, *, max_c: float, grouping: float) -> float:
    """Return what a table's resistive drop shrinks to in a cooler conductor: BS 7671, factor Ct."""
    cooler_c = (grouping**2 - (amps_a / rated_a) ** 2) * (max_c - TABLE_AMBIENT_C)
    return (TABLE_ZERO_C + max_c - cooler_c) / (TABLE_ZERO_C + max_c)


def halogen_power_ratio(current_ratio: float) -> float:
    """Return halogen power over rated power, from the current, by the optics field guide."""
    return float(current_ratio**OPTICS_POWER_EXPONENT)


def halogen_voltage_ratio(current_ratio: float) -> float:
    """Return halogen volts over rated volts, from the current, by the optics field guide."""
    return float(current_ratio**OPTICS_VOLTAGE_EXPONENT)


def sine(pf: float) -> float:
    """Return the sine that belongs to a power factor."""
    return sqrt(max(0.0, 1 - pf * pf))
