"""A job as if one of the wirings it may have were known. Imports the job only."""

from collections.abc import Mapping

from spreadload.job.job import Job
from spreadload.job.site import HowKnown


def as_wired(job: Job, wiring: Mapping[str, str]) -> Job:
    """Return the job with the circuit of every outlet of which nobody knows it, as a guess."""
    outlets = {
        name: outlet
        if outlet.circuit is not None
        else outlet.model_copy(
            update={"circuit": wiring[name], "known": HowKnown.GUESSED, "maybe_on": ()}
        )
        for name, outlet in job.outlets.items()
    }
    return job.model_copy(update={"outlets": outlets})
