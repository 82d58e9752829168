"""The plan that holds what was reached and is best by the other goals, and some unlike it.

The best plan gets a staged search. The others come from the best one: as little as possible is
plugged in elsewhere, so that they are nearly as good and quickly there.
"""

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from spreadload.errors import InternalError
from spreadload.job.preferences import Goal
from spreadload.plan import Plan, Verdict
from spreadload.solver.engine.calls import Answer, Effort, Status, solve
from spreadload.solver.engine.interruption import Task
from spreadload.solver.engine.limits import Clock
from spreadload.solver.model.different import forbid_same_spread
from spreadload.solver.model.goals import GOALS
from spreadload.solver.model.packing import CannotSeatError
from spreadload.solver.model.readback import read_plan
from spreadload.solver.model.request import Request, Wish
from spreadload.solver.model.rules import RULES
from spreadload.solver.model.variables import Linear, Variables, evaluate, total
from spreadload.solver.robust.hold import Hold, Row
from spreadload.solver.robust.model import Bounded, as_counts
from spreadload.solver.search.gap_words import search_of
from spreadload.solver.search.ranked_plans import find_one
from spreadload.solver.volts.cuts import is_about_volts

if TYPE_CHECKING:
    from spreadload.solver.robust.least_risk import Robust

_BEST_SHARE = 0.25
_ROUNDS = 3
_MOVED_COST_M = 1000
_ANOTHER_DETERMINISTIC = 0.15
_LEAST_S = 0.2


def others_like(
    robust: "Robust",
    hold: Hold,
    first: tuple[Plan, Verdict],
    clock: Clock,
    wishes: tuple[Wish, ...] = (),
    begun: "Task[Room] | None" = None,
) -> list[tuple[Plan, Verdict]]:
    """Return further plans that fail on no map on which the best one holds.

    Args:
        robust: The search.
        hold: What the plan of least risk survives.
        first: The best plan.
        clock: Time left.
        wishes: What more the best plan had to keep.
        begun: What ``begin_room`` began for the same wish.

    Raises:
        InternalError: The judge refused a plan that the model called legal.
    """
    ranked = [first]
    like = _Like(robust, hold, first[0], wishes, begun)
    while len(ranked) <= robust.config.alternatives and clock.left_s > _LEAST_S:
        another = like.another(ranked, clock)
        if another is None:
            break
        ranked.append(another)
    return ranked[1:]


def held_plan(
    robust: "Robust", hold: Hold, best: Bounded, clock: Clock, wishes: tuple[Wish, ...] = ()
) -> tuple[Plan, Verdict] | None:
    """Return the best plan by the other goals among those that hold what the best one holds."""
    limit_s = robust.config.time_limit_s * _BEST_SHARE
    for turn in range(_ROUNDS + 1):
        request = Request(wishes=(hold, *wishes), start=best.counts)
        share = clock.part(limit_s)
        got, _ = find_one(robust.facts, robust.judge, robust.config, share, request)
        if got is None:
            break
        if not hold.learn(as_counts(hold.table, got[0])):
            return got
        if turn == _ROUNDS - 1:
            hold.take_all()
    return _as_it_stands(robust, best)


def _as_it_stands(robust: "Robust", best: Bounded) -> tuple[Plan, Verdict] | None:
    """Return the plan of least risk itself, with runs laid and nothing else improved."""
    request = Request(wishes=(_exactly(best),), start=best.counts, goals=(Goal.KEEP_HEADS,))
    limit_s = robust.config.time_limit_s * _BEST_SHARE
    got, _ = find_one(robust.facts, robust.judge, robust.config, Clock(limit_s), request)
    if got is None:
        return None
    gap = "nothing but the chance of a trip improved in the time"
    search = got[0].search.model_copy(update={"proven": False, "gap": gap})
    return got[0].model_copy(update={"search": search}), got[1]


def _exactly(found: Bounded) -> Wish:
    def wish(v: Variables) -> None:
        for (demand, point), x in v.at.items():
            v.model.add(x == found.counts.get((demand, point), 0))
        for key, off in v.off.items():
            v.model.add(off == int(key in found.off))

    return wish


@dataclass(frozen=True)
class Room:
    """A model of every plan that holds as much as the best one, whichever that is.

    Attributes:
        taken: The rows of the wish to hold that are in it.
        price: What re-plugging costs, and the metres of cable.
    """

    v: Variables
    taken: frozenset[Row]
    price: tuple[Linear, Linear]

    @classmethod
    def of(cls, robust: "Robust", hold: Hold, told_apart: frozenset[str] = frozenset()) -> "Room":
        """Make the model; boards are told apart at some points, elsewhere counted."""
        v = Variables.of(robust.facts, told_apart=told_apart, options=robust.options)
        for rule in RULES:
            rule(v)
        taken = frozenset(hold.taken)
        hold(v)
        return cls(v, taken, (GOALS[Goal.REPLUGS](v), GOALS[Goal.CABLE](v)))


def begin_room(robust: "Robust", hold: Hold) -> "Task[Room]":
    """Make the model for the other plans while the best one is looked for."""
    search = Task(lambda: Room.of(robust, hold))
    search.start()
    return search


class _Like:
    """Plans nearest to the best one, each different from all of those before.

    One model serves for all of them: what is found is forbidden in it, and it is made anew only
    where a plan broke a row that was left out of it.
    """

    def __init__(
        self,
        robust: "Robust",
        hold: Hold,
        best: Plan,
        wishes: tuple[Wish, ...],
        begun: "Task[Room] | None",
    ) -> None:
        """Keep what every plan has to hold."""
        self._robust = robust
        self._hold = hold
        self._best = as_counts(hold.table, best)
        self._wishes = wishes
        self._begun = begun
        self._v: Variables | None = None

    def another(
        self, ranked: list[tuple[Plan, Verdict]], clock: Clock
    ) -> tuple[Plan, Verdict] | None:
        """Return the nearest plan that differs from all of those in hand."""
        for _ in range(_ROUNDS):
            plan = self._seated(ranked, clock)
            if plan is None:
                return None
            if self._hold.learn(as_counts(self._hold.table, plan)):
                self._v = None
                continue
            verdict = self._robust.judge.judge(plan)
            if verdict.holds:
                return plan, verdict
            if is_about_volts(verdict):
                return None
            said = "; ".join(violation.text for violation in verdict.violations[:3])
            raise InternalError(f"the judge refused the solver's plan: {said}")
        return None

    def _seated(self, ranked: list[tuple[Plan, Verdict]], clock: Clock) -> Plan | None:
        """Return the nearest plan, told by a model that counts most power boards where it can."""
        try:
            return self._nearest(ranked, clock, frozenset())
        except CannotSeatError:
            self._v = None
            plan = self._nearest(ranked, clock, frozenset(self._robust.facts.points))
            self._v = None
            return plan

    def _nearest(
        self, ranked: list[tuple[Plan, Verdict]], clock: Clock, told_apart: frozenset[str]
    ) -> Plan | None:
        """Return the plan that moves the least.

        Raises:
            CannotSeatError: Boards that were only counted have to be told apart.
        """
        if self._v is None:
            self._v = self._model(told_apart, [plan for plan, _ in ranked])
        else:
            forbid_same_spread(ranked[-1][0])(self._v)
        v = self._v
        v.model.clear_hints()
        for (demand, point), x in v.at.items():
            v.model.add_hint(x, self._best.counts.get((demand, point), 0))
        config = self._robust.config
        effort = Effort(clock.left_s, _ANOTHER_DETERMINISTIC, 1, config.seed, linearization=1)
        answer = solve(v.model, replace(effort, is_near=True), clock)
        if not answer.values:
            return None
        if answer.status is Status.GOOD:
            answer = _with_short_leads(v, answer, effort, clock)
        search = search_of(self._robust.facts, config, {})
        search = search.model_copy(update={"proven": False, "gap": "made from the best plan"})
        return read_plan(v, lambda term: evaluate(term, answer.values), search)

    def _model(self, told_apart: frozenset[str], found: list[Plan]) -> Variables:
        """Return a model of the plans there is room for, with how far each is from the best one."""
        room = self._room(told_apart)
        v, (replugs, cable) = room.v, room.price
        others = (forbid_same_spread(plan) for plan in found)
        for wish in (*self._wishes, *others):
            wish(v)
        for key, off in v.off.items():
            v.model.add(off == int(key in self._best.off))
        moved = total(d.count for d in v.options) - total(_kept(v, self._best))
        v.model.minimize(_MOVED_COST_M * (moved + 2 * replugs) + cable)
        return v

    def _room(self, told_apart: frozenset[str]) -> Room:
        """Return the model that was begun if it serves, once; else a new one."""
        begun, self._begun = self._begun, None
        if begun is not None and not told_apart:
            room = begun.outcome()
            if room.taken == self._hold.taken:
                return room
        return Room.of(self._robust, self._hold, told_apart)


def _with_short_leads(v: Variables, answer: Answer, effort: Effort, clock: Clock) -> Answer:
    """Return the same split on less cable, where the search was cut short before it got to that."""
    v.model.clear_hints()
    for x in v.at.values():
        v.model.add_hint(x, answer.values[x.index])
    fixed = replace(effort, is_fixed=True)
    better = solve(v.model, fixed, clock)
    return better if better.values and better.best < answer.best else answer


def _kept(v: Variables, best: Bounded) -> list[Linear]:
    found: list[Linear] = []
    for (demand, point), count in best.counts.items():
        x = v.units_at(demand, point)
        stays = v.model.new_int_var(0, count, f"{demand} stays at {point}")
        v.model.add(stays <= x)
        found.append(stays)
    return found
