"""A job file to a checked job, or every fault in one pass with file and line.

Reads the format of ``spreadload.job``; what ids and figures mean together is checked there too.
"""

import re
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path as FilePath
from typing import Any

from spreadload.electrical import conductors
from spreadload.errors import Fault, InputError
from spreadload.io.as_meant import as_meant
from spreadload.io.salvage import Salvaged, salvage
from spreadload.io.source import Path, Source, shown
from spreadload.io.yaml_source import read
from spreadload.job.job import Job
from spreadload.job.references import Finding, find_faults
from spreadload.practice import countries, plug_family, plug_ids, region_ids

JOB_NAME = "job.yaml"
_MAX_LINES = 8
_SINGLE = frozenset({"supply", "wiring", "rules", "costs", "leave"})
_NAMES_A_SETUP = frozenset({"may_move_to", "may_swap_with"})
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
    rest = salvage(meant.source, Job, _STAND_INS) if meant.valid is None else Salvaged(meant.valid)
    found = [each for each in _findings(rest.valid) if _is_sure(each, rest)] if rest else []
    faults = [*source.faults, *meant.faults, *_faults(meant.source, found)]
    if meant.valid is None or faults:
        raise InputError(faults)
    return meant.valid


def _is_no_job(source: Source) -> str:
    """Return what a file that this program wrote is, or "" for what may be meant as a job."""
    made = source.data.get("format")
    if made == "spreadload plan":
        return "a plan that was kept"
    return "an answer that --json printed" if str(made).startswith("spreadload ") else ""


def job_faults(job: Job) -> tuple[Finding, ...]:
    """Return what a job that was changed in memory cannot mean."""
    return _findings(job)


def _is_sure(finding: Finding, rest: Salvaged[Job]) -> bool:
    """Whether a finding would be one too if what was taken out were as it should be."""
    if not rest.groups.isdisjoint(finding.among):
        return False
    if finding.is_unknown_name:
        if rest.has_nameless and not _NAMES_A_SETUP.isdisjoint(finding.path):
            return False
        return finding.value not in rest.names
    leans_on = (_entry(finding.path), *finding.leans_on)
    return not any(_overlap(path, lean) for path in rest.lost for lean in leans_on)


def _entry(path: Path) -> Path:
    """Return the entry a line is of; the lines of the supply and the like belong together."""
    return path[:1] if path[0] in _SINGLE else path[:2]


def _overlap(lost: Path, lean: Path) -> bool:
    length = min(len(lost), len(lean))
    return lost[:length] == lean[:length]


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


def _faults(source: Source, findings: Iterable[Finding]) -> list[Fault]:
    """Return a fault for each finding; an entry that was left out is one, wherever it is named."""
    absent: dict[str, list[Finding]] = {}
    found = []
    for finding in findings:
        if finding.is_absent:
            absent.setdefault(finding.value, []).append(finding)
        else:
            found.append(_fault(source, finding))
    return found + [_absent_fault(source, same) for same in absent.values()]


def _absent_fault(source: Source, same: list[Finding]) -> Fault:
    """Return one fault for all that names an entry nobody gave, with the lines it is named on."""
    faults = sorted(_fault(source, finding) for finding in same)
    first = _fault(source, same[0])
    here = (first.file, first.line)
    others = dict.fromkeys((f.file, f.line) for f in faults if (f.file, f.line) != here)
    if not others:
        return first
    lines = [str(line) if file == first.file else f"{file}:{line}" for file, line in others]
    more = f" and {len(lines) - _MAX_LINES} more" if len(lines) > _MAX_LINES else ""
    word = "line" if len(lines) == 1 else "lines"
    named = f"{word} {', '.join(lines[:_MAX_LINES])}{more}"
    return replace(first, remedy=f"{first.remedy}; it is named on {named} too")


def _fault(source: Source, finding: Finding) -> Fault:
    place = source.where(finding.path)
    return Fault(
        place.file,
        place.line,
        source.key(finding.path),
        finding.problem,
        shown(finding.value),
        finding.limit,
        finding.remedy,
    )
