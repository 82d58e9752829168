"""What loses its power during a test, and whether the owner's leave covers it.

Imports the job, derived and its neighbours only.
"""

from dataclasses import dataclass

import numpy as np

from spreadload.derived.supply import circuit_facts, supply_facts
from spreadload.electrical.rows import Figure
from spreadload.job.job import Job
from spreadload.job.kit import Load, LoadKind, Policy
from spreadload.wiring.maps import Maps
from spreadload.wiring.trials import Trial, TrialKind

MAY_BE_ON = Figure(0.05, source="a chance too small to ask leave for; our own choice")


@dataclass(frozen=True)
class Disturbance:
    """What a test does to the house.

    Attributes:
        is_allowed: Whether the leave given allows it at all.
        ask_leave: Loads that must stay on and may lose their power, with nothing said of that.
        shut_down: Electronics to shut down properly first.
        dark_min: How long anything is dark [min].
    """

    is_allowed: bool
    ask_leave: tuple[str, ...] = ()
    shut_down: tuple[str, ...] = ()
    dark_min: float = 0.0


def disturbance(job: Job, maps: Maps, trial: Trial) -> Disturbance:
    """Return what a test disturbs, every circuit counted that a load may be on."""
    if not trial.darkens:
        return Disturbance(is_allowed=True)
    dark_min = trial.dark_min
    loads = _loads(job)
    touched = [n for n, load in loads.items() if _may_be_on(job, maps, load, trial.off)]
    precious = [n for n in touched if loads[n].policy is Policy.MUST_STAY_ON]
    may_lose_min = job.leave.may_lose_min
    return Disturbance(
        is_allowed=_may_switch(job, trial)
        and all(may_lose_min.get(n, dark_min) >= dark_min for n in precious),
        ask_leave=tuple(n for n in precious if n not in may_lose_min),
        shut_down=tuple(n for n in touched if loads[n].kind is LoadKind.ELECTRONICS),
        dark_min=dark_min,
    )


def may_switch(job: Job, maps: Maps) -> tuple[str, ...]:
    """Return the circuits a test may darken under the leave given, in the order of the board."""
    trials = {c: Trial(TrialKind.BREAKER, off=(c,)) for c in maps.circuits}
    return tuple(c for c, t in trials.items() if disturbance(job, maps, t).is_allowed)


def circuits_behind(job: Job, rcd: str) -> tuple[str, ...]:
    """Return the circuits an RCD darkens."""
    facts = circuit_facts(job, supply_facts(job))
    return tuple(c for c in job.circuits if rcd in facts[c].rcds)


def _may_switch(job: Job, trial: Trial) -> bool:
    leave = job.leave
    if not leave.switching:
        return False
    named = set(leave.breakers)
    # Leave for some breakers is no leave to darken others, not even by a duty test.
    return not named or trial.rcd in named or set(trial.off) <= named


def _loads(job: Job) -> dict[str, Load]:
    """Return what is there before the day: the house's own, and what may never go dark."""
    kept = {n: load for n, load in job.departments.items() if load.policy is Policy.MUST_STAY_ON}
    return {n: x for n, x in job.house.items() if x.policy is not Policy.MUST_BE_OFF} | kept


def _may_be_on(job: Job, maps: Maps, load: Load, off: tuple[str, ...]) -> bool:
    if load.circuit is not None:
        return load.circuit in off
    return any(_chance(job, maps, o, off) > MAY_BE_ON.value for o in _outlets(job, load))


def _outlets(job: Job, load: Load) -> list[str]:
    """Return where a load may be plugged in; anywhere, where nothing is said."""
    if load.outlet is not None:
        return [load.outlet]
    room = load.room or (job.places[load.place].room if load.place in job.places else None)
    return [o for o, outlet in job.outlets.items() if room is None or outlet.room == room]


def _chance(job: Job, maps: Maps, outlet: str, off: tuple[str, ...]) -> float:
    if outlet not in maps.outlets:
        return float(job.outlets[outlet].circuit in off)
    numbers = [n for n, c in enumerate(maps.circuits) if c in off]
    on_one = np.isin(maps.on[:, maps.outlets.index(outlet)], numbers)
    return maps.share(on_one)
