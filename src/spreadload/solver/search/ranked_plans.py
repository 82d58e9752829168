"""From worked-out facts to ranked, judged plans, or to a proof that there is none."""

from collections.abc import Callable
from dataclasses import replace
from functools import partial

from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.errors import InternalError
from spreadload.job.preferences import Goal
from spreadload.plan import Impossible, Outcome, Plan, Solved, Undecided, Verdict
from spreadload.solver.engine.found import Found
from spreadload.solver.engine.interruption import interruptible
from spreadload.solver.engine.limits import Clock, SolverConfig, left_to_explain_s
from spreadload.solver.model.different import forbid_same_spread
from spreadload.solver.model.request import LIT_GOALS, Request, Wish
from spreadload.solver.model.rules import RULES
from spreadload.solver.model.variables import Relaxations
from spreadload.solver.search.nearer import nearest_of_equals
from spreadload.solver.search.proposal import Proposal
from spreadload.solver.volts.better_leads import with_better_leads
from spreadload.solver.volts.cuts import Cuts, is_about_volts, reason_in_volts, said_of
from spreadload.solver.why_not.arithmetic import plain_reason, why_impossible
from spreadload.solver.why_not.impossible import conflicts_of
from spreadload.solver.why_not.volts_conflict import volts_conflict

__all__ = ["Request", "Wish", "find_one", "find_plans"]

_VOLTS_ROUNDS = 12
# Of the time to say why there is no plan, and of what that leaves.
_CONFLICTS_SHARE = 0.35
_REDUCED_SHARE = 0.7
_BRIEF_SHARE = 0.15
_LEAST_S = 1.0
# What may be off is off where that brings the fullest device down: a no is told by what is left.
# Each set-up for itself: the one that is over is no reason to overload another.
_NEAREST_GOALS = (Goal.KEEP_HEADS, Goal.TIGHTEST, Goal.EACH_SETUP, Goal.KEEP_HOUSE_ON)
_LEAST_OVERLOADED = Request(relaxed=Relaxations(breakers_may_overload=True), goals=_NEAREST_GOALS)
_FULLEST_LEGAL = Request(relaxed=Relaxations(heads_may_be_left_out=True))


def find_plans(
    facts: Facts, judge: Judge, config: SolverConfig | None = None, clock: Clock | None = None
) -> Outcome:
    """Return ranked plans for the whole day, each passed by the judge, or why there are none.

    Args:
        facts: The job, worked out.
        judge: The judge every plan has to pass.
        config: Time limit, alternatives and seed.
        clock: The clock of the search that this is a part of; a new one when None.

    Raises:
        InternalError: The judge refused a plan that the model called legal.
    """
    config = config or SolverConfig()
    with interruptible():
        return _ranked(facts, judge, config, clock or Clock(config.time_limit_s))


def _ranked(facts: Facts, judge: Judge, config: SolverConfig, clock: Clock) -> Outcome:
    if _fails_at_the_board(facts, judge):
        return _impossible(facts, judge, config, clock)
    best, found = find_one(facts, judge, config, clock)
    if found is Found.NONE_EXISTS:
        return _impossible(facts, judge, config, clock)
    if best is None:
        return _undecided(facts, judge, config, clock)
    ranked = [nearest_of_equals(facts, judge, *best, same_circuits=False)]
    config.tell_best(facts, ranked[0][0])
    while len(ranked) <= config.alternatives and min(clock.left_s, clock.work_left_s) > 0:
        wishes = tuple(forbid_same_spread(plan) for plan, _ in ranked)
        another, _ = find_one(facts, judge, config, clock, Request(wishes=wishes))
        if another is None:
            break
        ranked.append(nearest_of_equals(facts, judge, *another, same_circuits=True))
    plan = best[0]
    return Solved(plans=tuple(ranked), proven=plan.search.proven, gap=plan.search.gap)


def _fails_at_the_board(facts: Facts, judge: Judge) -> bool:
    """Whether some set-up is short of volts with everything right at the board: no split helps."""
    if not judge.house.has_readings:
        return False
    return any(volts_conflict(facts, setup) is not None for setup in facts.demands)


def find_one(
    facts: Facts,
    judge: Judge,
    config: SolverConfig,
    clock: Clock,
    request: Request | None = None,
) -> tuple[tuple[Plan, Verdict] | None, Found]:
    """Return the best plan for a request with its verdict, and how the search ended.

    What the load flow refuses teaches the model a bound, and the search goes on within it.
    """
    request = request or Request()
    if request.relaxed.breakers_may_overload:
        return _solve_once(facts, judge, config, clock, request)
    solve = partial(_solve_once, facts, judge, config, clock)
    cuts = Cuts(facts, judge)
    if not judge.house.has_readings:
        best, found = solve(request)
        if best is None or not is_about_volts(best[1]):
            return best, found
        cuts.learn(*best)
    return _within_volts(solve, cuts, request, config)


def _within_volts(
    solve: Callable[[Request], tuple[tuple[Plan, Verdict] | None, Found]],
    cuts: Cuts,
    request: Request,
    config: SolverConfig,
) -> tuple[tuple[Plan, Verdict] | None, Found]:
    """Return the best plan the load flow accepts: cut, solve again, a bounded number of times.

    Any plan that keeps the volts is looked for first, with the goals that decide what is lit only;
    then the best one within the bounds learnt on the way.
    """
    safe: tuple[Plan, Verdict] | None = None
    for left in reversed(range(_VOLTS_ROUNDS)):
        goals = request.goals if safe is not None else LIT_GOALS
        wishes = (*request.wishes, *cuts.wishes)
        best, found = solve(replace(request, wishes=wishes, goals=goals))
        if best is None:
            proved = found if cuts.can_prove else Found.NOTHING
            return (safe, Found.GOOD) if safe is not None else (None, proved)
        if is_about_volts(best[1]):
            config.progress(f"volts are short: trying another split, {left} more")
            cuts.learn(*best)
            continue
        best = (said_of(best[0]), best[1]) if cuts.wishes else best
        if safe is not None or goals == request.goals:
            return best, Found.GOOD if cuts.wishes else found
        safe = best
    return safe, Found.GOOD if safe is not None else Found.NOTHING


def _solve_once(
    facts: Facts, judge: Judge, config: SolverConfig, clock: Clock, request: Request
) -> tuple[tuple[Plan, Verdict] | None, Found]:
    proposal = Proposal(facts, config, clock, request)
    found, plan = proposal.find()
    if plan is None:
        return None, found
    verdict = judge.judge(plan)
    plan = proposal.gaps_of(plan, verdict)
    overload = request.relaxed.breakers_may_overload
    if is_about_volts(verdict) and not overload:
        return with_better_leads(facts, judge, plan, verdict), found
    if not verdict.holds and not overload and request.rules == RULES:
        said = "; ".join(violation.text for violation in verdict.violations[:3])
        raise InternalError(f"the judge refused the solver's plan: {said}")
    return (plan, verdict), found


def _undecided(facts: Facts, judge: Judge, config: SolverConfig, clock: Clock) -> Outcome:
    """Return why there is neither plan nor proof, and the fullest plan found that holds."""
    reason = f"no plan and no proof within {config.time_limit_s:g} s"
    if not judge.house.has_readings or clock.left_s <= 0:
        return Undecided(reason=reason)
    nearest, _ = find_one(facts, judge, config, clock, _LEAST_OVERLOADED)
    said = reason_in_volts(nearest[1]) if nearest else None
    if said is not None:
        reason = f"every split tried is refused, though it is not proved that none holds: {said}"
    reduced, _ = find_one(facts, judge, config, clock, _FULLEST_LEGAL)
    return Undecided(reason=reason, reduced=reduced)


def _impossible(facts: Facts, judge: Judge, config: SolverConfig, clock: Clock) -> Outcome:
    """Return the proof in words, with the least overloaded plan and the fullest legal one.

    In brief the least overloaded one gets a share of the time, and the fullest is not looked for.
    """
    explaining = Clock(left_to_explain_s(clock, config.time_limit_s))
    if config.is_brief:
        return _impossible_in_brief(facts, judge, config, explaining)
    conflicts = conflicts_of(facts, config, explaining.left_s * _CONFLICTS_SHARE)
    reduced_s = explaining.left_s * _REDUCED_SHARE
    reduced, _ = find_one(facts, judge, config, Clock(reduced_s), _FULLEST_LEGAL)
    nearest = _least_overloaded(facts, judge, config, Clock(explaining.left_s))
    plainest = conflicts[0].headline if conflicts else why_impossible(facts)
    reason = (reason_in_volts(nearest[1]) if nearest else None) or plainest
    in_the_dark = "" if reduced else _stopped_in_the_dark(facts, config, explaining)
    return Impossible(
        reason=reason,
        conflicts=conflicts,
        nearest=nearest,
        reduced=reduced,
        in_the_dark=in_the_dark,
    )


def _stopped_in_the_dark(facts: Facts, config: SolverConfig, clock: Clock) -> str:
    """Return why departments and house do not run even with no head lit, or ""."""
    setups = tuple(setup.model_copy(update={"heads": {}}) for setup in facts.job.setups)
    dark = facts.changed(facts.job.model_copy(update={"setups": setups}))
    conflicts = conflicts_of(dark, config, clock.left_s * _CONFLICTS_SHARE)
    return conflicts[0].headline if conflicts else ""


def _impossible_in_brief(
    facts: Facts, judge: Judge, config: SolverConfig, explaining: Clock
) -> Impossible:
    part = Clock(max(explaining.left_s * _BRIEF_SHARE, _LEAST_S))
    nearest = _least_overloaded(facts, judge, config, part)
    in_volts = reason_in_volts(nearest[1]) if nearest else None
    reason = in_volts or plain_reason(facts)
    if reason is None:
        limit_s = max(explaining.left_s * _BRIEF_SHARE, _LEAST_S)
        conflicts = conflicts_of(facts, config, limit_s)
        reason = conflicts[0].headline if conflicts else why_impossible(facts)
    return Impossible(reason=reason, nearest=nearest)


def _least_overloaded(
    facts: Facts, judge: Judge, config: SolverConfig, clock: Clock
) -> tuple[Plan, Verdict] | None:
    nearest, _ = find_one(facts, judge, config, clock, _LEAST_OVERLOADED)
    if nearest is None:
        return None
    return nearest_of_equals(facts, judge, *nearest, same_circuits=False)
