"""Variants of a job side by side: each planned on its own, several at a time where cores allow."""

from collections.abc import Iterable, Mapping
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field, replace
from multiprocessing import get_context
from os import cpu_count
from typing import Literal, assert_never

from spreadload.check import Judge
from spreadload.check.stock import leads_used
from spreadload.derived.facts import Facts
from spreadload.job.job import Job
from spreadload.job.preferences import Goal
from spreadload.plan import Impossible, Plan, Solved, Undecided, Usage, Verdict, chance_shown
from spreadload.solver.any_wiring import look_for_plans
from spreadload.solver.engine.limits import SolverConfig
from spreadload.units import MILLI

Word = Literal["fits", "cannot", "not decided"]


@dataclass(frozen=True)
class Row:
    """One variant, planned.

    Attributes:
        verdict: Whether it runs.
        reason: Why not, or "".
        tightest: Fullest device of the plan; of the least overloaded one where none fits.
        lowest_v: Lowest volts any head gets, where they can be told.
        leakage_ma: Largest standing leakage behind one RCD.
        leakage_limit_ma: Where that RCD may trip.
        replugs: Cost of re-plugs between set-ups, cool-down minutes included.
        leads: Leads in use at most in one set-up.
        light_w: Watts of heads lit, summed over the set-ups; whoever knows of some that burn on a
            battery or a generator adds them.
        demand_a: Amps asked for in the hungriest set-up.
        plan: The plan it rests on.
        fullest_pct: Per cent used of the fullest device, per set-up.
        fails_pct: In how many of 100 possible wirings the plan fails, where circuits are not known.
    """

    name: str
    verdict: Word
    reason: str = ""
    tightest: Usage | None = None
    lowest_v: float | None = None
    leakage_ma: float | None = None
    leakage_limit_ma: float | None = None
    replugs: int | None = None
    leads: int | None = None
    light_w: int = 0
    demand_a: float = 0.0
    plan: Plan | None = None
    fullest_pct: Mapping[str, int] = field(default_factory=dict)
    fails_pct: float | None = None


def compare(jobs: Iterable[tuple[str, Job]], config: SolverConfig) -> tuple[Row, ...]:
    """Return one row per named job, in order.

    Args:
        jobs: Name and job; the first is what the others are held against.
        config: Time limit for each job; its progress is not told from other processes.
    """
    named = list(jobs)
    quiet = replace(config, alternatives=0, progress=_say_nothing, is_brief=True)
    workers = min(cpu_count() or 1, len(named))
    if workers <= 1 or len(named) <= 1:
        return tuple(planned(name, job, quiet) for name, job in named)
    with ProcessPoolExecutor(workers, mp_context=get_context("spawn")) as pool:
        waiting = [pool.submit(planned, name, job, quiet) for name, job in named]
        return tuple(each.result() for each in waiting)


def planned(name: str, job: Job, config: SolverConfig) -> Row:
    """Plan one variant and say what it comes to."""
    facts, outcome = look_for_plans(job, config)
    judge = Judge(facts)
    match outcome:
        case Solved():
            row = _row(name, facts, judge, ("fits", "", *outcome.plans[0]))
            chance = chance_shown(outcome)
            return row if chance is None else replace(row, fails_pct=chance.fails_pct)
        case Impossible():
            if outcome.nearest is None:
                return Row(name, "cannot", outcome.reason)
            return _row(name, facts, judge, ("cannot", outcome.reason, *outcome.nearest))
        case Undecided():
            return Row(name, "not decided", outcome.reason)
        case _ as never:
            assert_never(never)


def _row(name: str, facts: Facts, judge: Judge, found: tuple[Word, str, Plan, Verdict]) -> Row:
    word, reason, plan, verdict = found
    states = judge.states(plan)
    leakage = [(s.leakage_ua(r) / MILLI, r) for s in states for r in facts.rcds]
    worst = max(leakage, default=None)
    goals = {goal.goal: goal.value for goal in verdict.goals}
    volts = [seen.lowest_v for seen in verdict.volts if not seen.collapse]
    every = (*verdict.usages, *verdict.contract, *verdict.neutral)
    limits = tuple(usage for usage in every if usage.takes_plugs)
    return Row(
        name=name,
        verdict=word,
        reason=reason,
        tightest=max(limits, key=lambda u: u.used_pct, default=None),
        lowest_v=min(volts, default=None),
        leakage_ma=None if worst is None else worst[0],
        leakage_limit_ma=None if worst is None else facts.rcds[worst[1]].may_trip_ua / MILLI,
        replugs=goals.get(Goal.REPLUGS.value),
        leads=max((len(leads_used(state)) for state in states), default=0),
        light_w=sum(u.load.power_w for state in states for u in state.heads),
        demand_a=max((sum(u.unit_ma for u in s.plugged) for s in states), default=0) / MILLI,
        plan=plan,
        fullest_pct={
            setup: max((u.used_pct for u in limits if u.setup == setup), default=0)
            for setup in facts.demands
        },
    )


def _say_nothing(_: str) -> None:
    """Keep quiet: another process has no terminal."""
