"""The whole answer after a trip: what opened, what is on it unseen, what to move, how to go on.

Puts diagnosis, clock and re-plug together. Never imports the solver.
"""

from collections.abc import Callable
from dataclasses import dataclass, field, replace

from spreadload.job.job import Job
from spreadload.job.kit import Policy
from spreadload.job.observations import Log, Observation
from spreadload.job.site import RcdKind
from spreadload.on_the_day.replug.first_moves import room_made
from spreadload.on_the_day.replug.relief import HARDLY, aim_for, ease_further, emptied, relieve
from spreadload.on_the_day.replug.shed import Shed, shed
from spreadload.on_the_day.scene.delay import Delay
from spreadload.on_the_day.scene.limit_of import leakage_limit
from spreadload.on_the_day.scene.limits import Carried, Kind, Limit
from spreadload.on_the_day.scene.scene import Scene
from spreadload.on_the_day.scene.steps import Move
from spreadload.on_the_day.trip.bring_back import BringBack, bring_back
from spreadload.on_the_day.trip.causes import (
    NO_HANDLE_DOWN,
    NOT_OF_AMPS_ALONE,
    OF_A_CIRCUIT,
    OF_A_SOCKET,
    OF_EVERYTHING,
    OF_LEAKAGE,
    SAID,
    Cause,
    Opened,
)
from spreadload.on_the_day.trip.clock import Clock
from spreadload.on_the_day.trip.entries import earlier_trips, entry_of, is_certain, with_entry
from spreadload.on_the_day.trip.leaking import Leaking, leaking
from spreadload.on_the_day.trip.learnt import Learnt, learnt
from spreadload.on_the_day.trip.look_again import Doubted, doubted, misfits
from spreadload.on_the_day.trip.one_socket import alone_on_plug
from spreadload.on_the_day.trip.opened import breaker_cause, opened
from spreadload.on_the_day.trip.report import Report
from spreadload.on_the_day.trip.suspects import electronics_off, like_an_arc
from spreadload.on_the_day.trip.unseen import Intruder, delay_on, unseen_load
from spreadload.on_the_day.trip.what_opened import limit_of
from spreadload.on_the_day.trip.words import at
from spreadload.plan import Placement, Plan
from spreadload.units import MILLI
from spreadload.wiring.settling import Dispute, settle


@dataclass(frozen=True)
class TripAnswer:
    """Everything to say after a trip.

    Attributes:
        scene: The house as known with this trip.
        causes: What may have opened, likeliest first.
        is_certain: Whether there is no doubt what opened.
        limit: What opened as something with a limit, or None where it has none.
        carried: What the plan puts on it.
        kept_off: Hard-wired loads on it that the plan has switched off.
        is_second: Whether this device tripped before.
        earlier: Numbers of the log entries that say so.
        delay: What the clock says, if it was read.
        intruder: What must be on it unseen.
        just: What was just switched on, as said.
        move: The smallest re-plug.
        room: Where ours is no reason to trip, the move that makes room for what was found and has
            to stay on.
        further: One more step to leave room for a warm breaker.
        shed: What to leave off where nothing can be moved.
        away: Moves that empty a device that must stay off.
        leaking: What leaks behind an RCD.
        back: How to bring it back.
        entry: The log entry that says it, or None when what opened is not certain.
        learnt: What it proves about the wiring.
        disputes: Earlier entries that this trip contradicts.
        plan_is_broken: Remaining set-ups in which the plan still passes a limit after the move.
        alone: The one unit on the plug whose fuse blew, where it is the only one.
        has_no_handle_down: Whether somebody looked at the board and saw none down.
        doubted: What was found and is hard to believe, worst first.
        misfits: Outlets without any one of which what was found would have a cause.
        number: The number this trip has, or would have, in the log.
        dark: Outlets seen dark.
        lit: Outlets seen lit.
    """

    scene: Scene
    causes: tuple[Opened, ...]
    is_certain: bool = False
    limit: Limit | None = None
    carried: Carried | None = None
    kept_off: tuple[str, ...] = ()
    is_second: bool = False
    earlier: tuple[int, ...] = ()
    delay: Delay | None = None
    intruder: Intruder | None = None
    just: str = ""
    move: Move | None = None
    room: Move | None = None
    further: Move | None = None
    shed: Shed | None = None
    away: tuple[Move, ...] = ()
    leaking: Leaking | None = None
    back: BringBack | None = None
    entry: Observation | None = None
    learnt: Learnt = field(default_factory=Learnt)
    disputes: tuple[Dispute, ...] = ()
    plan_is_broken: tuple[str, ...] = ()
    alone: Placement | None = None
    has_no_handle_down: bool = False
    doubted: tuple[Doubted, ...] = ()
    misfits: tuple[str, ...] = ()
    number: int = 0
    dark: tuple[str, ...] = ()
    lit: tuple[str, ...] = ()

    @property
    def must_stay_on(self) -> tuple[str, ...]:
        """What was agreed to stay on and is, or may be, dark: ``oxygen at B1``."""
        facts, limit = self.scene.facts, self.limit
        lost = [p for p in self.scene.judged.by_setup[self.scene.setup] if self._may_be_dark(p)]
        plugged = {f"{p.load} at {at(facts, p)}": p.load for p in lost}
        wired = () if limit is None else limit.wired(self.scene)
        named = plugged | {group.load.id: group.load.id for group in wired}
        kept = {
            name for name, load in facts.job.loads.items() if load.policy is Policy.MUST_STAY_ON
        }
        return tuple(words for words, load in named.items() if load in kept)

    def _may_be_dark(self, p: Placement) -> bool:
        """Whether a unit is dark with what opened, on any wiring that is not all but ruled out."""
        limit, outlet = self.limit, self.scene.facts.points[p.point].outlet
        is_all = bool(self.causes) and self.causes[0].cause in OF_EVERYTHING
        if is_all or outlet in self.dark or (limit is not None and limit.parts(self.scene, p)):
            return True
        if outlet in self.lit or limit is None:
            return False
        return limit.chance_dead(self.scene, outlet) > HARDLY

    @property
    def may_be_dead(self) -> tuple[str, ...]:
        """Outlets something is moved to that may be behind what has to stay off."""
        limit, facts = self.limit, self.scene.facts
        if limit is None:
            return ()
        to = [facts.points[step.to.point].outlet for move in self.away for step in move.steps]
        return tuple(o for o in dict.fromkeys(to) if limit.chance_dead(self.scene, o) > HARDLY)

    @property
    def suspect(self) -> Placement | None:
        """What is unplugged first, where one of ours may leak or look like an arc."""
        found: tuple[Placement, ...] = ()
        if self.leaking is not None:
            found = self.leaking.suspects
        elif self.limit is not None and self.causes[0].cause is Cause.ARC_FAULT:
            found = like_an_arc(self.scene, self.limit, self.just)
        return found[0] if found else None

    @property
    def stranded(self) -> tuple[Placement, ...]:
        """What stays dark with what has to stay off, as nothing else takes it."""
        if self.limit is None or not self.is_second:
            return ()
        moved = [step.unit for move in self.away for step in move.steps]
        return tuple(p for p in self.limit.on(self.scene) if p not in moved)

    @property
    def plan(self) -> Plan:
        """The plan after the move."""
        if self.away:
            return self.away[-1].plan
        return self.scene.plan if self.move is None else self.move.plan

    @property
    def circuit(self) -> str | None:
        """The dead circuit, or None when it is no single one."""
        is_one = self.limit is not None and self.limit.kind is Kind.CIRCUIT
        return self.limit.id if self.limit is not None and is_one else None

    @property
    def planned_a(self) -> float:
        """What the plan puts on it as it counts against its limit [A]; 0 where that is no amps."""
        if self.limit is None or self.carried is None or not self.limit.is_amps:
            return 0.0
        return self.carried.counted / MILLI

    @property
    def used_pct(self) -> int | None:
        """In per cent of its limit, or None."""
        return None if self.carried is None else self.carried.used_pct

    @property
    def is_over(self) -> bool:
        """Whether the plan itself puts more on it than it may carry."""
        return self.carried is not None and not self.carried.is_within

    @property
    def is_at_once(self) -> bool:
        """Whether it opened the moment something was switched on."""
        return self.delay is not None and self.delay.says_nothing

    @property
    def is_of_what_was_switched_on(self) -> bool:
        """Whether what was just switched on opened it, and no load that the plan puts there."""
        is_of_amps = self.limit is not None and self.limit.is_amps
        return is_of_amps and self.is_at_once and not self.is_over

    @property
    def is_wired_only(self) -> bool:
        """Whether it is a way that feeds no outlet: what the house has wired to it opened it."""
        return self.circuit is not None and self.circuit not in self.scene.maps.circuits

    @property
    def is_ours(self) -> bool:
        """Whether the load that the plan puts on it is reason enough."""
        return self.carried is not None and aim_for(self.scene, self.carried) is not None


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
    causes = _causes(before, report)
    has_no_handle_down = report.device == NO_HANDLE_DOWN
    if not causes:
        odd = () if report.device else misfits(before, report.seen, report.after_s)
        return TripAnswer(
            before,
            (),
            has_no_handle_down=has_no_handle_down,
            misfits=odd,
            dark=report.seen.dark,
            lit=report.seen.lit,
        )
    top = causes[0]
    entry = entry_of(before, top, report)
    settled = settle(job, with_entry(log, entry))
    if settled.disputes:
        scene = Scene.of(settled.job, settled.log, plan, setup)
    else:
        scene = before.knowing(job, with_entry(log, entry))
    if top.cause in OF_A_CIRCUIT:
        scene = scene.weighed(Clock(scene, report.after_s).explains(top.device))
    certain = is_certain(top, report, job, log)
    earlier = earlier_trips(log, entry)
    answer = TripAnswer(
        scene=scene,
        causes=causes,
        is_certain=certain,
        just=report.just,
        entry=entry if certain else None,
        earlier=earlier,
        is_second=bool(earlier) and certain,
        learnt=learnt(before, job, log, entry) if certain and entry else Learnt(),
        disputes=settled.disputes if certain else (),
        has_no_handle_down=has_no_handle_down,
        doubted=doubted(before, entry) if certain and entry else (),
        number=len(log.observations) + 1,
        dark=report.seen.dark,
        lit=report.seen.lit,
    )
    return _with_remedy(answer, top, report)


def _causes(scene: Scene, report: Report) -> tuple[Opened, ...]:
    causes = opened(scene, report.seen, report.device, report.after_s)
    if causes or report.device is None:
        return causes
    # What was seen contradicts what is known; the handle is still down.
    device, job = report.device, scene.facts.job
    if device in job.circuits:
        return (Opened(breaker_cause(scene, device), device, 1.0),)
    if device in job.rcds:
        is_outlet = job.rcds[device].kind is RcdKind.GFCI
        return (Opened(Cause.GFCI if is_outlet else Cause.RCD, device, 1.0),)
    if device in scene.facts.feeds:
        return (Opened(Cause.FEED, device, 1.0),)
    at_socket = SAID.get(device, frozenset()) <= OF_A_SOCKET
    where = report.seen.dark[0] if at_socket and report.seen.dark else ""
    named = SAID.get(device, frozenset())
    return (Opened(min(named), where, 1.0),) if len(named) == 1 and (where or not at_socket) else ()


def _with_remedy(answer: TripAnswer, top: Opened, report: Report) -> TripAnswer:
    limit = limit_of(answer.scene, top, report.seen)
    if limit is None:
        is_fuse = top.cause is Cause.PLUG_FUSE
        alone = alone_on_plug(answer.scene, report.seen) if is_fuse else None
        return replace(answer, back=bring_back(answer.scene, None), alone=alone)
    answer = replace(
        answer,
        limit=limit,
        carried=limit.now(answer.scene),
        kept_off=limit.kept_off(answer.scene),
        back=bring_back(answer.scene, limit),
    )
    avoid = frozenset(report.seen.dark) if limit.kind is not Kind.SOCKET else frozenset()
    if answer.is_second:
        return replace(answer, away=emptied(answer.scene, limit, avoid))
    if answer.is_wired_only:
        return answer
    answer = replace(answer, leaking=_leakage(answer.scene, limit, top, report))
    if (suspect := answer.suspect) is not None:
        # What leaks shows when it is added; what looks like an arc would only open it once more.
        is_arc = top.cause is Cause.ARC_FAULT
        back = bring_back(answer.scene, limit, lambda p: is_arc and p == suspect, last=suspect)
        answer = replace(answer, back=back)
    delay = delay_on(answer.scene, limit, report.after_s)
    intruder = unseen_load(answer.scene, limit, report.just, delay)
    answer = replace(answer, delay=delay, intruder=intruder)
    if answer.is_of_what_was_switched_on:
        # Less on it would have opened as well: nothing moves, and what opened it stays off.
        return replace(answer, back=bring_back(answer.scene, limit, _is_of(report.just)))
    if intruder is not None and intruder.is_beyond_plugs:
        answer = replace(answer, back=bring_back(answer.scene, limit, _is_of(report.just)))
    return _with_move(answer, limit, top, avoid)


def _is_of(load: str) -> Callable[[Placement], bool]:
    """Return whether a unit is of a load, as a question."""
    return lambda p: p.load == load


def _leakage(scene: Scene, limit: Limit, top: Opened, report: Report) -> Leaking | None:
    """Return what leaks behind what opened, where leakage may be why."""
    if top.cause in OF_LEAKAGE:
        return leaking(scene, limit, report.seen.just)
    rcd = scene.facts.job.circuits[top.device].rcd if top.cause is Cause.RCBO else None
    return None if rcd is None else leaking(scene, leakage_limit(scene, rcd), report.seen.just)


def _with_move(answer: TripAnswer, limit: Limit, top: Opened, avoid: frozenset[str]) -> TripAnswer:
    scene, carried = answer.scene, answer.carried
    aim = None if carried is None else aim_for(scene, carried)
    # Neither leakage nor a contract warms anything: what is within its limit did not open it.
    is_contract = limit.kind is Kind.PHASE and scene.facts.supply.is_contract
    is_cold = limit.kind is Kind.LEAKAGE or top.cause is Cause.METER or is_contract
    if is_cold and carried is not None and carried.is_within:
        aim = None
    if aim is None:
        is_arc = top.cause is Cause.ARC_FAULT
        move = electronics_off(scene, limit, avoid) if is_arc else None
        if move is None:
            return replace(answer, room=_room(answer, limit, avoid))
        return _moved(answer, move, avoid)
    move = None if limit.kind is Kind.CONTRACT else relieve(scene, limit, aim, avoid=avoid)
    if move is None:
        off = shed(scene, limit, aim)
        if off.is_nothing:
            return answer
        return replace(answer, shed=off, back=bring_back(scene, limit, off.leaves_off))
    return _moved(answer, move, avoid)


def _room(answer: TripAnswer, limit: Limit, avoid: frozenset[str]) -> Move | None:
    """Return the move that makes room on a circuit for what is found on it, if it is enough."""
    is_of_amps = limit.kind is Kind.CIRCUIT and answer.causes[0].cause not in NOT_OF_AMPS_ALONE
    if not is_of_amps or not limit.on(answer.scene):
        return None
    move = room_made(answer.scene, limit, avoid)
    if move is None or answer.intruder is None:
        return move
    left_a = (move.after.cap - move.after.counted) / MILLI
    return move if answer.intruder.low_a <= left_a else None


def _moved(answer: TripAnswer, move: Move, avoid: frozenset[str]) -> TripAnswer:
    scene = answer.scene
    violations = scene.judge.violations(move.plan, scene.likely)
    broken = {v.setup for v in violations}
    return replace(
        answer,
        move=move,
        further=ease_further(scene, move, avoid),
        back=bring_back(scene.with_plan(move.plan), move.limit),
        plan_is_broken=tuple(s for s in scene.remaining if s in broken),
    )
