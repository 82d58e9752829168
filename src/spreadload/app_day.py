"""The use cases of the recce and the day: note, trip, first moves, trace, replan.

Nothing here prints. The solver is imported only where a plan is looked for.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from spreadload.errors import ExitCode, Fault, InputError
from spreadload.io.job_file import load_job
from spreadload.io.log_file import LoadedLog, append_to_log, log_path, read_log, read_other_log
from spreadload.io.note_text import names_of, read_note
from spreadload.io.plan_file import job_digest, load_plan
from spreadload.io.plan_file import save_plan as write_plan
from spreadload.io.suggest import suggest
from spreadload.job.job import Job
from spreadload.job.merging import lacking
from spreadload.job.observations import Log, Observation
from spreadload.job.observations import Seen as Kind
from spreadload.on_the_day.delay import seconds_of
from spreadload.on_the_day.first_moves import FirstMove
from spreadload.on_the_day.first_moves import first_moves as work_out_first_moves
from spreadload.on_the_day.opened import Seen
from spreadload.on_the_day.scene import Scene
from spreadload.on_the_day.trip import Report, TripAnswer, after_a_trip
from spreadload.plan import Placement, Plan
from spreadload.report.log_text import log_data, log_text, noted_data, noted_text
from spreadload.report.style import Style
from spreadload.report.trip_text import trip_data, trip_text
from spreadload.wiring.evidence import clash
from spreadload.wiring.settling import Dispute, cheapest_repeat, settle
from spreadload.wiring.taught import Taught, taught

PLAN_NAME = "plan.json"
_SAME_TRIP_CHARACTERS = 15
_DUPLICATE = "this is in the log already"


@dataclass(frozen=True)
class Day:
    """A job with its log, ready to work with.

    Attributes:
        path: Where the log stands.
        stated: The job as stated.
        loaded: Its log.
    """

    path: Path
    stated: Job
    loaded: LoadedLog

    @property
    def job(self) -> Job:
        """The job without what a test disproved."""
        return self.loaded.settled.job

    @property
    def log(self) -> Log:
        """The log without what clashes."""
        return self.loaded.settled.log

    @property
    def warnings(self) -> tuple[str, ...]:
        """What the reader should know of the log."""
        return self.loaded.warnings


def load_day(job_file: Path) -> Day:
    """Return a job with its log.

    Raises:
        InputError: With every fault of the job, or of the log.
    """
    job = load_job(job_file)
    path = log_path(job_file)
    return Day(path, job, read_log(path, job))


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
            self.lessons,
            self.clashes,
            style or Style(),
            is_written=self.is_written,
            was_there=self.was_there,
        )

    def data(self) -> dict[str, Any]:
        """Return what happened as data."""
        return noted_data(self.entries, self.lessons, self.clashes, is_written=self.is_written)


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
        return log_data(self.day.loaded, self.lessons)


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
    after = Day(day.path, day.stated, read_log(day.path, day.stated))
    return Noted(after, new, taught(after.job, after.log), clashes)


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
    line = Observation(what=Kind.STRIKE, strikes=entry.key, who=who, when=when)
    return add_entries(day, (line,), keep=True)


def merge(day: Day, other: Path) -> Noted:
    """Add what another log of the same job has and this one lacks; clashes are kept and told.

    Raises:
        InputError: The other log cannot be read, or names what the job does not have.
    """
    theirs = read_other_log(other, day.stated)
    new = lacking(day.loaded.log, theirs)
    there = len(theirs.observations) - sum(o.what is not Kind.STRIKE for o in new)
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


@dataclass(frozen=True)
class TripTold:
    """What to do after a trip.

    Attributes:
        answer: What was worked out.
        logged: What became of the log entry, in a sentence.
    """

    answer: TripAnswer
    logged: str = ""

    @property
    def exit_code(self) -> ExitCode:
        """What the shell should see: 3 while it is not clear what opened, 1 for a hard stop."""
        if not self.answer.causes:
            return ExitCode.UNDECIDED
        return ExitCode.BREAKS_A_LIMIT if self.answer.is_second else ExitCode.HOLDS

    @property
    def plan(self) -> Plan:
        """What is rigged once the move is made."""
        return self.answer.plan

    def text(self, style: Style | None = None) -> str:
        """Return the answer as text for a terminal."""
        return trip_text(self.answer, style or Style(), self.logged)

    def data(self) -> dict[str, Any]:
        """Return the answer as data."""
        return trip_data(self.answer) | {"logged": self.logged}


@dataclass(frozen=True)
class TripSaid:
    """What was typed about a trip.

    Attributes:
        dark: Outlets or loads found dead.
        lit: Outlets or loads found working.
        device: Circuit, RCD or ``main`` seen open.
        just: What was just switched on.
        after: How long it had held, such as ``5min``.
        setup: Set-up that runs.
        when: Time, for the log.
        log: Whether to write it down.
    """

    dark: tuple[str, ...]
    lit: tuple[str, ...] = ()
    device: str | None = None
    just: str = ""
    after: str | None = None
    setup: str | None = None
    when: str = ""
    log: bool = False


def trip(day: Day, plan: Plan, said: TripSaid) -> TripTold:
    """Say what most likely opened after a trip and the smallest thing to do about it.

    Args:
        day: The job and its log.
        plan: What is rigged.
        said: What the crew typed.

    Raises:
        InputError: With every name that is not in the job, and a delay that cannot be read.
    """
    reader = _TripReader(day.stated, plan)
    setup, report = reader.read(said)
    if reader.faults:
        raise InputError(reader.faults)
    log, again = _without_this_trip(day.log, report)
    answer = after_a_trip(day.job, log, plan, setup, report)
    if again is not None:
        return TripTold(answer, f"In the log as {again} already.")
    if answer.entry is None:
        return TripTold(answer, "Not in the log: say which handle is down with --device.")
    if not said.log:
        return TripTold(answer, "Not in the log yet: add --log.")
    noted = add_entries(day, (answer.entry,), keep=True)
    return TripTold(answer, f"In the log as {noted.entries[0][0]}.")


def _without_this_trip(log: Log, report: Report) -> tuple[Log, int | None]:
    """Return the log before this very trip, and the number it has if it was noted already."""
    for n, seen in reversed(log.standing):
        if seen.what not in (Kind.TRIP, Kind.RCD):
            continue
        same = (seen.dark, seen.still_on) == (report.seen.dark, report.seen.lit)
        near = seen.when[:_SAME_TRIP_CHARACTERS] == report.when[:_SAME_TRIP_CHARACTERS]
        if same and near:
            kept = (*log.observations[: n - 1], *log.observations[n:])
            return Log(observations=kept), n
        break
    return log, None


class _TripReader:
    """Turns names typed in a hurry into outlets and units, gathering every fault."""

    def __init__(self, job: Job, plan: Plan) -> None:
        self.job, self.plan = job, plan
        self.faults: list[Fault] = []

    def read(self, said: TripSaid) -> tuple[str, Report]:
        setup = self._setup(said)
        dark, dark_units = self._things(said.dark, setup, "--dark")
        lit, lit_units = self._things(said.lit, setup, "--lit")
        after_s = None
        if said.after is not None:
            after_s = seconds_of(said.after)
            if after_s is None:
                self._refuse("--after", "not a time", said.after, "write 5min, 30s, 2h or at once")
        if not dark and not said.device and not self.faults:
            self._refuse("--dark", "nothing is named", "", "name the dead outlets, or --device")
        # A unit on a power board may be dead while its outlet is alive; an outlet is one thing.
        outlets_lit = tuple(o for o in lit if o not in dark or lit_units)
        if set(dark) & set(lit) and not (dark_units and lit_units):
            both = ", ".join(sorted(set(dark) & set(lit)))
            self._refuse("--dark, --lit", "an outlet cannot be both; name the heads", both)
        seen = Seen(dark, outlets_lit, dark_units, lit_units, self._load(said.just))
        report = Report(seen, self._device(said.device), self._just(said.just), after_s, said.when)
        return setup, report

    def _refuse(self, key: str, problem: str, value: str = "", remedy: str = "") -> None:
        self.faults.append(Fault("", 0, key, problem, value, remedy=remedy))

    def _setup(self, said: TripSaid) -> str:
        setups = [s.id for s in self.job.setups]
        if said.setup is not None:
            found, faults = names_of([said.setup], setups, "set-up", "--setup")
            self.faults += faults
            return found[0] if found else setups[0]
        placed = {s: [p for p in self.plan.placements if p.setup == s] for s in setups}
        outlets = {_plain(name) for name in said.dark}

        def told(setup: str) -> int:
            return sum(
                _plain(p.point.split("/")[0]) in outlets or _plain(p.load) in outlets
                for p in placed[setup]
            )

        # Without a word the set-up that has most on what is dark; the first of equals.
        return max(setups, key=lambda s: (told(s), len(placed[s]), -setups.index(s)))

    def _things(
        self, words: Sequence[str], setup: str, key: str
    ) -> tuple[tuple[str, ...], tuple[Placement, ...]]:
        """Return the outlets that words name, and the units where they name loads."""
        here = [p for p in self.plan.placements if p.setup == setup]
        loads = {p.load for p in here}
        units = {f"{p.load}#{p.unit}": p for p in here} | {f"{p.load} #{p.unit}": p for p in here}
        known = (*self.job.outlets, *sorted(loads), *units)
        found, faults = names_of(_split(words), known, "outlet or load", key)
        self.faults += faults
        outlets: dict[str, None] = {}
        named: list[Placement] = []
        for name in found:
            if name in self.job.outlets:
                outlets[name] = None
                continue
            several = [units[name]] if name in units else [p for p in here if p.load == name]
            named += several
            outlets |= dict.fromkeys(p.point.split("/")[0] for p in several)
        return tuple(outlets), tuple(named)

    def _device(self, name: str | None) -> str | None:
        if name is None or name.strip().lower() in {"main", "all", "mains"}:
            return None if name is None else "main"
        labels = {c.label: i for i, c in self.job.circuits.items() if c.label}
        known = (*self.job.circuits, *self.job.rcds, *labels)
        found, faults = names_of([name], known, "circuit or RCD", "--device")
        self.faults += faults
        return labels.get(found[0], found[0]) if found else None

    def _load(self, just: str) -> str | None:
        plain = {_plain(name): name for name in (*self.job.heads, *self.job.departments)}
        plain |= {_plain(name): name for name in self.job.house}
        return plain.get(_plain(just))

    def _just(self, just: str) -> str:
        return self._load(just) or just.strip()


def _split(words: Sequence[str]) -> list[str]:
    return [part for word in words for part in word.replace(",", " ").split()]


def _plain(text: str) -> str:
    return " ".join(text.casefold().replace("_", " ").split())


def find_plan(job_file: Path, job: Job, plan_file: Path | None) -> tuple[Plan, tuple[str, ...]]:
    """Return the plan that is rigged: the one named, or ``plan.json`` beside the job.

    Raises:
        InputError: There is none, or it cannot be read.
    """
    folder = job_file if job_file.is_dir() else job_file.parent
    path = plan_file or folder / PLAN_NAME
    if plan_file is None and not path.exists():
        remedy = f"keep one with plan --save {path}, or name one with --plan"
        raise InputError([Fault("", 0, "--plan", "no plan is kept beside the job", remedy=remedy)])
    loaded = load_plan(path, job)
    return loaded.plan, loaded.warnings


def save_plan(path: Path, job: Job, scene: Scene, after: Plan, whole: Plan) -> None:
    """Write the plan after a move, set-ups that are over as they were.

    Raises:
        InputError: The file cannot be written.
    """
    over = tuple(p for p in whole.placements if p.setup not in scene.remaining)
    joined = whole.model_copy(update={"placements": (*over, *after.placements)})
    write_plan(path, job_digest(job), joined)


def first_moves(day: Day, plan: Plan) -> tuple[FirstMove, ...]:
    """Return a first move for every circuit a plan loads, worked out beforehand."""
    return work_out_first_moves(day.job, day.log, plan)


def require_setup(job: Job, key: str, name: str | None) -> None:
    """Refuse a set-up that the job does not have.

    Raises:
        InputError: No such set-up.
    """
    known = [s.id for s in job.setups]
    if name is not None and name not in known:
        remedy = suggest(name, known) or f"the job has {', '.join(known)}"
        raise InputError([Fault("", 0, key, "no such set-up in the job", name, remedy=remedy)])
