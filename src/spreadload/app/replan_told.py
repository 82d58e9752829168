"""What to change for the rest of the day, ready to be shown, and which of two answers to give.

Nothing here prints, and nothing is looked for.
"""

from dataclasses import dataclass, replace
from typing import Any

from spreadload.errors import ExitCode
from spreadload.plan import Plan
from spreadload.report.replan_text import (
    Replanned,
    ReplanSays,
    Safer,
    cannot_data,
    replan_data,
    replan_text,
)
from spreadload.report.style import Style

WORTH_SAYING = 0.01
_MORE_FOR_SURE = 1


@dataclass(frozen=True)
class ReplanTold:
    """What to change for the rest of the day.

    Attributes:
        found: None when no plan was found.
        plan: The whole day: set-ups that are over as they were, the rest as planned now.
        why_not: Why there is none, in a sentence.
        is_proved: Whether it is proved that there is none.
    """

    found: Replanned | None
    plan: Plan | None
    why_not: str = ""
    is_proved: bool = False

    @property
    def exit_code(self) -> ExitCode:
        """What the shell should see."""
        if self.found is None:
            return ExitCode.BREAKS_A_LIMIT if self.is_proved else ExitCode.UNDECIDED
        cannot = self.found.says is ReplanSays.CANNOT
        return ExitCode.BREAKS_A_LIMIT if cannot else ExitCode.HOLDS

    @property
    def fails(self) -> float:
        """Chance that the plan trips; 1 without a plan."""
        return 1.0 if self.found is None else self.found.fails

    @property
    def plugs(self) -> int:
        """How many plugs it moves."""
        return 0 if self.found is None else self.found.plugs

    def text(self, style: Style | None = None) -> str:
        """Return the answer as text for a terminal."""
        style = style or Style()
        return style.wrap(self.why_not) if self.found is None else replan_text(self.found, style)

    def data(self) -> dict[str, Any]:
        """Return the answer as data; README.md tells the shape."""
        if self.found is None:
            return cannot_data(self.why_not, is_proved=self.is_proved)
        return replan_data(self.found)


def chosen(told: ReplanTold, safe: ReplanTold | None, *, is_safe: bool) -> ReplanTold:
    """Return the safer answer where asked or nearly free, else what it would change beside.

    Args:
        told: The answer that moves the fewest plugs.
        safe: The safer one, or None where none was found.
        is_safe: Whether safety is asked for, whatever it moves.
    """
    if safe is None or told.found is None or safe.fails > told.fails - WORTH_SAYING:
        return told
    if is_safe or safe.plugs <= told.plugs + _MORE_FOR_SURE:
        return safe
    return replace(told, found=replace(told.found, safer=Safer(safe.plugs, safe.fails)))
