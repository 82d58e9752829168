"""Planning again with the day half gone: what is rigged stays, as far as it can.

In every set-up still to come the most units keep the point they have; of equals those with the
longest cool-down. No hard rule ties one set-up to another, so each is settled, and proved, for
itself. Among all such days the one best by the job's own goals is taken.
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from spreadload.check import Judge
from spreadload.derived.asked import Demand
from spreadload.derived.facts import Facts
from spreadload.plan import Plan, Search, Verdict
from spreadload.solver.engine.found import Found
from spreadload.solver.engine.limits import Clock, SolverConfig
from spreadload.solver.model.goals import keep_heads
from spreadload.solver.model.readback import read_plan
from spreadload.solver.model.request import Request, Wish
from spreadload.solver.model.rules import RULES
from spreadload.solver.model.variables import (
    Linear,
    Relaxations,
    Variables,
    evaluate,
    total,
    weighted,
)
from spreadload.solver.search.ranked_plans import find_one
from spreadload.solver.volts.better_leads import with_better_leads
from spreadload.solver.volts.loop import VoltsLoop

_SHARE = 0.5


@dataclass(frozen=True)
class Rerigged:
    """A plan for what is left of the day.

    Attributes:
        kept: Units that keep their point, counted once per set-up.
        is_proven: Whether no plan keeps more.
    """

    plan: Plan
    verdict: Verdict
    kept: int
    is_proven: bool


@dataclass(frozen=True)
class Question:
    """What to plan again.

    Attributes:
        facts: The set-ups still to come.
        rigged: What is rigged and planned.
        may_leave_out: Whether heads may stay dark, as few as can be.
        wishes: Further requirements; then the set-ups are settled together.
    """

    facts: Facts
    rigged: Plan
    may_leave_out: bool = False
    wishes: tuple[Wish, ...] = ()

    @property
    def relaxed(self) -> Relaxations:
        """What may be given up."""
        return Relaxations(heads_may_be_left_out=self.may_leave_out)

    @cached_property
    def plug_worth(self) -> int:
        """What keeping a unit is worth before its cool-down: all of those together weigh less."""
        loads = self.facts.loads
        costs = [loads[p.load].replug_cost for p in self.rigged.placements if p.load in loads]
        return 1 + sum(costs)

    def only(self, setups: Sequence[str]) -> "Question":
        """Return the question about some of the set-ups."""
        return replace(self, facts=self.facts.only(setups))


@dataclass(frozen=True)
class _Part:
    """What one model ended with."""

    setups: tuple[str, ...]
    plan: Plan
    kept: int
    worth: int
    is_proven: bool


def rerig(asked: Question, config: SolverConfig) -> Rerigged | Found:
    """Return the plan that changes least, or whether none exists or none was found.

    Args:
        asked: The set-ups still to come, and what is rigged.
        config: Time limit and seed.
    """
    clock = Clock(config.time_limit_s)
    setups = list(asked.facts.demands)
    groups = [setups] if asked.wishes else [[setup] for setup in setups]
    parts = []
    for n, group in enumerate(groups):
        share = Clock(clock.left_s * _SHARE / (len(groups) - n))
        part = _most_kept(asked.only(group), share, config)
        if isinstance(part, Found):
            return part
        parts.append(part)
    judge = Judge(asked.facts)
    wishes = (*asked.wishes, *(_keep(asked, part) for part in parts))
    request = Request(wishes=wishes, relaxed=asked.relaxed)
    best, _ = find_one(asked.facts, judge, config, clock, request)
    plan, verdict = best or _as_found(
        asked.facts, judge, Plan.joined([part.plan for part in parts])
    )
    if not verdict.holds:
        return Found.NOTHING
    kept = sum(part.kept for part in parts)
    return Rerigged(plan, verdict, kept, all(part.is_proven for part in parts))


def _as_found(facts: Facts, judge: Judge, plan: Plan) -> tuple[Plan, Verdict]:
    return with_better_leads(facts, judge, plan, judge.judge(plan))


def _most_kept(asked: Question, clock: Clock, config: SolverConfig) -> "_Part | Found":
    v = Variables.of(asked.facts, asked.relaxed)
    for put in (*RULES, *asked.wishes):
        put(v)
    loop = VoltsLoop.of(asked.facts)
    left_out, is_least = 0, True
    lit: list[int] | None = None
    if asked.may_leave_out:
        v.model.minimize(keep_heads(v))
        least = loop.solved(v, clock, config)
        if isinstance(least, Found):
            return least
        lit, is_least = least
        left_out = evaluate(keep_heads(v), lit)
        v.model.add(keep_heads(v) <= left_out)
    stay = _staying(v, asked.rigged)
    v.model.maximize(_worth(v, stay, asked.plug_worth))
    found = loop.solved(v, clock, config)
    if isinstance(found, Found):
        # Volts are steered by bounds, which may rule out what was lit before anything had to stay.
        return found if lit is None else _as_lit(asked, v, lit)
    values, is_most = found
    return _Part(
        setups=tuple(asked.facts.demands),
        plan=read_plan(v, lambda term: evaluate(term, values), Search()),
        kept=evaluate(total(units for _, units in stay), values),
        worth=evaluate(_worth(v, stay, asked.plug_worth), values),
        is_proven=is_least and is_most,
    )


def _as_lit(asked: Question, v: Variables, values: list[int]) -> _Part:
    """Return what keeps the most light, with what of it happens to stay where it is rigged."""
    plan = read_plan(v, lambda term: evaluate(term, values), Search())
    stays = _points(asked.rigged) & _points(plan)
    loads = asked.facts.loads
    return _Part(
        setups=tuple(asked.facts.demands),
        plan=plan,
        kept=stays.total(),
        worth=sum(
            count * (asked.plug_worth + loads[load].replug_cost)
            for (_, load, _, _), count in stays.items()
        ),
        is_proven=False,
    )


def _points(plan: Plan) -> Counter[tuple[str, str, str | None, str]]:
    """Return how many units of a load are at each point, by set-up and place."""
    return Counter((p.setup, p.load, p.place, p.point) for p in plan.placements)


def _keep(asked: Question, part: _Part) -> Wish:
    """Return the wish that the set-ups of a part keep as much as was found possible."""

    def wish(v: Variables) -> None:
        stay = [(d, units) for d, units in _staying(v, asked.rigged) if d.setup in part.setups]
        v.model.add(_worth(v, stay, asked.plug_worth) >= part.worth)

    return wish


def _worth(v: Variables, stay: Iterable[tuple[Demand, Linear]], plug_worth: int) -> Linear:
    return weighted((plug_worth + v.facts.loads[d.load].replug_cost, units) for d, units in stay)


def _staying(v: Variables, rigged: Plan) -> list[tuple[Demand, Linear]]:
    """Return how many units of each demand stay at each point they are planned at."""
    was = _points(rigged)
    stay: list[tuple[Demand, Linear]] = []
    for demand, options in v.options.items():
        for option in options:
            there = was[demand.setup, demand.load, demand.place, option.point.id]
            if there:
                name = f"{demand.load} of {demand.setup} stays at {option.point.id}"
                units = v.model.new_int_var(0, there, name)
                v.model.add(units <= v.units_at(demand, option.point.id))
                stay.append((demand, units))
    return stay
