"""A job file to a checked job, or every fault in one pass with file and line.

Reads the format of ``spreadload.job``; what ids and figures mean together is checked there too.
"""

import re
from pathlib import Path as FilePath
from typing import Any

from spreadload.electrical import conductors
from spreadload.errors import Fault, InputError
from spreadload.io.as_meant import AsMeant, as_meant
from spreadload.io.finding_faults import finding_faults
from spreadload.io.salvage import Salvaged, salvage
from spreadload.io.source import Source
from spreadload.io.yaml_source import read
from spreadload.job.job import Job
from spreadload.job.references import Finding, find_faults
from spreadload.practice import countries, plug_family, plug_ids, region_ids

JOB_NAME = "job.yaml"
# Keys at the top a job must have, with what stands for them while the rest is checked.
_STAND_INS: dict[str, Any] = {
    "region": "",
    "circuits": {"(0)": {}},
    "setups": [{"id": "(0)"}],
}


def job_path(path: FilePath) -> FilePath:
    """Return the job file itself when a folder that holds one is named."""
    return path / JOB_NAME if path.is_dir() else path


def load_job(path: FilePath) -> Job:
    """Return the job of a file, or of a folder with a ``job.yaml`` in it.

    Raises:
        InputError: With every fault found: of the files, of the format, of names and figures.
    """
    source = read(job_path(path))
    if what := _is_no_job(source):
        problem = f"this is {what}, not a job"
        remedy = "name the job it was made for; a plan goes after --plan, or second after check"
        raise InputError([Fault(str(path), 1, "", problem, remedy=remedy)])
    meant = as_meant(source, Job)
    more = _more(meant) if source.complete else []
    # What is refused as it is written need not be called senseless as well.
    told = {(fault.file, fault.line, fault.key) for fault in meant.faults}
    more = [fault for fault in more if (fault.file, fault.line, fault.key) not in told]
    faults = [*source.faults, *meant.faults, *more]
    if meant.valid is None or faults:
        raise InputError(faults)
    return meant.valid


def _more(meant: AsMeant[Job]) -> list[Fault]:
    """Return what cannot be meant, as far as that can be told beside what is refused."""
    whole = None if meant.valid is None else Salvaged(meant.valid)
    rest = whole or salvage(meant.source, Job, _STAND_INS)
    return finding_faults(_findings(rest.valid), rest, meant.source) if rest else []


def _is_no_job(source: Source) -> str:
    """Return what a file that this program wrote is, or "" for what may be meant as a job."""
    made = source.data.get("format")
    if made == "spreadload plan":
        return "a plan that was kept"
    return "an answer that --json printed" if str(made).startswith("spreadload ") else ""


def job_faults(job: Job) -> tuple[Finding, ...]:
    """Return what a job that was changed in memory cannot mean."""
    return _findings(job)


def _findings(job: Job) -> tuple[Finding, ...]:
    # Names of countries stand in the files of all regions: read only to help whoever has none.
    named = {} if job.region in region_ids() else countries()
    return find_faults(
        job, regions=region_ids(), plugs=_plugs(job), gauges=_gauges(), countries=named
    )


def _plugs(job: Job) -> tuple[str, ...]:
    """Return every plug id, those usual in the region of the job first."""
    usual = plug_family(job.region) if job.region in region_ids() else ()
    return tuple(dict.fromkeys((*(plug.id for plug in usual), *plug_ids())))


def _gauges() -> frozenset[int]:
    return frozenset(
        int(number[0]) for row in conductors.AWG if (number := re.match(r"\d+", row.name))
    )
