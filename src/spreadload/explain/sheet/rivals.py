"""Ranked plans side by side: what each reaches, and what it costs against the one on the sheet.

Never imports the solver: a search hands its plans over, a plan file hands over those it keeps.
"""

from collections.abc import Sequence

from spreadload.derived.facts import Facts
from spreadload.explain.answer import fullest, tightest_words
from spreadload.explain.differences import differences
from spreadload.explain.goal_words import changes, price_of_another, price_words
from spreadload.explain.judged import JudgedPlan
from spreadload.explain.sheet.records import Other
from spreadload.plan import Outcome, Plan, Solved, Verdict
from spreadload.units import Lengths

_OWN = "the plan on this sheet"
NO_OTHER_FOUND = "The search found no other plan."
NO_OTHER_KEPT = (
    "The plan file holds one plan only. “spreadload plan JOB --save FILE” keeps the ranked ones "
    "with it; a sheet made from that file shows them side by side."
)

Ranked = tuple[Plan, Verdict]


def side_by_side(
    judged: JudgedPlan, outcome: Outcome | None, kept: Sequence[Plan] = ()
) -> tuple[Other, ...]:
    """Return the plan of the sheet and the others, best first; nothing where there is no other.

    Args:
        judged: The plan on the sheet.
        outcome: What a search ended with, when there was one.
        kept: Further plans of a plan file, judged here against the job as it is now.
    """
    lengths = judged.facts.lengths
    if isinstance(outcome, Solved):
        plans = outcome.plans
        prices = [price_of_another(outcome, number, lengths) for number in range(1, len(plans))]
    else:
        own = (judged.plan, judged.verdict)
        plans = (own, *((plan, judged.judge.judge(plan)) for plan in kept))
        prices = [_price(own, other, lengths) for other in plans[1:]]
    if not prices:
        return ()
    named = enumerate(zip(plans, (_OWN, *prices), strict=True), start=1)
    return tuple(_other(judged.facts, n, plans[0], plan, price) for n, (plan, price) in named)


def note_on_others(outcome: Outcome | None) -> str:
    """Return why there is no other plan to show beside the one on the sheet."""
    return NO_OTHER_KEPT if outcome is None else NO_OTHER_FOUND


def _price(own: Ranked, other: Ranked, lengths: Lengths) -> str:
    broken = other[1].violations
    if broken:
        return f"breaks a limit of the job as it is now: {broken[0].text}"
    return price_words(changes(own[1], other[1], lengths)) or "just as good by every rule"


def _other(facts: Facts, number: int, first: Ranked, ranked: Ranked, price: str) -> Other:
    plan, verdict = ranked
    return Other(
        name=f"Plan {number}",
        tightest=tightest_words(facts, fullest(verdict)),
        price=price,
        goals=tuple((goal.goal, goal.value) for goal in verdict.goals),
        differs=tuple(d.text for d in differences(facts, first[0], plan)),
    )
