"""The use case of a trip: what was typed, read against the job and the plan, and the answer.

Nothing here prints, and no plan is looked for.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from spreadload.app_loaded import Day, keep_plan, split_words
from spreadload.app_note import add_entries
from spreadload.errors import ExitCode, Fault, InputError
from spreadload.io.note_text import names_of
from spreadload.job.job import Job
from spreadload.job.observations import Log
from spreadload.job.observations import Seen as Kind
from spreadload.on_the_day.causes import Seen
from spreadload.on_the_day.delay import seconds_of
from spreadload.on_the_day.report import Report
from spreadload.on_the_day.scene import Scene
from spreadload.on_the_day.trip import TripAnswer, after_a_trip
from spreadload.plan import Placement, Plan
from spreadload.report.style import Style
from spreadload.report.trip_data import trip_data
from spreadload.report.trip_text import trip_text

_SAME_TRIP_CHARACTERS = 15


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
        found, faults = names_of(split_words(words), known, "outlet or load", key)
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


def _plain(text: str) -> str:
    return " ".join(text.casefold().replace("_", " ").split())


def save_plan(path: Path, job: Job, scene: Scene, after: Plan, whole: Plan) -> None:
    """Write the plan after a move, set-ups that are over as they were.

    Raises:
        InputError: The file cannot be written.
    """
    over = tuple(p for p in whole.placements if p.setup not in scene.remaining)
    keep_plan(path, job, whole.model_copy(update={"placements": (*over, *after.placements)}))
