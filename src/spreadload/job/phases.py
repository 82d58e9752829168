"""Line conductors as people name them. Calculates nothing."""

import re

from spreadload.job.job import Job
from spreadload.job.site import System

# Lines of a split-phase supply, half a turn apart.
LEGS = 2
_OTHER_NAMES = {System.THREE_PHASE: ("A", "B", "C"), System.SPLIT_PHASE: ("L1", "L2")}


def phase_names(phase: str | tuple[str, ...] | None) -> tuple[str, ...]:
    """Return the phases named by ``L1``, ``L1 L2 L3``, ``AB`` or a list of them."""
    if phase is None:
        return ()
    if isinstance(phase, str):
        text = phase.upper()
        together = text in ("AB", "ABC")
        return tuple(text) if together else tuple(re.findall(r"L[123]|[^\s,+/]+", text))
    return tuple(name.upper() for name in phase)


def phases_of(job: Job) -> tuple[str, ...]:
    """Return the line conductors of the supply by the names the job gives them.

    Phases are L1 to L3, or A to C on an American board; legs are A and B, or L1 and L2. The other
    names count once the last of them is met, so that a leg is not taken for a phase by mistake.
    """
    system, named = system_of(job), _named(job)
    other = _OTHER_NAMES.get(system, ())
    is_used = bool(other) and other[-1] in named and named <= set(other)
    return other if is_used else system.phases


def _named(job: Job) -> set[str]:
    stated = [circuit.phase for circuit in job.circuits.values()]
    stated += [board.phase for board in job.sub_boards.values()]
    return {name for phase in stated for name in phase_names(phase)}


def system_of(job: Job) -> System:
    """Return the supply system as stated, else the least that the stated phases need."""
    if job.supply.system is not None:
        return job.supply.system
    named = _named(job)
    if named & {"L2", "L3", "C"}:
        return System.THREE_PHASE
    return System.SPLIT_PHASE if named & {"A", "B"} else System.SINGLE_PHASE
