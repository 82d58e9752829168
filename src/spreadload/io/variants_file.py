"""What-if variants kept in a file: a name and its clauses each.

::

    key on LED: DH1200 -> LED600 spare
    quiet kitchen: [kettle off, chargers on battery]

And what a variant makes of a job, read as strictly as a job that somebody wrote.
"""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from spreadload.changes.variant import Said, read_variants
from spreadload.errors import Fault, InputError
from spreadload.io.as_meant import as_meant
from spreadload.io.job_file import job_faults
from spreadload.io.source import Place, Source, entry_of, shown
from spreadload.io.yaml_source import read
from spreadload.job.job import Job

_REMEDY = "write a clause such as “kettle off”, or a list of clauses, after the name"


def load_variants(path: Path, job: Job) -> tuple[Said, ...]:
    """Return the variants of a file as ``name: clause; clause``, each with its line.

    Raises:
        InputError: Not readable, something that is no list of clauses, or clauses that the job
            cannot take; every fault in one pass.
    """
    source = read(path, "quiet kitchen: kettle off")
    found: list[Said] = []
    faults = list(source.faults)
    for name, clauses in source.data.items():
        each = [clauses] if isinstance(clauses, str) else clauses
        place = source.where((name,))
        if not (isinstance(each, list) and each and all(isinstance(c, str) for c in each)):
            problem = "says nothing that can be changed"
            faults.append(source.fault((name,), problem, remedy=_REMEDY))
            continue
        text = f"{name.replace(':', ' ')}: {'; '.join(each)}"
        found.append(Said(text, place.file, place.line))
    if faults:
        raise InputError([*faults, *_clause_faults(job, found)])
    return tuple(found)


def _clause_faults(job: Job, found: list[Said]) -> tuple[Fault, ...]:
    try:
        read_variants(job, found, as_job)
    except InputError as error:
        return error.faults
    return ()


def as_job(data: Any) -> Job | Fault:  # noqa: ANN401 - the plain data of a job
    """Return the job that plain data is, or the first fault in it."""
    meant = as_meant(Source(entry_of(data, Place("", 0))), Job)
    if meant.faults or meant.valid is None:
        return meant.faults[0]
    return meant.valid


def variant_faults(job: Job) -> Iterator[Fault]:
    """Yield what a job that was changed in memory cannot mean."""
    for each in job_faults(job):
        yield Fault("", 0, "", each.problem, shown(each.value), each.limit, each.remedy)
