"""The log beside a job: ``log.yaml``, a list that only ever grows.

Reading reports every fault in one pass and names the smallest set of entries that clash. Adding an
entry leaves every earlier byte as it was.
"""

from collections.abc import Iterable, Iterator
from pathlib import Path

import yaml

from spreadload.errors import Fault, InputError
from spreadload.io.atomic import write_text_atomic
from spreadload.io.faults import validate
from spreadload.io.source import Source
from spreadload.io.suggest import suggest
from spreadload.io.text_file import read_text
from spreadload.io.yaml_source import read
from spreadload.job.job import Job
from spreadload.job.observations import Log, Observation, Seen
from spreadload.wiring.evidence import clash

LOG_NAME = "log.yaml"
_HEAD = "observations:\n"
_NEEDS = {
    Seen.BREAKER_OFF: ("circuits",),
    Seen.TRIP: ("circuits",),
    Seen.RCD: ("rcd",),
    Seen.STORY: ("circuits", "dark"),
    Seen.LABEL: ("circuits", "dark"),
    Seen.HELD: ("circuits", "loads_a"),
    Seen.LOAD_STEP: ("loaded", "read", "idle_v", "loaded_v", "supply_drop_v"),
}


def log_path(job_file: Path) -> Path:
    """Return where the log of a job file, or of a job folder, stands."""
    return (job_file if job_file.is_dir() else job_file.parent) / LOG_NAME


def load_log(path: Path, job: Job) -> Log:
    """Return the log of a job; an empty one when there is no file.

    Args:
        path: The log file.
        job: The job it belongs to.

    Raises:
        InputError: With every fault: of the file, of the format, of names, and of entries that
            clash with each other or with the job.
    """
    if not path.exists():
        return Log()
    source = read(path)
    log = validate(source, Log)
    faults = [f for n, o in enumerate(log.observations) for f in _faults(source, n, o, job)]
    if not faults:
        faults = clash_faults(job, log, str(path))
    if faults:
        raise InputError(faults)
    return log


def clash_faults(job: Job, log: Log, file: str) -> list[Fault]:
    """Return one fault that names the smallest set of statements that cannot all be true."""
    found = clash(job, log)
    if found is None:
        return []
    remedy = (
        "strike out the one that is wrong (struck: true), or make the cheaper one again; a plate "
        "may also be split-wired, or a sub-board may exist"
    )
    return [Fault(file, 0, "observations", f"cannot all be true: {found}", remedy=remedy)]


def append_to_log(path: Path, entry: Observation) -> None:
    """Add one entry at the end of a log, whole or not at all.

    Raises:
        InputError: The file cannot be read or written.
    """
    before = read_text(path) if path.exists() else _HEAD
    if not before.endswith("\n"):
        before += "\n"
    stated = entry.model_dump(mode="json", exclude_defaults=True)
    line = yaml.safe_dump(
        stated, default_flow_style=True, sort_keys=False, allow_unicode=True, width=10**6
    )
    write_text_atomic(path, f"{before}  - {line}")


def _faults(source: Source, number: int, seen: Observation, job: Job) -> Iterator[Fault]:
    where = ("observations", number)
    for key in _NEEDS[seen.what]:
        if not getattr(seen, key) and getattr(seen, key) != 0:
            yield source.fault(where, f"`{seen.what}` needs `{key}`")
    if seen.what in (Seen.BREAKER_OFF, Seen.TRIP, Seen.RCD) and not (seen.dark or seen.still_on):
        yield source.fault(where, f"`{seen.what}` needs `dark` or `still_on` outlets")
    outlets = job.outlets
    yield from _unknown(source, (*where, "circuits"), "circuit", seen.circuits, job.circuits)
    for key, names in (("dark", seen.dark), ("still_on", seen.still_on)):
        yield from _unknown(source, (*where, key), "outlet", names, outlets)
    yield from _unknown(source, (*where, "loads_a"), "outlet", seen.loads_a, outlets)
    for name, known, key, what in (
        (seen.rcd, job.rcds, "rcd", "RCD"),
        (seen.loaded, outlets, "loaded", "outlet"),
        (seen.read, outlets, "read", "outlet"),
    ):
        if name is not None and name not in known:
            remedy = suggest(name, known) or ""
            yield source.fault((*where, key), f"no such {what} in the job", remedy=remedy)
    for name in sorted(set(seen.dark) & set(seen.still_on)):
        yield source.fault(where, f"outlet {name} is both dark and still on")


def _unknown(
    source: Source,
    path: tuple[str | int, ...],
    what: str,
    names: Iterable[str],
    known: Iterable[str],
) -> Iterator[Fault]:
    there = list(known)
    for n, name in enumerate(names):
        if name not in there:
            at = (*path, n) if path[-1] != "loads_a" else (*path, name)
            remedy = suggest(name, there) or ""
            yield source.fault(at, f"no such {what} in the job", remedy=remedy)
