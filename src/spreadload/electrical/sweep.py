"""The rounds of the sweep: currents from volts, volts from currents, until both stand still.

Must not import anything of the project but this package; numpy is allowed.
"""

import numpy as np

from spreadload.electrical.rows import Figure
from spreadload.electrical.terminals import Ports
from spreadload.electrical.tree import Complexes, Floats

TOLERANCE_V = Figure(1e-8, source="volts count as standing still; our own choice")
MAX_ROUNDS = Figure(1000, source="rounds before a flow is called collapsed; our own choice")
DAMPING = Figure(
    0.4,
    source="share of each step taken at the second attempt, for loads near a short; our own choice",
)


def _currents(volts: Complexes, powers_va: Complexes, rated_v: Floats, exps: Floats) -> Complexes:
    """Return what each pair of terminals draws [A] at its volts."""
    scaled = powers_va * (np.abs(volts) / rated_v) ** exps
    return np.conj(scaled / volts)


def settle_volts(
    ports: Ports, powers_va: Complexes, rated_v: Floats, exponents: Floats
) -> tuple[Complexes, Complexes, int]:
    """Return volts, currents and rounds taken; rounds are negative where nothing settled."""
    volts = ports.open_v
    for step in (1.0, DAMPING.value):
        volts = ports.open_v
        for done in range(1, int(MAX_ROUNDS.value) + 1):
            amps = _currents(volts, powers_va, rated_v, exponents)
            change = ports.open_v - ports.impedance_ohm @ amps - volts
            volts = volts + step * change
            furthest = np.abs(change).max(initial=0)
            if furthest < TOLERANCE_V.value:
                return volts, _currents(volts, powers_va, rated_v, exponents), done
            if not np.isfinite(furthest):
                break
    return volts, np.zeros_like(volts), -1


def lowest(volts: Floats, ports: Ports) -> Floats:
    """Return the lowest volts over the pairs of terminals of each load."""
    return np.minimum.reduceat(volts, ports.first) if len(ports.first) else volts


def sums(watts: Floats, ports: Ports) -> Floats:
    """Return the watts of each load over its pairs of terminals."""
    return np.add.reduceat(watts, ports.first) if len(ports.first) else watts
