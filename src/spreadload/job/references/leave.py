"""The owner's leave: does it name what there is? Imports only its neighbours."""

from collections.abc import Iterator

from spreadload.job.job import Job
from spreadload.job.references.finding import Finding, unknown


def check_leave(job: Job) -> Iterator[Finding]:
    """Yield names in the leave that the job does not have."""
    devices = {**job.circuits, **job.rcds}
    for index, name in enumerate(job.leave.breakers):
        yield from unknown(("leave", "breakers", index), "circuit or RCD", name, devices)
    loads = {*job.house, *job.departments}
    for load in job.leave.may_lose_min:
        yield from unknown(("leave", "may_lose_min", load), "load", load, loads)
