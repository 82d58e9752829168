"""A job file to a checked job, or every fault in one pass with file and line.

Reads the format of ``spreadload.job``; what ids and figures mean together is checked there too.
"""

import re
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path as FilePath

from spreadload.electrical import conductors
from spreadload.errors import Fault, InputError
from spreadload.io.faults import validate
from spreadload.io.salvage import Salvaged, salvage
from spreadload.io.source import Path, Source, shown
from spreadload.io.yaml_source import read
from spreadload.job.job import Job
from spreadload.job.references import Finding, find_faults
from spreadload.practice import countries, plug_family, plug_ids, region_ids

JOB_NAME = "job.yaml"
_MAX_LINES = 8
_NAMES_A_SETUP = frozenset({"may_move_to", "may_swap_with"})
_LOADS = ("heads", "stock", "departments", "house")
# What the sense of a group's entries hangs on besides their own lines.
_LEANS_ON: dict[str, tuple[str, ...]] = {
    **dict.fromkeys((*_LOADS, "leads", "power_boards", "boxes"), ("region",)),
    "setups": ("setups", *_LOADS),
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
    try:
        job = validate(source, Job)
    except InputError as error:
        raise InputError([*error.faults, *_more(source)]) from error
    if findings := _findings(job):
        raise InputError(_faults(source, findings))
    return job


def _is_no_job(source: Source) -> str:
    """Return what a file that this program wrote is, or "" for what may be meant as a job."""
    made = source.data.get("format")
    if made == "spreadload plan":
        return "a plan that was kept"
    return "an answer that --json printed" if str(made).startswith("spreadload ") else ""


def job_faults(job: Job) -> tuple[Finding, ...]:
    """Return what a job that was changed in memory cannot mean."""
    return _findings(job)


def _more(source: Source) -> list[Fault]:
    """Return what else is wrong, as far as that can be told of a file with other faults."""
    rest = salvage(source, Job)
    if rest is None:
        return []
    return _faults(source, [each for each in _findings(rest.valid) if _is_sure(each, rest)])


def _is_sure(finding: Finding, rest: Salvaged[Job]) -> bool:
    """Whether a finding would be one too if what was taken out were as it should be."""
    if not finding.is_unknown_name:
        return _stands_alone(finding, rest.lost)
    if rest.has_nameless and not _NAMES_A_SETUP.isdisjoint(finding.path):
        return False
    return not rest.is_lost(finding.value)


def _stands_alone(finding: Finding, lost: tuple[Path, ...]) -> bool:
    """Whether nothing that was taken out can be behind a finding.

    What a job means hangs together: an entry's own lines, what it leans on, and the supply.
    """
    group = str(finding.path[0])
    if group not in _LEANS_ON:
        return False
    return not any(
        path[: len(finding.path[:2])] == finding.path[:2] or path[0] in _LEANS_ON[group]
        for path in lost
    )


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
