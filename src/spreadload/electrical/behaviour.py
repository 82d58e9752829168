"""How loads answer to a change of voltage, in amps, watts and light.

A falling voltage makes drivers and electronic ballasts draw more and lamps and heaters less. Must
not import anything of the project but this package.
"""

from dataclasses import dataclass
from enum import StrEnum

from spreadload.electrical.rows import Figure


class LoadClass(StrEnum):
    """What a load does when its voltage changes."""

    CONSTANT_POWER = "constant power"
    CONSTANT_RESISTANCE = "constant resistance"
    TUNGSTEN = "tungsten"
    MAGNETIC_BALLAST = "magnetic ballast"
    MOTOR = "motor"


@dataclass(frozen=True, slots=True)
class Behaviour:
    """Current and power as powers of the voltage.

    Attributes:
        load_class: Class of load.
        current_exponent: I in proportion to V to this power; P to one more.
        source: Document and status.
    """

    load_class: LoadClass
    current_exponent: float
    source: str


BEHAVIOURS: tuple[Behaviour, ...] = (
    Behaviour(
        LoadClass.CONSTANT_POWER, -1.0, source="definition: regulated driver or ballast; derived"
    ),
    Behaviour(LoadClass.CONSTANT_RESISTANCE, 1.0, source="Ohm's law; derived"),
    Behaviour(
        LoadClass.TUNGSTEN,
        0.55,
        source="encyclopedia, lamp rerating: I as V^0.55 (and so P as V^1.55); "
        "verified in public text",
    ),
    Behaviour(
        LoadClass.MAGNETIC_BALLAST,
        1.0,
        source="choke ballast, current near proportional to voltage; common practice, no source",
    ),
    Behaviour(
        LoadClass.MOTOR,
        -1.0,
        source="induction motor at constant torque, taken as constant power; "
        "common practice, no source",
    ),
)
LIGHT_EXPONENT = Figure(
    3.4, source="encyclopedia, lamp rerating: light as V^3.4 to V^3.5; verified in public text"
)
_EXPONENTS = {row.load_class: row.current_exponent for row in BEHAVIOURS}


def current_exponent(load_class: LoadClass) -> float:
    """Return the power of the voltage that the current of a class follows."""
    return _EXPONENTS[load_class]


def current_ratio(load_class: LoadClass, voltage_ratio: float) -> float:
    """Return current over rated current at a voltage over rated voltage (above 0)."""
    return float(voltage_ratio ** current_exponent(load_class))


def power_ratio(load_class: LoadClass, voltage_ratio: float) -> float:
    """Return power over rated power at a voltage over rated voltage (above 0)."""
    return voltage_ratio * current_ratio(load_class, voltage_ratio)


def light_ratio(load_class: LoadClass, voltage_ratio: float) -> float:
    """Return light over rated light; 1 for regulated loads, as power for other classes."""
    if load_class is LoadClass.TUNGSTEN:
        return float(voltage_ratio**LIGHT_EXPONENT.value)
    return power_ratio(load_class, voltage_ratio)
