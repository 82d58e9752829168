"""The largest current a supply gives at a chosen lowest voltage: the real budget of a house.

Must not import anything of the project but this package.
"""

from dataclasses import dataclass
from math import inf, sqrt

from spreadload.electrical.behaviour import LoadClass, current_ratio


@dataclass(frozen=True, slots=True)
class Budget:
    """The most a supply can give without falling below a chosen voltage.

    Attributes:
        min_v: The chosen voltage [V].
        current_a: Largest current at that voltage [A].
        power_w: Watts it delivers then.
        plate_a: The same load's current at its rated volts [A].
    """

    min_v: float
    current_a: float
    power_w: float
    plate_a: float


def budget(
    idle_v: float,
    loop: complex,
    min_v: float,
    *,
    pf: float = 1.0,
    load_class: LoadClass = LoadClass.CONSTANT_POWER,
    rated_v: float | None = None,
) -> Budget:
    """Return the largest current a supply gives at a chosen lowest voltage.

    Args:
        idle_v: Volts with nothing on [V].
        loop: Loop impedance to the point in question [Ω].
        min_v: Chosen lowest voltage there [V].
        pf: Power factor of the load, lagging.
        load_class: What the load does when the voltage changes.
        rated_v: Volts its plate current is stated at [V]; ``idle_v`` if absent.

    Source:
        Exact two-bus circuit: |E|² = (V + I·a)² + (I·b)², the larger root avoided.
    """
    sine = sqrt(max(0.0, 1 - pf * pf))
    along = loop.real * pf + loop.imag * sine
    across = loop.imag * pf - loop.real * sine
    room = idle_v**2 - min_v**2
    if room <= 0:
        return Budget(min_v, 0.0, 0.0, 0.0)
    root = sqrt((min_v * along) ** 2 + (along**2 + across**2) * room)
    current_a = room / (min_v * along + root) if root else inf
    plate_a = current_a / current_ratio(load_class, min_v / (rated_v or idle_v))
    return Budget(min_v, current_a, current_a * min_v * pf, plate_a)
