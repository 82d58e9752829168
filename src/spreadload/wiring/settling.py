"""Going on with a log that contradicts itself: what clashes is set aside, and how to settle it.

Imports the job and its neighbours only.
"""

from dataclasses import dataclass

from spreadload.job.job import Job
from spreadload.job.observations import Log, Observation, Seen
from spreadload.job.site import HowKnown
from spreadload.wiring.evidence import Clash, clash
from spreadload.words import row

_LOG = "log entry "


@dataclass(frozen=True)
class Dispute:
    """Statements that cannot all be true, what became of them, and how to settle it.

    Attributes:
        clash: The smallest set of statements.
        set_aside: Numbers of the log entries that do not count until it is settled.
        repeat: The cheapest thing to do again.
    """

    clash: Clash
    set_aside: tuple[int, ...]
    repeat: str

    def __str__(self) -> str:
        """Return the dispute in words."""
        numbers = ", ".join(str(n) for n in self.set_aside)
        aside = f"set aside until settled: {numbers}" if self.set_aside else "the test is believed"
        return f"cannot all be true: {self.clash}; {aside}. {self.repeat}"


@dataclass(frozen=True)
class Settled:
    """A log that clashes no more.

    Attributes:
        job: The job, with hearsay that a test disproved left open.
        log: The log, entries in dispute marked so that they do not count.
    """

    job: Job
    log: Log
    disputes: tuple[Dispute, ...] = ()


def settle(job: Job, log: Log) -> Settled:
    """Return a job and its log without contradictions.

    Where a test disproves what was only told, labelled or guessed, the test counts and the outlet
    is left open. Where tests clash with each other, or with what the job calls tested, none of
    them counts until one is struck out or made again.
    """
    disputes: list[Dispute] = []
    found = clash(job, log)
    while found is not None:
        entries = _entries(found)
        disproved = _hearsay(job, found) if entries else ()
        if disproved:
            job = _opened(job, disproved)
            repeat = f"Correct the job file: {', '.join(disproved)} is not where it says"
            disputes.append(Dispute(found, (), repeat))
        elif entries:
            log = _set_aside(log, entries)
            disputes.append(Dispute(found, entries, cheapest_repeat(found, log)))
        else:
            break
        found = clash(job, log)
    return Settled(job, log, tuple(disputes))


def cheapest_repeat(found: Clash, log: Log) -> str:
    """Return what to do again to see which statement is wrong: the least disturbing test of all."""
    outlets = _shared_outlets(found)
    lamp = f" with a lamp in {row(outlets)}" if outlets else ""
    entries = [log.observations[n - 1] for n in _entries(found)]
    tests = sorted((e for e in entries if e.what is not Seen.TRIP), key=_cost)
    if tests:
        best = tests[0]
        opened = f"press RCD {best.rcd}" if best.what is Seen.RCD else _off(best)
        return f"Cheapest to repeat: {opened}{lamp}; then strike out the wrong one"
    circuits = sorted({c for e in entries for c in e.circuits})
    # A trip is never made again on purpose; switching the same breaker off tells the same.
    off = f"switch {circuits[0]} off" if circuits else "switch one breaker off"
    return f"Cheapest to check: {off}{lamp}; then strike out the wrong one"


def _cost(seen: Observation) -> tuple[int, int]:
    return (seen.what is Seen.RCD, len(seen.circuits))


def _off(seen: Observation) -> str:
    return f"switch {row(seen.circuits)} off"


def _entries(found: Clash) -> tuple[int, ...]:
    names = [fact.name for fact in found.facts if fact.name.startswith(_LOG)]
    return tuple(int(name.removeprefix(_LOG).split(":")[0].split()[0]) for name in names)


def _hearsay(job: Job, found: Clash) -> tuple[str, ...]:
    """Return outlets of a clash whose circuit was told or labelled, but never tested."""
    named = {o for fact in found.facts if not fact.name.startswith(_LOG) for o in fact.allowed}
    weak = (HowKnown.TOLD, HowKnown.LABELLED, None)
    return tuple(o for o in job.outlets if o in named and job.outlets[o].known in weak)


def _opened(job: Job, outlets: tuple[str, ...]) -> Job:
    gone = {"circuit": None, "known": None, "maybe_on": ()}
    changed = {o: job.outlets[o].model_copy(update=gone) for o in outlets}
    return job.model_copy(update={"outlets": job.outlets | changed})


def _set_aside(log: Log, numbers: tuple[int, ...]) -> Log:
    marked = tuple(
        seen.model_copy(update={"in_doubt": True}) if n in numbers else seen
        for n, seen in enumerate(log.observations, 1)
    )
    return log.model_copy(update={"observations": marked})


def _shared_outlets(found: Clash) -> tuple[str, ...]:
    """Return the outlets that more than one statement of a clash speaks of."""
    spoken = [o for fact in found.facts for o in {*fact.allowed, *fact.same, *fact.different}]
    return tuple(sorted({o for o in spoken if spoken.count(o) > 1}))
