"""The answer to “why not there?”, from a plan and what became of it with that choice forced.

Never imports the solver: whoever asks hands in the forced plan, or the fact that there is none.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import assert_never

from spreadload.derived.records import Point
from spreadload.explain.goal_words import Change, changes, price_words
from spreadload.explain.judged import JudgedPlan
from spreadload.explain.moves import moved
from spreadload.explain.reasons import Elsewhere, elsewhere
from spreadload.plan import Placement, Plan, Verdict
from spreadload.words import in_setup, row


class Why(StrEnum):
    """The kinds of answer."""

    IS_THERE = "is there"
    AS_GOOD = "as good"
    WORSE = "worse"
    BETTER = "better"
    IMPOSSIBLE = "impossible"
    NOT_DECIDED = "not decided"


@dataclass(frozen=True)
class WhyNot:
    """One head, one outlet, one set-up.

    Attributes:
        now_at: Points where its units sit in the plan.
        alone: What happens when one unit moves there and nothing else does, or None when no unit
            is placed in that set-up.
        costs: Goals that differ when everything else may move too, most important first.
        forced: The best plan found with a unit there, or None.
    """

    setup: str
    load: str
    outlet: str
    says: Why
    now_at: tuple[str, ...]
    alone: Elsewhere | None
    costs: tuple[Change, ...] = ()
    forced: tuple[Plan, Verdict] | None = None

    @property
    def text(self) -> str:
        """The answer in one or two sentences."""
        return f"{self.load} at {self.outlet}{in_setup(self.setup)}: {_words(self)}"


def points_at(judged: JudgedPlan, outlet: str) -> tuple[Point, ...]:
    """Return the points meant by an outlet: itself and the boxes that may stand there."""
    return tuple(p for p in judged.facts.points.values() if outlet in (p.id, p.outlet))


def units_in(judged: JudgedPlan, setup: str, load: str) -> tuple[Placement, ...]:
    """Return the placements of a load in a set-up."""
    return tuple(p for p in judged.by_setup[setup] if p.load == load)


def is_there(judged: JudgedPlan, setup: str, load: str, outlet: str) -> bool:
    """Whether a unit of the load is at the outlet already."""
    ids = {point.id for point in points_at(judged, outlet)}
    return any(p.point in ids for p in units_in(judged, setup, load))


def move_alone(judged: JudgedPlan, setup: str, load: str, outlet: str) -> Elsewhere | None:
    """Return what happens when one unit moves there and the rest stands; the best of its units."""
    tried = [
        elsewhere(judged, unit, point)
        for unit in units_in(judged, setup, load)
        for point in points_at(judged, outlet)
    ]
    return next((one for one in tried if one.holds), tried[0] if tried else None)


def legal_alone(
    judged: JudgedPlan, question: tuple[str, str, str]
) -> Iterator[tuple[Plan, Verdict]]:
    """Yield the plans with one unit moved there and nothing else, as far as they hold."""
    setup, load, outlet = question
    for unit in units_in(judged, setup, load):
        for point in points_at(judged, outlet):
            for plan in moved(judged, unit, point):
                verdict = judged.judge.judge(plan)
                if verdict.holds:
                    yield plan, verdict


def priced(
    judged: JudgedPlan,
    question: tuple[str, str, str],
    forced: tuple[Plan, Verdict],
    chance: Change | None = None,
) -> WhyNot:
    """Return the price of a forced choice: the chance that wiring breaks it, then each goal."""
    setup, load, outlet = question
    first = (chance,) if chance is not None and chance.before != chance.after else ()
    costs = (*first, *changes(judged.verdict, forced[1], judged.facts.lengths))
    says = Why.AS_GOOD if not costs else Why.WORSE if costs[0].is_worse else Why.BETTER
    alone = move_alone(judged, *question)
    if chance is not None and alone is not None and alone.holds:
        # Nothing certain breaks, but that says nothing of the wirings it fails in.
        alone = None
    return WhyNot(setup, load, outlet, says, _now(judged, setup, load), alone, costs, forced)


def unpriced(judged: JudgedPlan, question: tuple[str, str, str], says: Why) -> WhyNot:
    """Return an answer without a forced plan: there already, impossible, or not decided."""
    setup, load, outlet = question
    alone = None if says is Why.IS_THERE else move_alone(judged, *question)
    return WhyNot(setup, load, outlet, says, _now(judged, setup, load), alone)


def _now(judged: JudgedPlan, setup: str, load: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(p.point for p in units_in(judged, setup, load)))


def _words(why: WhyNot) -> str:
    said = _outcome_words(why)
    if why.alone is None or why.alone.text in said:
        return said
    return f"{said}. Moved there alone: {why.alone.text}"


def _outcome_words(why: WhyNot) -> str:
    match why.says:
        case Why.IS_THERE:
            return f"it is there already ({row(why.now_at)})"
        case Why.AS_GOOD:
            return "possible, and just as good by every rule"
        case Why.WORSE:
            return f"possible, at a price: {price_words(why.costs)}"
        case Why.BETTER:
            return (
                f"possible, and better than the plan it is held against: {price_words(why.costs)}"
            )
        case Why.IMPOSSIBLE:
            return "impossible, no plan for the day has it there"
        case Why.NOT_DECIDED:
            return "not decided in the time allowed"
        case _ as never:
            assert_never(never)
