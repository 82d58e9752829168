"""“May I plug this in here?”: yes, no but there, only if something is off, or no.

The judge decides: the load is put into the plan and every rule is held against it again, in each
set-up it would be on. Never imports the solver, so that an answer comes at once.
"""

from collections.abc import Iterable, Iterator
from functools import cached_property
from itertools import islice
from typing import TYPE_CHECKING

from spreadload.changes.edits import without_heads, without_load
from spreadload.check import Judge
from spreadload.check.limits import contract_taken
from spreadload.derived.facts import Facts
from spreadload.derived.records import Point
from spreadload.explain.names import circuit_name
from spreadload.job.job import Job
from spreadload.job.site import Permission
from spreadload.on_the_day.ask.one_more import (
    free_name,
    ways_in,
    with_load,
    with_one_more,
    worse,
)
from spreadload.on_the_day.ask.question import ANYWHERE, Question
from spreadload.on_the_day.ask.reply import OnlyIf, Reply, Says, Spot
from spreadload.on_the_day.ask.room_left import Carries, Link, links
from spreadload.plan import Placement, Plan, Verdict
from spreadload.units import MILLI, tenths_down
from spreadload.words import in_setup

if TYPE_CHECKING:
    from spreadload.on_the_day.ask.ways import Ways

_OTHERS = 3
_TRIALS = 12


def ask(job: Job, plan: Plan, question: Question, ways: "Ways | None" = None) -> Reply:
    """Answer one question against a plan.

    Args:
        job: The job the plan is for.
        plan: The plan in force.
        question: What somebody wants to plug in, where and when.
        ways: The wirings still possible. Without them a load at an outlet of unknown circuit counts
            on every circuit it might be on; with them ``job`` is as likely as not, and what is
            likely may not make the house trip on many more of them.
    """
    asking = _Asking(job, plan, question, ways)
    return asking.yes() or asking.no()


def plain_yes(job: Job, plan: Plan, question: Question) -> Reply | None:
    """Return the answer if it is yes whatever the wiring, without looking for what else may be."""
    return _Asking(job, plan, question, None).yes()


class _Asking:
    def __init__(self, job: Job, plan: Plan, question: Question, ways: "Ways | None") -> None:
        self._job, self._plan, self._question, self._wirings = job, plan, question, ways
        self.name = free_name(job)
        self.facts = Facts.of(with_load(job, self.name, question))
        self._taken: dict[tuple[str, str], bool] = {}
        self._parts = {s: plan.only({s}) for s in question.setups}
        self._judges = {s: Judge(self.facts.only([s])) for s in question.setups}
        base = Facts.of(job)
        as_is = {s: Judge(base.only([s])) for s in question.setups}
        verdicts = {s: judge.judge(self._parts[s]) for s, judge in as_is.items()}
        self._before = {s: verdict.violations for s, verdict in verdicts.items()}
        self._states = {s: judge.states(self._parts[s])[0] for s, judge in as_is.items()}
        self._carries = {
            s: Carries.of(self.facts, v, self._parts[s].placements) for s, v in verdicts.items()
        }

    def yes(self) -> Reply | None:
        """Return the answer if the load may be where it was asked for."""
        spot = next(self.spots(self._ordered, wanted=1), None)
        return None if spot is None else self.reply(Says.YES, spot)

    @property
    def _ordered(self) -> list[str]:
        """Return the points asked for, last resorts last."""
        points = self._question.points
        return sorted(points, key=lambda p: (self.facts.points[p].is_last_resort, p))

    def no(self) -> Reply:
        """Return what may be instead: another place, or something else off."""
        others: tuple[Spot, ...] = ()
        if self._question.where.casefold() != ANYWHERE:
            others = tuple(self.spots(self.nearest(), wanted=_OTHERS))
        only_if = self.only_if()
        says = Says.ELSEWHERE if others else Says.ONLY_IF if only_if else Says.NO
        return self.reply(says, None, others, only_if)

    def reply(
        self,
        says: Says,
        spot: Spot | None,
        others: tuple[Spot, ...] = (),
        only_if: tuple[OnlyIf, ...] = (),
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
            was_broken=any(self._before.values()),
            tripped=self._wirings.before if self._wirings else None,
            unless_heat_ma=self._unless_heat_ma(spot or next(iter(others), None)),
        )

    def _unless_heat_ma(self, spot: Spot | None) -> int | None:
        """Return what one plug may take where this one goes only because it is taken for heat."""
        if (
            spot is None
            or self._question.is_stated
            or not self.facts.loads[self.name].may_fill_socket
        ):
            return None
        point = self.facts.points[spot.point]
        needs_ma = self.facts.unit_ma(self.name, point.poles)
        return point.socket_ma if needs_ma > point.socket_ma else None

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
            at = self._job.outlets[point.outlet].at_in_m
            known = [a for p in asked if (a := self._job.outlets[p.outlet].at_in_m) is not None]
            away = [abs(at[0] - x) + abs(at[1] - y) for x, y in known] if at else []
            return point.is_last_resort, point.room not in rooms, min(away, default=0.0), point.id

        others = [p for p in self.facts.points.values() if p.id not in self._question.points]
        return [point.id for point in sorted(others, key=far)]

    def only_if(self) -> tuple[OnlyIf, ...]:
        """Return loads of which any one off would make it fine as asked, easiest first."""
        failing = self._failing
        tried = (self._without(each, failing) for each in self._could_be_off(failing)[:_TRIALS])
        return tuple(islice(filter(None, tried), _OTHERS))

    def _is_likely_off_limits(self, point: Point) -> bool:
        return self._wirings is not None and self._wirings.is_likely_off_limits(point)

    def _spot(self, point: Point) -> Spot | None:
        if self._is_likely_off_limits(point):
            return None
        trips = self._trips(point)
        if trips is not None and self._wirings is not None and not self._wirings.is_little(trips):
            return None
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
        return Spot(point.id, ways[0][0], tightest, chain, also, min(seen, default=None), trips)

    def _trips(self, point: Point, without: tuple[str, ...] = ()) -> float | None:
        """Return how often the house would trip with the load at a point, where that is open."""
        if self._wirings is None:
            return None
        return self._wirings.after(self.facts, self.name, point, without)

    def _also(self, point: Point) -> Iterator[str]:
        """Yield what may be off limits, and the leakage and watts left where they are least."""
        facts = self.facts
        for circuit in sorted(point.exposure.might_be_on):
            is_barred = self._job.circuits[circuit].use is Permission.OFF_LIMITS
            if is_barred and not point.is_proven:
                yield (
                    f"{point.outlet} may be on {circuit_name(facts, circuit)}, which is off "
                    "limits: find out before anything goes in"
                )
        for rcd in sorted(point.exposure.rcds):
            left_ua = min(
                facts.rcds[rcd].may_trip_ua - state.leakage_ua(rcd)
                for state in self._states.values()
            )
            own_ma = facts.loads[self.name].leakage_ua / MILLI
            left_ma = tenths_down(max(left_ua, 0) / MILLI)
            yield f"RCD {rcd} has {left_ma} mA of leakage left; this adds {own_ma:.1f} mA"
        contract = facts.supply.contract
        if contract is not None:
            taken = max(contract_taken(state) for state in self._states.values())
            yield f"the supply contract has {contract.left_shown(taken)} left"

    def _chain(self, point: Point) -> tuple[Link, ...]:
        """Return every limit where it is tightest over the set-ups asked about."""
        tightest: dict[str, Link] = {}
        for setup in self._question.setups:
            carries, factor = self._carries[setup], self._factor(setup)
            for link in links(carries, point, setup, self.name, factor):
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
            plan = with_one_more(self._parts[setup], placement)
            if not worse(self._before[setup], self._judges[setup].violations(plan)):
                return how, self._judges[setup].judge(plan)
        return None

    def _ways(self, point: Point, setup: str) -> Iterator[tuple[str, Placement]]:
        yield from ways_in(self.facts, self._carries[setup].plugged[setup], point, setup, self.name)

    @cached_property
    def _failing(self) -> tuple[str, ...]:
        """Return the set-ups in which no point asked for takes the load."""
        setups = self._question.setups
        none = (s for s in setups if not any(self._takes(p, s) for p in self._question.points))
        return tuple(none) or setups

    def _reasons(self) -> Iterator[str]:
        """Yield the limits passed at the first point asked for, once each."""
        told: dict[str, None] = {}
        for setup in self._failing:
            for point_id in self._question.points:
                point = self.facts.points[point_id]
                if self._is_likely_off_limits(point):
                    told[f"{point_id} is most likely on a circuit that is off limits"] = None
                    continue
                ways = list(self._ways(point, setup))
                if not ways:
                    told[f"{point_id} has no socket free{in_setup(setup)}"] = None
                for _, placement in ways[:1]:
                    plan = with_one_more(self._parts[setup], placement)
                    after = self._judges[setup].violations(plan)
                    told |= dict.fromkeys(v.text for v in worse(self._before[setup], after))
                if len(told) >= _OTHERS:
                    break
        if not told and self._wirings is not None:
            at = self.facts.points[self._question.points[0]]
            told[self._wirings.in_words(self._wirings.after(self.facts, self.name, at), at)] = None
        yield from list(told)[:_OTHERS]

    def _could_be_off(self, failing: tuple[str, ...]) -> list[str]:
        """Return what is on in every failing set-up: departments first, then the least heads."""
        # Another of the same kind off in place of this one would be no answer.
        own = {self.name, self._question.words}
        on = [{d.load for d in self.facts.demands[s]} - own for s in failing]
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

    def _without(self, load_id: str, failing: tuple[str, ...]) -> OnlyIf | None:
        """Return where the load may be with another off in the failing set-ups, or None."""
        job = with_load(self._job, self.name, self._question)
        for setup in failing:
            edit = without_heads if load_id in job.heads else without_load
            job = edit(job, setup, load_id)
        facts = Facts.of(job)
        judges = {s: Judge(facts.only([s])) for s in failing}
        left = {s: _left(self._parts[s], load_id) for s in failing}

        def is_fine(setup: str, point_id: str) -> bool:
            if setup not in failing:
                return self._takes(point_id, setup)
            plugged, point = left[setup].placements, facts.points[point_id]
            return any(
                not worse(
                    self._before[setup],
                    judges[setup].violations(with_one_more(left[setup], placement)),
                )
                for _, placement in ways_in(facts, plugged, point, setup, self.name)
            )

        for point_id in self._ordered:
            if self._is_likely_fine(point_id, load_id) and all(
                is_fine(setup, point_id) for setup in self._question.setups
            ):
                return OnlyIf(load_id, failing, point_id)
        return None

    def _is_likely_fine(self, point_id: str, load_id: str) -> bool:
        """Whether a point is worth a look, as the wiring most likely is, with another load off."""
        point = self.facts.points[point_id]
        if self._wirings is None:
            return True
        if self._is_likely_off_limits(point):
            return False
        return self._wirings.is_little(
            self._wirings.after(self.facts, self.name, point, (load_id,))
        )

    def _takes(self, point_id: str, setup: str) -> bool:
        """Whether a point takes the load in one set-up, with everything else as it is."""
        if (point_id, setup) not in self._taken:
            way = self._way_in(self.facts.points[point_id], setup)
            self._taken[point_id, setup] = way is not None
        return self._taken[point_id, setup]


def _left(part: Plan, load_id: str) -> Plan:
    """Return a plan without a load."""
    return part.model_copy(
        update={
            "placements": tuple(p for p in part.placements if p.load != load_id),
            "left_out": tuple(p for p in part.left_out if p.load != load_id),
            "switched_off": tuple(p for p in part.switched_off if p.load != load_id),
        }
    )
