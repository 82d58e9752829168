"""The log beside a job: ``log.yaml``, a list that only ever grows.

Reading reports every fault in one pass; entries that clash are set aside and said to be, and so is
a last line that was cut off. Adding an entry leaves every earlier byte as it was: a kill at any
moment loses at most the line being written.
"""

import os
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from threading import get_ident

import yaml

from spreadload.errors import Fault, InputError
from spreadload.io.as_meant import as_meant
from spreadload.io.atomic import write_text_atomic
from spreadload.io.compose import compose
from spreadload.io.job_file import JOB_NAME
from spreadload.io.log_entries import entry_faults
from spreadload.io.log_lines import readable_part
from spreadload.io.scalars import meaning
from spreadload.io.source import Place, Source, group, shown
from spreadload.io.torn import HEAD, Part, whole_part
from spreadload.job.job import Job
from spreadload.job.observations import Log, Observation, Seen
from spreadload.wiring.evidence import clash
from spreadload.wiring.settling import Settled, settle

LOG_NAME = "log.yaml"
_ENTRY = re.compile(r"^( *)- ", re.MULTILINE)
# Lines set aside that are told one by one: the answer comes after them.
_TOLD = 3


@dataclass(frozen=True)
class LoadedLog:
    """A log read from a file.

    Attributes:
        log: As it stands in the file.
        settled: The job and the log without what clashes; the ones to work with.
        warnings: What its reader should know: a torn line, entries in dispute.
    """

    log: Log
    settled: Settled
    warnings: tuple[str, ...] = ()


def log_path(job_file: Path) -> Path:
    """Return where the log of a job file, or of a job folder, stands.

    A folder, and the ``job.yaml`` in it, has its ``log.yaml``; ``terrace.yaml`` has a log of its
    own, ``terrace.log.yaml``, for other files in the folder may be about other houses.
    """
    if job_file.is_dir():
        return job_file / LOG_NAME
    is_of_folder = job_file.name == JOB_NAME
    return job_file.with_name(LOG_NAME if is_of_folder else f"{job_file.stem}.{LOG_NAME}")


def load_log(path: Path, job: Job) -> Log:
    """Return the log of a job without what clashes; an empty one when there is no file.

    Raises:
        InputError: As ``read_log``.
    """
    return read_log(path, job).settled.log


def read_log(path: Path, job: Job, *, is_urgent: bool = False) -> LoadedLog:
    """Return the log of a job; an empty one when there is no file.

    Args:
        path: The log file.
        job: The job it belongs to.
        is_urgent: Whether an answer cannot wait until the file is mended: an entry that cannot be
            read is then set aside with a warning, and the others count.

    Raises:
        InputError: With every fault: of the file, of the format, of names; and statements of the
            job itself that clash, which no entry of the log can settle.
    """
    part, log, unread = _parts(path, job, is_urgent=is_urgent)
    settled = settle(job, log)
    faults = clash_faults(settled.job, settled.log, str(path))
    if faults:
        raise InputError(faults)
    warnings = list(_unread_words(path, unread))
    warnings += _idle_strikes(path, part, log)
    warnings += [f"{path}: {dispute}" for dispute in settled.disputes]
    if part.torn:
        warnings.insert(
            0,
            f"{path}:{part.line}: the last line was cut off and is ignored ({part.torn}); "
            "everything before it stands. Note it again",
        )
    return LoadedLog(log, settled, tuple(warnings))


def _parts(path: Path, job: Job, *, is_urgent: bool) -> tuple[Part, Log, tuple[Fault, ...]]:
    """Return the text of a log, what it says, and what of it could not be read."""
    if not path.exists():
        return Part(""), Log(), ()
    try:
        part = whole_part(path)
    except InputError as error:
        if not is_urgent:
            raise
        return Part(""), Log(), error.faults
    try:
        return part, _log_of(part.text, str(path), job), ()
    except InputError:
        if not is_urgent:
            raise
    log, unread = readable_part(part.text, lambda text: _log_of(text, str(path), job))
    return part, log, unread


def _idle_strikes(path: Path, part: Part, log: Log) -> Iterator[str]:
    """Yield what strikes out no entry, because somebody wrote its number or mended the entry."""
    keys = {entry.key for _, entry in log.numbered}
    for entry in log.observations:
        if entry.what is Seen.STRIKE and entry.strikes not in keys:
            at = part.text.find(str(entry.strikes), part.text.find("strikes"))
            line = part.text.count("\n", 0, at) + 1
            named = shown(str(entry.strikes))
            yield (
                f"{path}:{line}: strikes out no entry of this log (is {named}), so all of them "
                "count: write struck: true on the one that is wrong"
            )


def _unread_words(path: Path, unread: tuple[Fault, ...]) -> Iterator[str]:
    """Yield what is set aside, line by line while they are few, and once what that means."""
    if not unread:
        return
    for fault in unread[:_TOLD]:
        where = f"{fault.file}:{fault.line}" if fault.line else fault.file
        what = "SET ASIDE for this answer" if fault.line else "THE WHOLE LOG IS SET ASIDE"
        key = f"{fault.key.rpartition('.')[2]}: " if "." in fault.key else ""
        said = f" (is {fault.value})" if fault.value else ""
        yield f"{where}: {what}: {key}{fault.problem}{said}"
    if more := unread[_TOLD:]:
        lines = ", ".join(str(fault.line) for fault in more)
        yield f"{path}: SET ASIDE as well: line{'s' if len(more) > 1 else ''} {lines}"
    yield (
        "if what is set aside notes a trip of what opened now, this is the second: stop. Mend the "
        "log when there is time; plan refuses until then"
    )


def read_other_log(path: Path, job: Job) -> Log:
    """Return somebody else's log of the same job as it stands, torn line left away.

    Raises:
        InputError: There is no such file, or with every fault in it.
    """
    return _log_of(whole_part(path).text, str(path), job)


def _log_of(text: str, file: str, job: Job) -> Log:
    """Return the log a text holds; one with no entries yet is empty."""
    if text.strip() in ("", HEAD.strip()):
        return Log()
    composed = compose(text, file, HEAD.strip())
    root = composed.root or group(Place(file, 1), {})
    source = Source(root, (file,), composed.faults, composed.complete)
    meant = as_meant(source, Log)
    faults = [*source.faults, *meant.faults]
    if meant.valid is not None and source.complete:
        seen = enumerate(meant.valid.observations)
        faults += [f for n, o in seen for f in entry_faults(meant.source, n, o, job)]
    if meant.valid is None or faults:
        raise InputError(faults)
    return meant.valid


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
    """Add one entry at the end of a log and see it safely on the disk.

    A finished log grows by one line; a log that was cut off keeps the torn line as a comment.

    Raises:
        InputError: The file cannot be read or written.
    """
    if not path.exists():
        _begin(path)
    part = whole_part(path) if path.exists() else Part("")
    text = part.text if part.text.strip() else HEAD
    indent = _ENTRY.search(text)
    line = f"{indent[1] if indent else '  '}- {_flow(entry)}"
    is_plain = bool(part.text.strip()) and part.text.endswith("\n") and not part.torn
    if is_plain and _append_bytes(path, line.encode()):
        return
    if not text.endswith("\n"):
        text += "\n"
    torn = f"# cut off: {part.torn}\n" if part.torn else ""
    write_text_atomic(path, f"{text}{torn}{line}")


def _begin(path: Path) -> None:
    """Make an empty log in one step, so that of two first writers neither undoes the other."""
    draft = path.with_name(f".{path.name}.{os.getpid()}.{get_ident()}")
    try:
        draft.write_text(HEAD, encoding="utf-8")
        # Unlike a rename, a link never takes the place of a file that is there by now.
        os.link(draft, path)
    except OSError:
        # There by now, or no links here: what follows writes the whole file.
        return
    finally:
        draft.unlink(missing_ok=True)


def _flow(entry: Observation) -> str:
    """Return an entry as one line of YAML with its line break."""
    stated = entry.model_dump(mode="json", exclude_defaults=True, exclude={"in_doubt"})
    return yaml.dump(
        stated,
        Dumper=_Dumper,
        default_flow_style=True,
        sort_keys=False,
        allow_unicode=True,
        width=10**6,
    )


class _Dumper(yaml.SafeDumper):
    """Puts quotes around every text that our reader would not take for text."""


def _text(dumper: yaml.SafeDumper, text: str) -> yaml.ScalarNode:
    # A key such as 89e44123 is a text to YAML 1.1, and a number too large for any to our reader.
    try:
        is_plain = meaning(text) == text
    except ValueError:
        is_plain = False
    return dumper.represent_scalar("tag:yaml.org,2002:str", text, style=None if is_plain else "'")


_Dumper.add_representer(str, _text)


def _append_bytes(path: Path, content: bytes) -> bool:
    """Append in one write, so that two writers never mix; False where that is not possible."""
    try:
        handle = os.open(path, os.O_WRONLY | os.O_APPEND)
    except OSError:
        return False
    try:
        done = os.write(handle, content)
        os.fsync(handle)
    finally:
        os.close(handle)
    if done < len(content):
        raise InputError([Fault(str(path), 0, "", "cannot be written: the disk is full")])
    return True
