"""The log entry a trip makes, and the earlier entries that say the same device opened before.

Never imports the solver.
"""

from spreadload.job.job import Job
from spreadload.job.observations import Log, Observation
from spreadload.job.observations import Seen as Kind
from spreadload.on_the_day.scene.scene import Scene
from spreadload.on_the_day.trip.causes import NO_HANDLE_DOWN, OF_A_CIRCUIT, Cause, Opened
from spreadload.on_the_day.trip.opened import opens_with
from spreadload.on_the_day.trip.report import Report
from spreadload.wiring.taught import left_open

_PROVEN = 0.99
_NOT_OURS = frozenset({Cause.NETWORK, Cause.PHASE, Cause.NEUTRAL})


def entry_of(scene: Scene, top: Opened, report: Report) -> Observation | None:
    """Return the log entry a trip makes, or None where nothing of the house opened.

    A whole house is a trip of every circuit, a sub-board of those behind it: that is true, and
    teaches no more than is so.
    """
    seen = report.seen
    told = "seen at the board" if report.device else "found dead and lit"
    entry = Observation(
        what=Kind.TRIP,
        dark=seen.dark,
        still_on=seen.lit,
        when=report.when,
        how=f"{top.cause.value}, {told}",
    )
    if top.cause in OF_A_CIRCUIT:
        return _circuit_entry(scene, top, entry)
    if top.device in scene.facts.job.rcds:
        return entry.model_copy(
            update={"what": Kind.RCD, "rcd": top.device, "how": f"tripped, {told}"}
        )
    circuits = _circuits_behind(scene, top)
    return entry.model_copy(update={"circuits": circuits}) if circuits else None


def _circuit_entry(scene: Scene, top: Opened, entry: Observation) -> Observation:
    tied = opens_with(scene, top.device)
    if not tied:
        return entry.model_copy(update={"circuits": (top.device,)})
    # Whether the tied handle opened too is not known, so what is lit proves nothing of it.
    sure = tuple(o for o in entry.still_on if not any(scene.chance(o, c) > 0 for c in tied))
    circuits = tuple(sorted((top.device, *tied)))
    return entry.model_copy(update={"circuits": circuits, "still_on": sure})


def _circuits_behind(scene: Scene, top: Opened) -> tuple[str, ...]:
    circuits = scene.facts.circuits
    if top.cause is Cause.FEED:
        return tuple(c for c in circuits if top.device in circuits[c].feeds)
    is_whole = not top.device and top.cause not in _NOT_OURS
    return tuple(circuits) if is_whole else ()


def is_certain(top: Opened, report: Report, job: Job, log: Log) -> bool:
    """Whether what opened may be written down: seen at the board, or nothing else can be.

    Without a look, a breaker is only certain where a dark outlet is proven to be on it: of the
    wirings drawn too few may fit what was seen.
    """
    if report.device not in (None, NO_HANDLE_DOWN):
        return True
    if top.share < _PROVEN or top.cause not in OF_A_CIRCUIT:
        return top.share >= _PROVEN
    left = left_open(job, log)
    return any(left[outlet] == {top.device} for outlet in report.seen.dark)


def with_entry(log: Log, entry: Observation | None) -> Log:
    """Return the log with one more entry."""
    return log if entry is None else Log(observations=(*log.observations, entry))


def earlier_trips(log: Log, entry: Observation | None) -> tuple[int, ...]:
    """Return the numbers of log entries in which the same device tripped."""
    if entry is None:
        return ()
    return tuple(n for n, seen in log.standing if _is_same_device(seen, entry))


def _is_same_device(seen: Observation, entry: Observation) -> bool:
    if seen.what is not entry.what:
        return False
    if entry.what is Kind.RCD:
        # A press of the test button is no trip.
        return seen.rcd == entry.rcd and "trip" in seen.how.lower()
    return set(seen.circuits) == set(entry.circuits)
