"""The use cases of the log: note what was seen, strike it out, merge two phones' logs, list it.

Nothing here prints.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from spreadload.app.loaded import Day
from spreadload.errors import ExitCode, Fault, InputError
from spreadload.io.log_file import append_to_log, read_log, read_other_log
from spreadload.io.note_text import read_note
from spreadload.job.merging import lacking
from spreadload.job.observations import Log, Observation, Seen
from spreadload.report.headed import headed
from spreadload.report.log_text import log_data, log_text, noted_data, noted_text
from spreadload.report.style import Style
from spreadload.wiring.evidence import clash
from spreadload.wiring.settling import Dispute, cheapest_repeat, settle
from spreadload.wiring.taught import Taught, taught


@dataclass(frozen=True)
class Noted:
    """What came of one or more new entries.

    Attributes:
        entries: Number and entry of each.
        lessons: What each taught.
        clashes: What they contradict.
        is_written: Whether they are in the log now.
        was_there: How many of another log's entries were there already.
    """

    day: Day
    entries: tuple[tuple[int, Observation], ...]
    lessons: dict[int, Taught]
    clashes: tuple[str, ...] = ()
    is_written: bool = True
    was_there: int = 0

    @property
    def exit_code(self) -> ExitCode:
        """What the shell should see: 1 where nothing was written because it clashes."""
        return ExitCode.HOLDS if self.is_written else ExitCode.BREAKS_A_LIMIT

    def text(self, style: Style | None = None) -> str:
        """Return what happened as text."""
        return noted_text(
            self.entries,
            self.day.loaded.log,
            self.lessons,
            self.clashes,
            style or Style(),
            is_written=self.is_written,
            was_there=self.was_there,
        )

    def data(self) -> dict[str, Any]:
        """Return what happened as data."""
        noted = noted_data(self.entries, self.lessons, self.clashes, is_written=self.is_written)
        return headed("note", noted)


@dataclass(frozen=True)
class LogTold:
    """The whole log with what each entry taught."""

    day: Day
    lessons: dict[int, Taught]
    exit_code: ExitCode = ExitCode.HOLDS

    def text(self, style: Style | None = None) -> str:
        """Return the log as text."""
        return log_text(self.day.loaded, self.lessons, style or Style())

    def data(self) -> dict[str, Any]:
        """Return the log as data."""
        return headed("note", log_data(self.day.loaded, self.lessons))


def note(
    day: Day, text: str, *, who: str = "", when: str = "", how: str = "", keep: bool = False
) -> Noted:
    """Add what somebody typed to the log, unless it contradicts what stands there.

    Args:
        day: The job and its log.
        text: One line, as in ``io.note_text``.
        who: Who saw it.
        when: When; it tells two observations apart that are otherwise the same.
        how: How it was seen.
        keep: Write it even if it clashes; then nothing in the clash counts until it is settled.

    Raises:
        InputError: The text cannot be read, names are not in the job, or the log cannot be
            written.
    """
    entry = read_note(text, day.stated, who=who, when=when, how=how)
    return add_entries(day, (entry,), keep=keep)


def add_entries(day: Day, entries: Sequence[Observation], *, keep: bool) -> Noted:
    """Add entries to the log; those that clash only when told to keep them."""
    new = _numbered(day, entries)
    clashes = _new_clashes(day, entries)
    if clashes and not keep:
        return Noted(day, new, {}, clashes, is_written=False)
    for entry in entries:
        append_to_log(day.path, entry)
    # What could not be read was told when the day was loaded; it must not hide what is written now.
    after = Day(day.path, day.stated, read_log(day.path, day.stated, is_urgent=True))
    lessons = taught(after.job, after.log, [number for number, _ in new])
    return Noted(after, new, lessons, clashes)


def strike(day: Day, name: str, *, who: str = "", when: str = "") -> Noted:
    """Strike an entry out, by its number or its key; it stays in the log and counts no more.

    Raises:
        InputError: No such entry, or it has been struck out before.
    """
    log = day.loaded.log
    found = [(n, o) for n, o in log.numbered if name in (str(n), o.key)]
    if not found:
        known = ", ".join(str(n) for n, _ in log.numbered) or "none"
        remedy = f"the log has {known}"
        fault = Fault("", 0, "--strike", "no such entry in the log", name, remedy=remedy)
        raise InputError([fault])
    number, entry = found[-1]
    if number in log.struck:
        raise InputError([Fault("", 0, "--strike", "it has been struck out before", name)])
    line = Observation(what=Seen.STRIKE, strikes=entry.key, who=who, when=when)
    return add_entries(day, (line,), keep=True)


def merge(day: Day, other: Path) -> Noted:
    """Add what another log of the same job has and this one lacks; clashes are kept and told.

    Raises:
        InputError: The other log cannot be read, or names what the job does not have.
    """
    theirs = read_other_log(other, day.stated)
    new = lacking(day.loaded.log, theirs)
    there = len(theirs.observations) - sum(o.what is not Seen.STRIKE for o in new)
    return replace(add_entries(day, new, keep=True), was_there=max(there, 0))


def list_log(day: Day) -> LogTold:
    """Return the log with what each entry taught."""
    return LogTold(day, taught(day.job, day.log))


def _numbered(day: Day, entries: Sequence[Observation]) -> tuple[tuple[int, Observation], ...]:
    first = len(day.loaded.log.observations) + 1
    return tuple(enumerate(entries, first))


def _new_clashes(day: Day, entries: Sequence[Observation]) -> tuple[str, ...]:
    """Return what new entries contradict, the smallest sets, with the cheapest repeat."""
    log = Log(observations=(*day.log.observations, *entries))
    found = clash(day.job, log)
    if found is None:
        return ()
    disputes: list[Dispute] = list(settle(day.job, log).disputes)
    return tuple(f"{d.clash}. {d.repeat}" for d in disputes) or (
        f"{found}. {cheapest_repeat(found, log)}",
    )
