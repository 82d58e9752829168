"""Thicker or shorter leads from the van for a plan that the load flow alone refuses."""

from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.plan import Placement, Plan, Verdict, Violation
from spreadload.solver.model.candidates import candidates

_ON_LEADS = frozenset({"volts", "gear under sag"})


def with_better_leads(
    facts: Facts,
    judge: Judge,
    plan: Plan,
    verdict: Verdict,
    *,
    most_leads: int | None = None,
) -> tuple[Plan, Verdict]:
    """Return a plan refused on volts with thicker or shorter leads at the heads that lack them.

    Takes leads left on the van only, one head at a time, and keeps what raises no other limit.

    Args:
        facts: The job.
        judge: Its judge.
        plan: The plan refused.
        verdict: What the judge said of it.
        most_leads: Leads with an index from here on are left alone.
    """
    for violation in verdict.violations:
        place = _index_of(plan, violation)
        if violation.rule not in _ON_LEADS or place is None:
            continue
        better = _better_leads(facts, plan.placements[place])
        for index in (i for i in better if most_leads is None or i < most_leads):
            placements = list(plan.placements)
            placements[place] = placements[place].model_copy(update={"lead": index})
            tried = plan.model_copy(update={"placements": tuple(placements)})
            told = judge.judge(tried)
            if len(told.violations) < len(verdict.violations):
                plan, verdict = tried, told
                break
    return plan, verdict


def _index_of(plan: Plan, violation: Violation) -> int | None:
    return next(
        (
            index
            for index, p in enumerate(plan.placements)
            if (p.setup, f"{p.load} {p.unit}") == (violation.setup, violation.where)
        ),
        None,
    )


def _better_leads(facts: Facts, placement: Placement) -> list[int]:
    """Return the leads that would do in place of one, least resistance first."""
    if placement.lead is None:
        return []
    here = [
        run
        for demand in facts.demands[placement.setup]
        if (demand.load, demand.place) == (placement.load, placement.place)
        for option in candidates(facts, demand)
        if option.point.id == placement.point
        for run in option.runs
        if run.board == placement.board
    ]
    now_ohm = facts.leads[placement.lead].loop_ohm
    fitting = {index for run in here for index in run.leads}
    better = [index for index in fitting if facts.leads[index].loop_ohm < now_ohm]
    return sorted(better, key=lambda index: facts.leads[index].loop_ohm)
