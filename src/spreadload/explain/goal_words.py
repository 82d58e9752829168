"""Two lists of goal values held against each other, in crew words."""

from collections.abc import Iterator
from dataclasses import dataclass

from spreadload.plan import Verdict

WORDS: dict[str, tuple[str, str]] = {
    "keep heads": ("cost of heads left dark", ""),
    "keep house on": ("loads switched off", ""),
    "discharge apart": ("big discharge heads too many together", ""),
    "last resort": ("heads on last-resort outlets", ""),
    "heat apart": ("heads beside a department's heat", ""),
    "light stays": ("circuits whose loss leaves a set dark", ""),
    "leakage guide": ("leakage above the guide", " mA"),
    "tightest": ("tightest", " %"),
    "balance": ("phases apart", " A"),
    "replugs": ("cost of re-plugging", ""),
    "cable": ("lead to run", " m"),
}


@dataclass(frozen=True)
class Change:
    """One goal that a change makes worse or better; smaller values are better."""

    goal: str
    before: int
    after: int

    @property
    def is_worse(self) -> bool:
        """Whether the change costs something."""
        return self.after > self.before

    @property
    def text(self) -> str:
        """The change in words: ``tightest 95 % instead of 87 %``."""
        name, unit = WORDS.get(self.goal, (self.goal, ""))
        return f"{name} {self.after}{unit} instead of {self.before}{unit}"


def vector(verdict: Verdict) -> tuple[int, ...]:
    """Return the goal values in the order of importance."""
    return tuple(goal.value for goal in verdict.goals)


def changes(before: Verdict, after: Verdict) -> Iterator[Change]:
    """Yield goals whose value differs, most important first."""
    for was, now in zip(before.goals, after.goals, strict=True):
        if was.value != now.value:
            yield Change(was.goal, was.value, now.value)


def price(before: Verdict, after: Verdict) -> str:
    """Return what decides between two plans: the most important goal that differs."""
    first = next(changes(before, after), None)
    if first is None:
        return "just as good by every rule"
    return first.text if first.is_worse else f"even better: {first.text}"
