"""What a job cannot mean, as faults: only what is sure beside other slips, and one for each slip.

Imports ``errors``, the job's references and its neighbours only.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace

from spreadload.errors import Fault
from spreadload.io.salvage import Salvaged
from spreadload.io.source import Entry, Path, Place, Source, shown
from spreadload.job.job import Job
from spreadload.job.references import Finding
from spreadload.suggest import did_you_mean

_MAX_LINES = 8
# So many lines that name the same are not all misspelt in the same way.
_AGREED = 3
_SINGLE = frozenset({"supply", "wiring", "rules", "costs", "leave"})
_NAMES_A_SETUP = frozenset({"may_move_to", "may_swap_with"})


def finding_faults(findings: Sequence[Finding], rest: Salvaged[Job], source: Source) -> list[Fault]:
    """Return a fault for each slip that findings tell of.

    Args:
        findings: What the job, or what is left of it, cannot mean.
        rest: What was taken out of the job before it was looked at.
        source: The file as it was read.
    """
    sure = [each for each in findings if _is_sure(each, rest, source)]
    unknown = {each.path for each in sure if each.is_unknown_name}
    sure = [each for each in sure if unknown.isdisjoint(each.leans_on)]
    sure, misspelt = _misspelt_entries(sure, rest.valid, source)
    sure, missing = _missing_groups(sure, rest.valid, source)
    return [*_faults(source, sure), *misspelt, *missing]


def _is_sure(finding: Finding, rest: Salvaged[Job], source: Source) -> bool:
    """Whether a finding would be one too if what was taken out were as it should be."""
    if not (rest.groups | source.doubled).isdisjoint(finding.among):
        return False
    if finding.is_unknown_name:
        if rest.has_nameless and not _NAMES_A_SETUP.isdisjoint(finding.path):
            return False
        return finding.value not in rest.names
    if finding.among and rest.has_stray:
        return False
    leans_on = (_entry(finding.path), *finding.leans_on)
    if any(path[0] in source.doubled for path in leans_on):
        return False
    return not any(_overlap(path, lean) for path in rest.lost for lean in leans_on)


def _entry(path: Path) -> Path:
    """Return the entry a line is of; the lines of the supply and the like belong together."""
    return path[:1] if path[0] in _SINGLE else path[:2]


def _overlap(lost: Path, lean: Path) -> bool:
    length = min(len(lost), len(lean))
    return lost[:length] == lean[:length]


def _misspelt_entries(
    findings: list[Finding], job: Job, source: Source
) -> tuple[list[Finding], list[Fault]]:
    """Take out names that several lines agree on, where the one entry like it is named nowhere.

    Then it is the entry that is misspelt, and the lines are right.
    """
    by_name: dict[tuple[str, str], list[Finding]] = defaultdict(list)
    for finding in findings:
        if finding.near:
            by_name[finding.value, finding.near].append(finding)
    written = _written(source.root)
    faults, told = [], set()
    for (name, entry), same in by_name.items():
        group = next((g for g in same[0].among if entry in _entries(job, g)), "")
        if len(same) >= _AGREED and group and written[entry] == 1:
            told |= {id(each) for each in same}
            lines = _lines(source, [source.where(each.path) for each in same])
            remedy = f"{did_you_mean([name], entry)} That is named on {lines}"
            fault = source.fault((group, entry), f"nothing names {shown(entry)}", remedy=remedy)
            faults.append(fault)
    return [each for each in findings if id(each) not in told], faults


def _entries(job: Job, group: str) -> Iterable[str]:
    found = getattr(job, group)
    return found if isinstance(found, dict) else ()


def _written(entry: Entry) -> Counter[str]:
    """Return how often each word stands in a file, as a key or as a value."""
    found: Counter[str] = Counter()
    waiting = [entry]
    while waiting:
        value = waiting.pop()
        if isinstance(value.value, dict):
            found.update(value.value.keys())
            waiting += value.value.values()
        elif isinstance(value.value, tuple):
            waiting += value.value
        else:
            found[value.raw] += 1
    return found


def _missing_groups(
    findings: list[Finding], job: Job, source: Source
) -> tuple[list[Finding], list[Fault]]:
    """Take out names of a kind of which the job lists none at all: that is one slip."""
    missing: dict[str, list[Finding]] = defaultdict(list)
    told = {str(each.path[0]) for each in findings if len(each.path) == 1}
    for finding in findings:
        empty = next((group for group in finding.among if not getattr(job, group)), "")
        if empty and (finding.is_absent or empty in told):
            missing[empty].append(finding)
    faults, taken = [], set()
    for group, same in missing.items():
        names = list(dict.fromkeys(each.value for each in same))
        if len(names) > 1 or group in told:
            taken |= {id(each) for each in same}
        if len(names) > 1 and group not in told:
            first = _fault(source, same[0])
            remedy = f"add an entry for each under `{group}`, or correct the names"
            problem, value = f"nothing is listed under `{group}`", shown(", ".join(names))
            faults.append(replace(first, problem=problem, value=value, limit="", remedy=remedy))
    return [each for each in findings if id(each) not in taken], faults


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
    named = _lines(source, [Place(*other) for other in others])
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


def _lines(source: Source, places: Iterable[Place]) -> str:
    """Return lines in words, with the file where it is not the first one read."""
    home = source.root.place.file
    lines = [
        str(place.line) if place.file == home else str(place) for place in dict.fromkeys(places)
    ]
    more = f" and {len(lines) - _MAX_LINES} more" if len(lines) > _MAX_LINES else ""
    return f"{'line' if len(lines) == 1 else 'lines'} {', '.join(lines[:_MAX_LINES])}{more}"
