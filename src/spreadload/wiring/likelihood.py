"""How well whole maps suit soft observations that tie several outlets together.

Imports its neighbours and numpy only.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from spreadload.derived.supply import circuit_facts, supply_facts
from spreadload.job.observations import Observation, Seen
from spreadload.practice.wiring import WiringHabits, wiring_habits
from spreadload.units import FULL_PCT, MILLI
from spreadload.wiring.model import WiringModel

_LONG_H = 1.0
# A logistic curve this steep is a normal distribution to within 0.01 (D. Haley, 1952; from memory).
_LOGISTIC_SLOPE = 1.702
# Beyond so many steps either way a chance is nothing or all, and its exponential still a number.
_MOST_STEPS = 60
# How likely a load step shows anything at all, so that one odd reading rules no wiring out.
_ANYTHING = 0.02
_SHARED_STEPS = 9


def log_likelihood(
    model: WiringModel, outlets: Sequence[str], on: NDArray[np.int16]
) -> NDArray[np.float64]:
    """Return the log likelihood of every map under what held and what volts were read."""
    habits = wiring_habits(model.job.region)
    found = np.zeros(len(on))
    for _, seen in model.log.standing:
        if seen.what is Seen.HELD:
            found += _held(model, outlets, on, seen, habits)
        elif seen.what is Seen.LOAD_STEP:
            found += _load_step(outlets, on, seen, habits)
    return found


def _held(
    model: WiringModel,
    outlets: Sequence[str],
    on: NDArray[np.int16],
    seen: Observation,
    habits: WiringHabits,
) -> NDArray[np.float64]:
    """A breaker that held tells against maps that put more on it than it carries for long.

    Source:
        IEC 60898-1:2015 table 7: must hold 1.13 and must open at 1.45 times its rating within the
        hour; between them a normal spread is assumed (common practice, see the habits).
    """
    if seen.hours is not None and seen.hours < _LONG_H:
        return np.zeros(len(on))
    facts = circuit_facts(model.job, supply_facts(model.job))
    amps = np.array([seen.loads_a.get(o, 0.0) for o in outlets])
    found = np.zeros(len(on))
    for circuit in seen.circuits:
        if circuit not in model.circuits:
            continue
        load_a = (on == model.circuits.index(circuit)) @ amps
        rated_a = facts[circuit].breaker_ma / MILLI
        used_pct = load_a / rated_a * FULL_PCT
        z = (used_pct - habits.held_trip_pct.value) / habits.held_spread_pct.value
        odd = habits.held_odd_pct.value / FULL_PCT
        found += np.log(
            odd + (1 - odd) / (1 + np.exp(np.clip(_LOGISTIC_SLOPE * z, -_MOST_STEPS, _MOST_STEPS)))
        )
    return found


def _load_step(
    outlets: Sequence[str], on: NDArray[np.int16], seen: Observation, habits: WiringHabits
) -> NDArray[np.float64]:
    """A fall beyond the supply's own tells for shared cable, so for one circuit.

    Source:
        Ohm's law; what shared cable adds is common practice, see the habits.
    """
    names = (seen.loaded, seen.read)
    volts = (seen.idle_v, seen.loaded_v, seen.supply_drop_v)
    if None in volts or any(name not in outlets for name in names):
        return np.zeros(len(on))
    a, b = (outlets.index(str(name)) for name in names)
    extra_v = float(seen.idle_v or 0) - float(seen.loaded_v or 0) - float(seen.supply_drop_v or 0)
    sigma_v = habits.step_spread_v.value
    shared_v = habits.step_shared_v.value
    # On one circuit anything from nothing (near the board) to twice the usual may be shared.
    steps_v = np.linspace(0.0, 2 * shared_v, _SHARED_STEPS)
    same = np.exp(-0.5 * ((extra_v - steps_v) / sigma_v) ** 2).mean()
    apart = np.exp(-0.5 * (extra_v / sigma_v) ** 2)
    is_same = on[:, a] == on[:, b]
    chosen: NDArray[np.float64] = np.log(np.where(is_same, same + _ANYTHING, apart + _ANYTHING))
    return chosen
