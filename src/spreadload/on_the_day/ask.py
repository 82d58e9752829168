"""“May I plug this in here?”: yes, no but there, only if something is off, or no.

The judge decides: the load is put into the plan and every rule is held against it again, in each
set-up it would be on. Never imports the solver, so that an answer comes at once.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum

from spreadload.changes.edits import without_heads, without_load
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.derived.records import Point
from spreadload.job.job import Job
from spreadload.on_the_day.question import ANYWHERE, Question
from spreadload.on_the_day.room_left import Carries, Link, links
from spreadload.plan import Placement, Plan, Verdict, Violation
from spreadload.units import MILLI, shown_capacity_amps

_OTHERS = 3
_TRIALS = 12
_NOISE = 1e-9


class Says(StrEnum):
    """The kinds of answer."""

    YES = "yes"
    ELSEWHERE = "no, but there"
    ONLY_IF = "only if"
    NO = "no"


@dataclass(frozen=True)
class Spot:
    """A point where the load may be plugged in for the whole time asked about.

    Attributes:
        how: Straight in, on a power board there, or on one to be brought.
        tightest: The limit with the least room left, over all set-ups asked about.
        chain: Every limit on amps from socket to street, each where it is tightest.
        also: What is left of limits that are not in amps, in words.
        lowest_v: Lowest volts any unit has then, or None where nothing tells.
    """

    point: str
    how: str
    tightest: Link
    chain: tuple[Link, ...]
    also: tuple[str, ...] = ()
    lowest_v: float | None = None


@dataclass(frozen=True)
class Reply:
    """The answer.

    Attributes:
        spot: Where it goes in, as asked; None unless the answer is yes.
        others: Other places where it would be fine, nearest first.
        only_if: Loads of which any one, off in the set-ups named, would make it fine as asked.
        reasons: Which limits it would pass as asked, the first few.
        needs_a: Amps the load draws [A].
        was_broken: Whether the plan passes a limit even without it.
    """

    says: Says
    question: Question
    spot: Spot | None
    others: tuple[Spot, ...]
    only_if: tuple[tuple[str, tuple[str, ...]], ...]
    reasons: tuple[str, ...]
    needs_a: float
    was_broken: bool


def ask(job: Job, plan: Plan, question: Question) -> Reply:
    """Answer one question against a plan.

    Args:
        job: The job the plan is for.
        plan: The plan in force.
        question: What somebody wants to plug in, where and when.
    """
    asking = _Asking(job, plan, question)
    ordered = sorted(question.points, key=lambda p: (asking.facts.points[p].is_last_resort, p))
    spots = list(asking.spots(ordered, wanted=1))
    if spots:
        return asking.reply(Says.YES, spots[0])
    others: tuple[Spot, ...] = ()
    if question.where.casefold() != ANYWHERE:
        others = tuple(asking.spots(asking.nearest(), wanted=_OTHERS))
    only_if = asking.only_if()
    says = Says.ELSEWHERE if others else Says.ONLY_IF if only_if else Says.NO
    return asking.reply(says, None, others, only_if)


class _Asking:
    def __init__(self, job: Job, plan: Plan, question: Question) -> None:
        self._job, self._plan, self._question = job, plan, question
        self.name = _free_name(job)
        self.facts = Facts.of(with_load(job, self.name, question))
        self._parts = {s: _part(plan, s) for s in question.setups}
        self._judges = {s: Judge(self.facts.only([s])) for s in question.setups}
        base = Facts.of(job)
        self._before = {s: Judge(base.only([s])).judge(self._parts[s]) for s in question.setups}
        self._states = {s: Judge(base.only([s])).states(self._parts[s])[0] for s in question.setups}
        self._carries = {
            s: Carries.of(base, v, self._parts[s].placements) for s, v in self._before.items()
        }

    def reply(
        self,
        says: Says,
        spot: Spot | None,
        others: tuple[Spot, ...] = (),
        only_if: tuple[tuple[str, tuple[str, ...]], ...] = (),
    ) -> Reply:
        """Return the answer with what it rests on."""
        return Reply(
            says=says,
            question=self._question,
            spot=spot,
            others=others,
            only_if=only_if,
            reasons=() if spot else tuple(self._reasons()),
            needs_a=self.facts.loads[self.name]
            .draw.current_a(1, self.facts.supply.planning_v, self.facts.supply.line_to_line_v)
            .worst,
            was_broken=any(not v.holds for v in self._before.values()),
        )

    def spots(self, points: Iterable[str], *, wanted: int) -> Iterator[Spot]:
        """Yield points where the load may be in every set-up asked about."""
        for point_id in points:
            spot = self._spot(self.facts.points[point_id])
            if spot is not None:
                yield spot
                wanted -= 1
                if not wanted:
                    return

    def nearest(self) -> list[str]:
        """Return every other point, the nearest to what was asked for first."""
        asked = [self.facts.points[p] for p in self._question.points]
        rooms = {p.room for p in asked}

        def far(point: Point) -> tuple[bool, bool, float, str]:
            at = self._job.outlets[point.outlet].at
            known = [a for p in asked if (a := self._job.outlets[p.outlet].at) is not None]
            away = [abs(at[0] - x) + abs(at[1] - y) for x, y in known] if at else []
            return point.is_last_resort, point.room not in rooms, min(away, default=0.0), point.id

        others = [p for p in self.facts.points.values() if p.id not in self._question.points]
        return [point.id for point in sorted(others, key=far)]

    def only_if(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """Return loads of which any one off would make it fine as asked, easiest first."""
        failing = self._failing()
        found: dict[str, tuple[str, ...]] = {}
        for load_id in self._could_be_off(failing)[:_TRIALS]:
            if self._holds_without(load_id, failing):
                found[load_id] = failing
            if len(found) == _OTHERS:
                break
        return tuple(found.items())

    def _spot(self, point: Point) -> Spot | None:
        ways: list[tuple[str, Verdict]] = []
        for setup in self._question.setups:
            way = self._way_in(point, setup)
            if way is None:
                return None
            ways.append(way)
        chain = self._chain(point)
        tightest = min(chain, key=lambda link: link.room_ma)
        seen = [u.volts for _, verdict in ways for v in verdict.volts for u in v.units]
        also = tuple(self._also(point))
        return Spot(point.id, ways[0][0], tightest, chain, also, min(seen, default=None))

    def _also(self, point: Point) -> Iterator[str]:
        """Yield the standing leakage and the watts left, where they are least."""
        facts = self.facts
        for rcd in sorted(point.exposure.rcds):
            left_ua = min(
                facts.rcds[rcd].may_trip_ua - state.leakage_ua(rcd)
                for state in self._states.values()
            )
            own_ma = facts.loads[self.name].leakage_ua / MILLI
            left_ma = shown_capacity_amps(max(left_ua, 0) / MILLI)
            yield f"RCD {rcd} has {left_ma} mA of leakage left; this adds {own_ma:.1f} mA"
        contract_w = facts.supply.contract_w
        if contract_w is not None:
            on_w = max(
                sum(u.load.power_w for u in state.plugged)
                + sum(w.load.power_w * w.count for w in state.wired)
                for state in self._states.values()
            )
            yield f"the supply contract has {max(contract_w - on_w, 0)} W left"

    def _chain(self, point: Point) -> tuple[Link, ...]:
        """Return every limit where it is tightest over the set-ups asked about."""
        tightest: dict[str, Link] = {}
        for setup in self._question.setups:
            for link in links(self._carries[setup], point, setup, self._factor(setup)):
                known = tightest.get(link.name)
                if known is None or link.room_ma < known.room_ma:
                    tightest[link.name] = link
        return tuple(tightest.values())

    def _factor(self, setup: str) -> float:
        is_long = (setup, self.name) in self.facts.continuous
        return self.facts.continuous_factor if is_long else 1.0

    def _way_in(self, point: Point, setup: str) -> tuple[str, Verdict] | None:
        """Return how the load gets into a point, with what the judge then says, or None."""
        for how, placement in self._ways(point, setup):
            after = self._judges[setup].judge(_with(self._parts[setup], placement))
            if not worse(self._before[setup], after):
                return how, after
        return None

    def _ways(self, point: Point, setup: str) -> Iterator[tuple[str, Placement]]:
        yield from ways_in(self.facts, self._carries[setup].plugged[setup], point, setup, self.name)

    def _failing(self) -> tuple[str, ...]:
        """Return the set-ups in which no point asked for takes the load."""
        points = [self.facts.points[p] for p in self._question.points]
        return (
            tuple(
                s for s in self._question.setups if all(self._way_in(p, s) is None for p in points)
            )
            or self._question.setups
        )

    def _reasons(self) -> Iterator[str]:
        """Yield the limits passed at the first point asked for, once each."""
        told: dict[str, None] = {}
        for setup in self._failing():
            for point_id in self._question.points:
                point = self.facts.points[point_id]
                ways = list(self._ways(point, setup))
                if not ways:
                    told[f"{point_id} has no socket free in {setup}"] = None
                for _, placement in ways[:1]:
                    after = self._judges[setup].judge(_with(self._parts[setup], placement))
                    told |= dict.fromkeys(v.text for v in worse(self._before[setup], after))
                if len(told) >= _OTHERS:
                    break
        yield from list(told)[:_OTHERS]

    def _could_be_off(self, failing: tuple[str, ...]) -> list[str]:
        """Return what is on in every failing set-up: departments first, then the least heads."""
        on = [{d.load for d in self.facts.demands[s]} - {self.name} for s in failing]
        everywhere = set.intersection(*on) if on else set()
        job = self._job

        def ease(load_id: str) -> tuple[int, int, str]:
            if load_id in job.heads:
                return 2, -job.heads[load_id].priority, load_id
            stated = self.facts.load_stated(load_id)
            brief = stated is not None and stated.intermittent
            return (0 if brief else 1), self.facts.unit_ma(load_id, 1), load_id

        movable = [x for x in everywhere if x in job.heads or x in job.departments]
        return sorted(movable, key=ease)

    def _holds_without(self, load_id: str, failing: tuple[str, ...]) -> bool:
        job = with_load(self._job, self.name, self._question)
        for setup in failing:
            edit = without_heads if load_id in job.heads else without_load
            job = edit(job, setup, load_id)
        facts = Facts.of(job)
        for setup in failing:
            part = self._parts[setup]
            left = part.model_copy(
                update={
                    "placements": tuple(p for p in part.placements if p.load != load_id),
                    "left_out": tuple(p for p in part.left_out if p.load != load_id),
                    "switched_off": tuple(p for p in part.switched_off if p.load != load_id),
                }
            )
            judge = Judge(facts.only([setup]))
            fine = (
                not worse(self._before[setup], judge.judge(_with(left, placement)))
                for point_id in self._question.points
                for _, placement in ways_in(
                    facts, left.placements, facts.points[point_id], setup, self.name
                )
            )
            if not any(fine):
                return False
        return True


def with_load(job: Job, name: str, question: Question) -> Job:
    """Return the job with what is asked about on in the set-ups asked about."""
    setups = []
    for setup in job.setups:
        named = setup.on if isinstance(setup.on, dict) else dict.fromkeys(setup.on, 0)
        loads = job.departments | job.house
        on = {load: count or loads[load].count for load, count in named.items()}
        if setup.id in question.setups:
            on[name] = 1
        setups.append(setup.model_copy(update={"on": on}))
    departments = job.departments | {name: question.load}
    return job.model_copy(update={"departments": departments, "setups": tuple(setups)})


def ways_in(
    facts: Facts, plugged: tuple[Placement, ...], point: Point, setup: str, name: str
) -> Iterator[tuple[str, Placement]]:
    """Yield every way of plugging one more unit into a point: straight, or through a power board.

    Sockets that are alike are tried once; what is plugged in already stays where it is.
    """
    sockets: dict[int, list[Placement]] = defaultdict(list)
    for placement in plugged:
        if placement.point == point.id:
            sockets[placement.socket].append(placement)
    free = next((n for n in range(1, point.sockets + 1) if n not in sockets), None)
    if free is not None:
        yield "straight in", Placement(setup=setup, load=name, unit=1, point=point.id, socket=free)
    for socket, there in sorted(sockets.items()):
        board = there[0].board
        if board is not None and there[0].board_lead is None:
            yield (
                "on the power board there",
                Placement(
                    setup=setup, load=name, unit=1, point=point.id, socket=socket, board=board
                ),
            )
    if free is not None:
        for kind in facts.boards:
            yield (
                f"on a {kind.name} of yours",
                Placement(
                    setup=setup, load=name, unit=1, point=point.id, socket=free, board=kind.index
                ),
            )


def worse(before: Verdict, after: Verdict) -> list[Violation]:
    """Return the limits passed that were not passed before, or not as far."""
    was = {(v.rule, v.where): v.value for v in before.violations}
    return [v for v in after.violations if v.value > was.get((v.rule, v.where), -1.0) + _NOISE]


def _free_name(job: Job) -> str:
    name = "the new plug"
    while name in {*job.heads, *job.departments, *job.house, *job.stock}:
        name += "'"
    return name


def _part(plan: Plan, setup: str) -> Plan:
    return Plan(
        placements=tuple(p for p in plan.placements if p.setup == setup),
        left_out=tuple(p for p in plan.left_out if p.setup == setup),
        switched_off=tuple(p for p in plan.switched_off if p.setup == setup),
    )


def _with(plan: Plan, placement: Placement) -> Plan:
    return plan.model_copy(update={"placements": (*plan.placements, placement)})
