"""Watts, amps and volts of one load, single-phase and three-phase.

Must not import anything of the project but this package.
"""

from math import sqrt


def current_a(power_w: float, voltage_v: float, pf: float = 1.0) -> float:
    """Return the current [A] of a load of so many watts at a power factor."""
    return power_w / (voltage_v * pf)


def power_w(voltage_v: float, amps_a: float, pf: float = 1.0) -> float:
    """Return the watts of a load from its volts, amps and power factor."""
    return voltage_v * amps_a * pf


def apparent_power_va(power_w: float, pf: float) -> float:
    """Return the volt-amps of a load of so many watts at a power factor."""
    return power_w / pf


def input_power_w(output_w: float, efficiency: float) -> float:
    """Return the watts taken in for the watts given out, efficiency from 0 to 1."""
    return output_w / efficiency


def resistance_ohm(voltage_v: float, amps_a: float) -> float:
    """Return the resistance [Ω] that draws so many amps at so many volts."""
    return voltage_v / amps_a


def resistive_current_a(voltage_v: float, resistance: float) -> float:
    """Return the current [A] through a resistance [Ω]."""
    return voltage_v / resistance


def line_to_neutral_v(line_to_line_v: float) -> float:
    """Return line-to-neutral volts of a three-phase supply from line-to-line volts."""
    return line_to_line_v / sqrt(3)


def three_phase_power_w(line_to_line_v: float, line_a: float, pf: float = 1.0) -> float:
    """Return the watts of a balanced three-phase load from its line current [A]."""
    return sqrt(3) * line_to_line_v * line_a * pf


def three_phase_current_a(power_w: float, line_to_line_v: float, pf: float = 1.0) -> float:
    """Return the line current [A] of a balanced three-phase load, star or delta."""
    return power_w / (sqrt(3) * line_to_line_v * pf)


def delta_branch_current_a(power_w: float, line_to_line_v: float, pf: float = 1.0) -> float:
    """Return the current [A] inside each branch of a balanced delta load."""
    return power_w / (3 * line_to_line_v * pf)
