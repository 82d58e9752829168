"""What somebody typed after something went dark, read against the job and the plan.

Every fault is told in one pass. Imports the job, the plan, ``errors``, its neighbours and the
records that say what a trip is.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from spreadload.derived.supply import supply_facts
from spreadload.errors import Fault, InputError
from spreadload.io.note_text import names_of, split_words
from spreadload.job.job import Job
from spreadload.job.site import Feeds, RcdKind
from spreadload.on_the_day.scene.delay import seconds_of
from spreadload.on_the_day.trip.causes import SAID, Seen
from spreadload.on_the_day.trip.report import Report
from spreadload.plan import Placement, Plan

_SAYS = {
    **{word: word for word in SAID},
    "all": "main",
    "mains": "main",
    "main switch": "main",
    "main breaker": "main",
    "contract": "meter",
    "smart meter": "meter",
    "street": "network",
    "outage": "network",
    "blackout": "network",
    "power board": "cut-out",
    "cut out": "cut-out",
    "cutout": "cut-out",
    "fuse": "plug fuse",
    "no": "none",
    "nothing": "none",
}
_EVERYTHING = frozenset({"all", "everything", "whole house", "the lot"})


@dataclass(frozen=True)
class TripSaid:
    """What was typed about a trip.

    Attributes:
        dark: Outlets or loads found dead.
        lit: Outlets or loads found working.
        device: What was seen open: a circuit, RCD, sub-board or phase, or ``main``, ``meter``,
            ``service fuse``, ``network``, ``cut-out``, ``plug fuse``; ``none`` for no handle down.
        bright: Outlets or loads that got brighter.
        just: What was just switched on.
        after: How long it had held, such as ``5min``.
        setup: Set-up that runs.
        when: Time, for the log.
        log: Whether to write it down.
    """

    dark: tuple[str, ...]
    lit: tuple[str, ...] = ()
    bright: tuple[str, ...] = ()
    device: str | None = None
    just: str = ""
    after: str | None = None
    setup: str | None = None
    when: str = ""
    log: bool = False


def read_trip(job: Job, plan: Plan, said: TripSaid) -> tuple[str, Report]:
    """Return the set-up that runs and what the crew says of the trip.

    Args:
        job: The job as stated.
        plan: What is rigged.
        said: What was typed.

    Raises:
        InputError: With every fault: names that are not in the job, a time that cannot be read.
    """
    reader = _TripReader(job, plan)
    read = reader.read(said)
    if reader.faults:
        raise InputError(reader.faults)
    return read


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
        if not (dark or said.device or said.bright or self.faults):
            self._refuse("--dark", "nothing is named", "", "name the dead outlets, or --device")
        # A unit on a power board may be dead while its outlet is alive; an outlet is one thing.
        outlets_lit = tuple(o for o in lit if o not in dark or lit_units)
        if set(dark) & set(lit) and not (dark_units and lit_units):
            both = ", ".join(sorted(set(dark) & set(lit)))
            self._refuse("--dark, --lit", "an outlet cannot be both; name the heads", both)
        bright, _ = self._things(said.bright, setup, "--bright")
        just = self._load(said.just)
        seen = Seen(dark, outlets_lit, dark_units, lit_units, just, bright)
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
        words = split_words(words)
        if _plain(" ".join(words)) in _EVERYTHING:
            return tuple(dict.fromkeys(p.point.split("/")[0] for p in here)), ()
        found, faults = names_of(words, known, "outlet or load", key)
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
        if name is None:
            return None
        # Of a house with an RCD called MAIN, `main` written like that still means the main breaker.
        own = self._devices().get(name) if name in SAID else self._own_device(name)
        if own is not None:
            return own
        said = _SAYS.get(_plain(name).removeprefix("the "))
        if said is not None:
            return said
        known = (*self._devices(), *_SAYS)
        found, faults = names_of([name], known, "circuit or RCD", "--device")
        if faults:
            faults = names_of([name], self._devices(), "circuit or RCD", "--device")[1]
        self.faults += faults
        return self._devices().get(found[0], found[0]) if found else None

    def _own_device(self, name: str) -> str | None:
        plain = {_plain(known): device for known, device in self._devices().items()}
        return plain.get(_plain(name))

    def _devices(self) -> dict[str, str]:
        """Return everything of the job that can open, by the names it goes by."""
        job = self.job
        boards = {b: b for b in job.sub_boards}
        labels = {b.label: i for i, b in job.sub_boards.items() if b.label}
        labels |= {c.label: i for i, c in job.circuits.items() if c.label}
        outlets = {o: outlet.rcd for o, outlet in job.outlets.items() if outlet.rcd}
        rcds = {r: self._circuit_of_rcbo(r) for r in job.rcds}
        circuits = {c: self._fed_by(c) for c in job.circuits}
        labels = {label: self._fed_by(i) for label, i in labels.items()}
        phases = {phase: phase for phase in supply_facts(job).phases}
        return {**phases, **outlets, **labels, **boards, **rcds, **circuits}

    def _circuit_of_rcbo(self, rcd: str) -> str:
        """Return the one circuit of a combined breaker and RCD: it is one handle."""
        is_rcbo = self.job.rcds[rcd].kind is RcdKind.RCBO
        behind = [c for c, circuit in self.job.circuits.items() if circuit.rcd == rcd]
        return behind[0] if is_rcbo and len(behind) == 1 else rcd

    def _fed_by(self, device: str) -> str:
        """Return the sub-board that a way of the main board feeds, where there is only one."""
        circuit = self.job.circuits.get(device)
        first = [b for b, board in self.job.sub_boards.items() if board.fed_from is None]
        is_feed = circuit is not None and circuit.feeds is Feeds.SUB_BOARD
        return first[0] if is_feed and len(first) == 1 else device

    def _load(self, just: str) -> str | None:
        plain = {_plain(name): name for name in (*self.job.heads, *self.job.departments)}
        plain |= {_plain(name): name for name in self.job.house}
        return plain.get(_plain(just))

    def _just(self, just: str) -> str:
        return self._load(just) or just.strip()


def _plain(text: str) -> str:
    return " ".join(text.casefold().replace("_", " ").split())
