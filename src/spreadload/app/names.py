"""Names given on the command line, held against those of the job."""

from collections.abc import Iterable

from spreadload.errors import Fault, InputError
from spreadload.job.job import Job
from spreadload.suggest import suggest

_SHOWN = 12


def unknown(key: str, what: str, name: str | None, known: Iterable[str]) -> Fault | None:
    """Return a fault when a name is given that is not one of the job's."""
    names = tuple(known)
    if name is None or name in names:
        return None
    remedy = suggest(name, names) or f"the job has {', '.join(names[:_SHOWN])}"
    return Fault("", 0, key, f"no such {what} in the job", name, remedy=remedy)


def unknown_head(job: Job, name: str) -> Fault | None:
    """Return a fault when a name is given that is not one of the heads; a load is for `ask`."""
    if name not in job.loads:
        return unknown("HEAD", "head", name, job.heads)
    remedy = f"`spreadload ask JOB {name} anywhere` says where a load may go"
    return Fault("", 0, "HEAD", "a load, not a head", name, remedy=remedy)


def unknown_setup(job: Job, name: str | None) -> Fault | None:
    """Return a fault when ``--setup`` names a set-up that the job does not have."""
    return unknown("--setup", "set-up", name, (setup.id for setup in job.setups))


def refuse(*faults: Fault | None) -> None:
    """Refuse what was typed when anything is wrong with it.

    Raises:
        InputError: With every fault there is.
    """
    found = [fault for fault in faults if fault is not None]
    if found:
        raise InputError(found)
