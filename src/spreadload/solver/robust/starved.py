"""A plan that runs short of volts on fewer wirings than the one in hand.

The search knows amps only. Wirings on which its plan starves a head teach the model bounds, as a
refusal by the judge does where the wiring is known, and it plans again; the plan that fails on
fewest wirings, amps and volts together, is kept and then made the best of.
"""

from typing import TYPE_CHECKING, NamedTuple

from spreadload.job.preferences import Goal
from spreadload.plan import Plan, Verdict
from spreadload.solver.engine.limits import Clock
from spreadload.solver.model.request import Request, Wish
from spreadload.solver.robust.hold import Hold
from spreadload.solver.robust.model import Bounded, as_counts
from spreadload.solver.robust.risk_table import RiskTable
from spreadload.solver.robust.volts_risk import ShortWay, VoltsRisk, volts_risk
from spreadload.solver.search.ranked_plans import find_one
from spreadload.solver.staged.calls import Split
from spreadload.solver.volts.cuts import Cuts

if TYPE_CHECKING:
    from spreadload.solver.robust.least_risk import Robust

_HELD = (1.0, 0.7, 0.0)
_TURNS = 2
_TAUGHT = 3
_PLAN_SHARE = 0.2
# What is kept back for the plans unlike the best one and for measuring each.
_LEFT_SHARE = 0.2
_LITTLE = 0.005
_WORSE = 0.01
_ANY_GOALS = (Goal.KEEP_HEADS, Goal.KEEP_HOUSE_ON)


class Tried(NamedTuple):
    """A plan and on how many wirings it fails.

    Attributes:
        plan: The plan with its verdict.
        hold: The wirings it was made to survive in amps.
        wishes: What wirings taught it about volts.
        share: Weight of the fitted wirings on which it fails.
        volts: What of it is volts.
    """

    plan: tuple[Plan, Verdict]
    hold: Hold
    wishes: tuple[Wish, ...]
    share: float
    volts: VoltsRisk


def plan_for_volts(robust: "Robust", table: RiskTable, best: Bounded, clock: Clock) -> Tried | None:
    """Return the plan found that fails on fewest wirings, volts counted, or None.

    Args:
        robust: The search.
        table: The fitted wirings.
        best: The plan of least risk in amps, as counts.
        clock: Time left.
    """
    search = _Search(robust, table, clock)
    least = search.planned(best.counts, (search.hold(best, 1.0), ()), _ANY_GOALS)
    if least is None:
        return None
    for share in _HELD:
        if least.volts.share <= _LITTLE:
            break
        for tried in search.turns(least, search.hold(best, share)):
            least = min(least, tried, key=lambda each: each.share)
    return search.improved(least)


class _Search:
    """Plans again and again within what wirings taught."""

    def __init__(self, robust: "Robust", table: RiskTable, clock: Clock) -> None:
        self._robust = robust
        self._table = table
        self._apart = wirings_apart(robust)
        self._clock = clock
        self._taught: list[tuple[Wish, ...]] = []

    def hold(self, best: Bounded, share: float) -> Hold:
        """Return what holds so much of the wirings that a plan survives in amps."""
        hold = Hold.of(self._table, best, self._robust.options, share)
        hold.take_all()
        return hold

    def turns(self, least: Tried, hold: Hold) -> list[Tried]:
        """Return the plans found one after the other, each taught by the one before."""
        found: list[Tried] = []
        last = least
        for _ in range(_TURNS):
            again = self._taught_by(last, hold) if last.volts.share > _LITTLE else None
            if again is None:
                break
            found.append(again)
            last = again
        return found

    def improved(self, least: Tried) -> Tried:
        """Return a plan best by the other goals that fails on hardly more wirings."""
        last = least
        for _ in range(_TURNS):
            whole = self.planned(self._counts(last), (last.hold, last.wishes), ())
            if whole is None:
                break
            if whole.share <= least.share + _WORSE:
                return whole
            more = [wish for lesson in self._lessons(whole)[:1] for wish in lesson]
            last = whole._replace(wishes=(*whole.wishes, *more))
        return least

    def _taught_by(self, last: Tried, hold: Hold) -> Tried | None:
        """Return a plan within what the likeliest ways to run short teach, as many as can hold."""
        lessons = self._lessons(last)
        for count in dict.fromkeys((len(lessons), min(len(lessons), 1))):
            taught = [*self._taught, *lessons[:count]]
            wishes = tuple(wish for lesson in taught for wish in lesson)
            counts = self._counts(last)
            again = self.planned(counts, (hold, wishes), _ANY_GOALS) if count else None
            if again is not None:
                self._taught = taught
                return again
        return None

    def planned(
        self, start: Split, bounds: tuple[Hold, tuple[Wish, ...]], goals: tuple[Goal, ...]
    ) -> Tried | None:
        """Return a plan within some bounds, or None where none is found in the time."""
        robust = self._robust
        limit_s = robust.config.time_limit_s
        if min(self._clock.left_s, self._clock.work_left_s) < _LEFT_SHARE * limit_s:
            return None
        request = Request(wishes=(bounds[0], *bounds[1]), start=start, goals=goals)
        share = self._clock.part(limit_s * _PLAN_SHARE)
        got, _ = find_one(robust.facts, robust.judge, robust.config, share, request)
        return None if got is None else self._tried(got, bounds)

    def _counts(self, tried: Tried) -> Split:
        return as_counts(self._table, tried.plan[0]).counts

    def _tried(self, plan: tuple[Plan, Verdict], bounds: tuple[Hold, tuple[Wish, ...]]) -> Tried:
        """Return a plan with the weight of the fitted wirings on which it fails."""
        table = self._apart
        fails = table.fails(table.violated(table.carried(plan[0]), table.off(plan[0])))
        seen = volts_risk(self._robust.judge, plan[0], table, fails)
        return Tried(plan, *bounds, table.maps.share(fails) + seen.share, seen)

    def _lessons(self, last: Tried) -> list[tuple[Wish, ...]]:
        return lessons(self._robust, last.plan[0], last.volts)


def wirings_apart(robust: "Robust") -> RiskTable:
    """Return the fitted wirings told apart by every outlet that something may use.

    The table that the search fits amps to takes wirings as one where no breaker could tell them
    apart; a head at the end of a long cable can.
    """
    points = [option.point for some in robust.options.values() for option in some]
    return RiskTable.of(robust.facts, robust.fitted, points)


def lessons(robust: "Robust", plan: Plan, risk: VoltsRisk) -> list[tuple[Wish, ...]]:
    """Return the bounds taught by each of the likeliest wirings that starve a head of a plan."""
    short = [way for way in risk.ways if way.bad.where.startswith("volts")]
    return [_lesson(robust, plan, way) for way in short[:_TAUGHT]]


def _lesson(robust: "Robust", plan: Plan, way: ShortWay) -> tuple[Wish, ...]:
    cuts = Cuts(robust.facts, robust.judge)
    if way.state.volts is not None:
        cuts.learn_on(plan, way.state.volts, way.on)
    return tuple(cuts.wishes)
