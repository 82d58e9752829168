"""What the use cases return: an answer that can be shown as text, given as data, and exited with.

Puts nothing on a screen itself and looks for nothing; ``app`` makes these.
"""

from dataclasses import dataclass
from typing import Any

from spreadload.derived.facts import Facts
from spreadload.errors import ExitCode
from spreadload.explain.answer import Answer, Says
from spreadload.explain.briefing import Briefing
from spreadload.explain.why_not import Why, WhyNot
from spreadload.plan import Chance, Impossible, Outcome, Plan, Solved, Undecided
from spreadload.report.data import check_data, plan_data
from spreadload.report.style import Style
from spreadload.report.text import check_text, plan_text
from spreadload.report.why_text import why_data, why_text


@dataclass(frozen=True)
class PlanTold:
    """What came of looking for a plan, ready to be shown.

    Attributes:
        briefing: The plan shown, explained: the best, or the fullest legal one when the job cannot
            run as asked; None when there is neither.
    """

    facts: Facts
    outcome: Outcome
    answer: Answer
    briefing: Briefing | None

    @property
    def plan(self) -> Plan | None:
        """The plan shown, or None."""
        return None if self.briefing is None else self.briefing.judged.plan

    @property
    def others(self) -> tuple[Plan, ...]:
        """Plans ranked behind the one shown."""
        found = self.outcome
        return tuple(plan for plan, _ in found.plans[1:]) if isinstance(found, Solved) else ()

    @property
    def exit_code(self) -> ExitCode:
        """What the shell should see."""
        match self.outcome:
            case Solved():
                return ExitCode.HOLDS
            case Impossible():
                return ExitCode.BREAKS_A_LIMIT
            case Undecided():
                return ExitCode.UNDECIDED

    def text(
        self, style: Style | None = None, *, setup: str | None = None, is_brief: bool = False
    ) -> str:
        """Return the answer as text for a terminal."""
        style = style or Style()
        return plan_text(
            self.answer, self.outcome, self.briefing, style, setup=setup, is_brief=is_brief
        )

    def data(self) -> dict[str, Any]:
        """Return the answer as data; README.md tells the shape."""
        return plan_data(self.answer, self.outcome, self.briefing)


@dataclass(frozen=True)
class CheckTold:
    """What the judge says of a plan somebody brought."""

    answer: Answer
    briefing: Briefing
    chance: Chance | None = None

    @property
    def exit_code(self) -> ExitCode:
        """What the shell should see."""
        holds = self.briefing.judged.verdict.holds
        return ExitCode.HOLDS if holds else ExitCode.BREAKS_A_LIMIT

    def text(
        self, style: Style | None = None, *, setup: str | None = None, is_brief: bool = False
    ) -> str:
        """Return the verdict as text for a terminal."""
        style = style or Style()
        return check_text(
            self.answer, self.briefing, style, setup=setup, is_brief=is_brief, chance=self.chance
        )

    def data(self) -> dict[str, Any]:
        """Return the verdict as data; README.md tells the shape."""
        chance = {} if self.chance is None else {"chance": self.chance.model_dump(mode="json")}
        return check_data(self.answer, self.briefing) | chance


@dataclass(frozen=True)
class WhyTold:
    """Why a load is not at an outlet, one answer per set-up.

    Attributes:
        held_against: Which plan the prices are held against; where there is none at all, why.
        no_plan: The answer to the job itself when there is no plan to hold anything against.
    """

    answers: tuple[WhyNot, ...]
    held_against: str
    no_plan: Answer | None = None

    @property
    def exit_code(self) -> ExitCode:
        """What the shell should see: 0 when it is possible in every set-up asked about."""
        says = {why.says for why in self.answers}
        is_cannot = self.no_plan is not None and self.no_plan.says is Says.CANNOT
        if Why.IMPOSSIBLE in says or is_cannot:
            return ExitCode.BREAKS_A_LIMIT
        is_open = Why.NOT_DECIDED in says or self.no_plan is not None
        return ExitCode.UNDECIDED if is_open else ExitCode.HOLDS

    def text(self, style: Style | None = None) -> str:
        """Return the answers as text for a terminal."""
        return why_text(self.answers, self.held_against, style or Style())

    def data(self) -> dict[str, Any]:
        """Return the answers as data; README.md tells the shape."""
        return why_data(self.answers, self.held_against)
