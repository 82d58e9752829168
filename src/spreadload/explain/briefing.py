"""Everything there is to say about one plan, gathered once for terminal, JSON and paper."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from spreadload import practice
from spreadload.check import Judge
from spreadload.check.doubts import Doubt, doubts
from spreadload.derived.facts import Facts
from spreadload.explain.assumed import Assumption, assumptions
from spreadload.explain.day_moves import Change, Pull, day_changes, pull_list
from spreadload.explain.judged import JudgedPlan
from spreadload.explain.light import Staying, staying
from spreadload.explain.off import Idle, idle_loads, must_stay_on
from spreadload.explain.own_cautions import own_cautions
from spreadload.explain.reasons import Reason, reasons
from spreadload.explain.stay_on import Shared, shared_with_heads
from spreadload.plan import Plan

if TYPE_CHECKING:
    from spreadload.explain.first_moves import FirstMove

_OCCASIONS = ("always", "leads", "before use")


@dataclass(frozen=True)
class Briefing:
    """One judged plan, explained.

    Attributes:
        reasons: Why each plug is where it is; empty when not asked for.
        idle: Loads that are not running and what each would do.
        stay_on: Loads agreed to stay on.
        shared: Those of them that hang on a breaker with heads, or may.
        staying: Light that stays when a device opens.
        changes: What moves between set-ups.
        pulls: Leads, power boards and boxes to take off the van.
        assumptions: What is taken for granted.
        cautions: Short cautions, those of this very plan first, then those of the region.
        doubts: What may go wrong with the volts although the plan holds.
        first_moves: What to do first if a circuit goes; put in by whoever works them out.
    """

    judged: JudgedPlan
    reasons: tuple[Reason, ...]
    idle: tuple[Idle, ...]
    stay_on: tuple[str, ...]
    shared: tuple[Shared, ...]
    staying: tuple[Staying, ...]
    changes: tuple[Change, ...]
    pulls: tuple[Pull, ...]
    assumptions: tuple[Assumption, ...]
    cautions: tuple[str, ...]
    doubts: tuple[Doubt, ...] = ()
    first_moves: "tuple[FirstMove, ...]" = ()


def brief(
    facts: Facts,
    judge: Judge,
    plan: Plan,
    *,
    with_reasons: bool = True,
    fails_pct: Callable[[Plan], float] | None = None,
) -> Briefing:
    """Explain one plan, whoever made it.

    Args:
        facts: The job, worked out.
        judge: The judge of that job.
        plan: Any plan of it.
        with_reasons: Whether to look for a reason for every placement, which takes longest.
        fails_pct: In how many of 100 possible wirings a plan fails, where circuits are not known.
    """
    judged = JudgedPlan.of(facts, judge, plan, fails_pct)
    return Briefing(
        judged=judged,
        reasons=reasons(judged) if with_reasons else (),
        idle=idle_loads(judged),
        stay_on=must_stay_on(facts),
        shared=shared_with_heads(judged),
        staying=staying(judged),
        changes=day_changes(judged),
        pulls=pull_list(judged),
        assumptions=assumptions(judged),
        cautions=(*own_cautions(judged), *cautions(facts.job.region)),
        doubts=doubts(judge, plan),
    )


def cautions(region: str) -> tuple[str, ...]:
    """Return the cautions that go with every plan of a region."""
    return tuple(row.text for row in practice.cautions(region) if row.when in _OCCASIONS)
