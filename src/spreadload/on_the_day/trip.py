"""The whole answer after a trip: what opened, what is on it unseen, what to move, how to go on.

Puts diagnosis, clock and re-plug together. Never imports the solver.
"""

from dataclasses import dataclass, replace

from spreadload.job.job import Job
from spreadload.job.observations import Log, Observation
from spreadload.job.observations import Seen as Kind
from spreadload.on_the_day.bring_back import BringBack, bring_back
from spreadload.on_the_day.delay import Delay, delay_of
from spreadload.on_the_day.leaking import Leaking, leaking
from spreadload.on_the_day.opened import Cause, Opened, Seen, breaker_cause, opened
from spreadload.on_the_day.replug import (
    MOST_PCT,
    Move,
    Shed,
    best_moves,
    ease_further,
    emptied,
    shed,
)
from spreadload.on_the_day.scene import Scene
from spreadload.plan import Placement, Plan
from spreadload.units import MILLI, percent_used
from spreadload.wiring.settling import Dispute, settle

CERTAIN = 0.9
_OF_A_CIRCUIT = frozenset({Cause.BREAKER, Cause.FUSE, Cause.ARC_FAULT, Cause.RCBO})


@dataclass(frozen=True)
class Report:
    """What the crew says.

    Attributes:
        seen: What is dark and what is lit.
        device: Device seen open: a circuit, an RCD or ``main``; None when nobody looked.
        just: What was just switched on, in their words; "" when nothing.
        after_s: How long it had held since [s], or None.
        when: Time of the trip, for the log.
    """

    seen: Seen
    device: str | None = None
    just: str = ""
    after_s: float | None = None
    when: str = ""


@dataclass(frozen=True)
class Intruder:
    """A load that is not in the plan.

    Attributes:
        low_a: Least it draws [A].
        high_a: Most it draws; infinite where the delay caps nothing [A].
        named: What was just switched on and is not in the plan, or "".
    """

    low_a: float
    high_a: float
    named: str


@dataclass(frozen=True)
class TripAnswer:
    """Everything to say after a trip.

    Attributes:
        scene: The house as known with this trip.
        causes: What may have opened, likeliest first.
        circuit: The dead circuit, or None when it is no single one.
        is_second: Whether this device tripped before.
        earlier: Numbers of the log entries that say so.
        delay: What the clock says, if it was read.
        intruder: What must be on it unseen.
        planned_a: What the plan puts on the circuit [A].
        used_pct: In per cent of its limit, or None.
        move: The smallest re-plug.
        further: One more step to leave room for a warm breaker.
        shed: What to leave off where nothing can be moved.
        away: Moves that empty a device that must stay off.
        leaking: What leaks behind an RCD.
        back: How to bring it back.
        entry: The log entry that says it, or None when the device is not certain.
        taught: Outlets whose circuit is known since, with the circuit.
        disputes: Earlier entries that this trip contradicts.
        plan_is_broken: Remaining set-ups in which the plan still passes a limit after the move.
    """

    scene: Scene
    causes: tuple[Opened, ...]
    circuit: str | None = None
    is_second: bool = False
    earlier: tuple[int, ...] = ()
    delay: Delay | None = None
    intruder: Intruder | None = None
    planned_a: float = 0.0
    used_pct: int | None = None
    move: Move | None = None
    further: Move | None = None
    shed: Shed | None = None
    away: tuple[Move, ...] = ()
    leaking: Leaking | None = None
    back: BringBack | None = None
    entry: Observation | None = None
    taught: dict[str, str] | None = None
    disputes: tuple[Dispute, ...] = ()
    plan_is_broken: tuple[str, ...] = ()

    @property
    def plan(self) -> Plan:
        """The plan after the move."""
        if self.away:
            return self.away[-1].plan
        return self.scene.plan if self.move is None else self.move.plan


def after_a_trip(job: Job, log: Log, plan: Plan, setup: str, report: Report) -> TripAnswer:
    """Return what most likely opened and the smallest thing to do about it.

    Args:
        job: The job; it must not clash with its log.
        log: What was seen before.
        plan: What is rigged.
        setup: Set-up that runs.
        report: What the crew says.
    """
    before = Scene.of(job, log, plan, setup)
    causes = opened(before, report.seen, report.device)
    if not causes and report.device in job.circuits:
        # What was seen contradicts what is known; the handle is still down.
        causes = (Opened(breaker_cause(before, str(report.device)), str(report.device), 1.0),)
    elif not causes and report.device in job.rcds:
        causes = (Opened(Cause.RCD, str(report.device), 1.0),)
    if not causes:
        return TripAnswer(before, ())
    entry = entry_of(causes[0], report)
    settled = settle(job, with_entry(log, entry))
    scene = Scene.of(settled.job, settled.log, plan, setup)
    answer = TripAnswer(
        scene=scene,
        causes=causes,
        entry=entry,
        earlier=earlier_trips(log, causes[0]),
        taught=_taught(before, scene),
        disputes=settled.disputes,
    )
    answer = replace(answer, is_second=bool(answer.earlier))
    top = causes[0]
    if top.cause in _OF_A_CIRCUIT:
        return _circuit_down(answer, top.device, report)
    if top.cause in (Cause.RCD, Cause.GFCI):
        return _rcd_down(answer, top.device, report)
    return replace(answer, back=bring_back(scene, None))


def entry_of(top: Opened, report: Report) -> Observation | None:
    """Return the log entry that a trip makes, or None while the device is not certain."""
    seen = report.seen
    if report.device is None and top.share < CERTAIN:
        return None
    lamps = Observation(what=Kind.TRIP, dark=seen.dark, still_on=seen.lit, when=report.when)
    how = "found dead and lit" if report.device is None else "seen at the board"
    if top.cause in _OF_A_CIRCUIT:
        return lamps.model_copy(update={"circuits": (top.device,), "how": how})
    if top.cause in (Cause.RCD, Cause.GFCI):
        return lamps.model_copy(update={"what": Kind.RCD, "rcd": top.device, "how": how})
    return None


def with_entry(log: Log, entry: Observation | None) -> Log:
    """Return the log with one more entry."""
    return log if entry is None else Log(observations=(*log.observations, entry))


def earlier_trips(log: Log, top: Opened) -> tuple[int, ...]:
    """Return the numbers of log entries in which the same device tripped."""
    return tuple(
        n
        for n, o in log.standing
        if (o.what is Kind.TRIP and o.circuits == (top.device,))
        or (o.what is Kind.RCD and o.rcd == top.device and "trip" in o.how.lower())
    )


def _circuit_down(answer: TripAnswer, circuit: str, report: Report) -> TripAnswer:
    scene = answer.scene
    avoid = frozenset(report.seen.dark)
    load_ma, cap_ma = scene.circuit_ma(circuit), scene.cap_ma(circuit)
    delay = None
    if report.after_s is not None:
        delay = delay_of(scene.facts.job, circuit, report.after_s)
    intruder = _intruder(scene, circuit, report, delay)
    answer = replace(
        answer,
        circuit=circuit,
        delay=delay,
        intruder=intruder,
        planned_a=load_ma / MILLI,
        used_pct=percent_used(load_ma, cap_ma),
        back=bring_back(scene, circuit),
    )
    if answer.is_second:
        away, _ = emptied(scene, circuit, avoid)
        return replace(answer, away=away)
    moves = best_moves(scene, circuit, avoid=avoid, most_pct=_aim(load_ma, cap_ma))
    if not moves:
        off = shed(scene, circuit) if load_ma > cap_ma * MOST_PCT.value / 100 else None
        return replace(answer, shed=off)
    best = moves[0]
    return replace(
        answer,
        move=best,
        further=ease_further(scene, best, avoid),
        back=bring_back(scene.with_plan(best.plan), circuit),
        plan_is_broken=_broken(scene, best),
    )


def _aim(load_ma: int, cap_ma: int) -> float:
    """Return what may stay on a circuit [%]: its limit, or less where the plan was within it."""
    used = percent_used(load_ma, cap_ma)
    return 100.0 if used > MOST_PCT.value else max(used - 1.0, 0.0)


def _intruder(scene: Scene, circuit: str, report: Report, delay: Delay | None) -> Intruder | None:
    """Return the load that must be on a circuit unseen: from the clock, or from what was named."""
    job = scene.facts.job
    planned = scene.on_circuit(circuit)
    named = report.just
    if named and any(p.load == named for p in planned):
        named = ""
    load_a = scene.circuit_ma(circuit) / MILLI
    rated_a = (job.circuits[circuit].breaker_a or job.circuits[circuit].fuse_a) or 0.0
    if delay is None or delay.says_nothing:
        return Intruder(0.0, float("inf"), named) if named else None
    low_a, high_a = delay.unseen_a(rated_a, load_a)
    if not named and low_a <= 0:
        return None
    return Intruder(low_a, high_a, named)


def _rcd_down(answer: TripAnswer, rcd: str, report: Report) -> TripAnswer:
    scene = answer.scene
    found = leaking(scene, rcd, report.seen.just)
    return replace(answer, leaking=found, back=bring_back(scene, None))


def _taught(before: Scene, after: Scene) -> dict[str, str]:
    return {
        outlet: after.likely[outlet]
        for outlet in after.maps.outlets
        if after.is_known(outlet)
        and not (before.is_known(outlet) and before.likely[outlet] == after.likely[outlet])
    }


def _broken(scene: Scene, move: Move) -> tuple[str, ...]:
    verdict = scene.judge.judge(move.plan, scene.likely)
    return tuple(s for s in scene.remaining if any(v.setup == s for v in verdict.violations))


def units_by_load(placements: tuple[Placement, ...]) -> dict[str, list[int]]:
    """Return the units of every load, in order."""
    found: dict[str, list[int]] = {}
    for p in placements:
        found.setdefault(p.load, []).append(p.unit)
    return found
