"""Line conductors as people name them. Calculates nothing."""

import re

from spreadload.job.job import Job
from spreadload.job.site import System


def phase_names(phase: str | tuple[str, ...] | None) -> tuple[str, ...]:
    """Return the phases named by ``L1``, ``L1 L2 L3``, ``AB`` or a list of them."""
    if phase is None:
        return ()
    if isinstance(phase, str):
        text = phase.upper()
        return ("A", "B") if text == "AB" else tuple(re.findall(r"L[123]|[^\s,+/]+", text))
    return tuple(name.upper() for name in phase)


def system_of(job: Job) -> System:
    """Return the supply system as stated, else the least that the stated phases need."""
    if job.supply.system is not None:
        return job.supply.system
    named = {p for c in job.circuits.values() for p in phase_names(c.phase)}
    if named & {"L2", "L3"}:
        return System.THREE_PHASE
    return System.SPLIT_PHASE if named & {"A", "B"} else System.SINGLE_PHASE
