"""Two lists of goal values held against each other, in crew words."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import chain

from spreadload.plan import Solved, Verdict
from spreadload.units import METRIC, Lengths

WORDS: dict[str, tuple[str, str]] = {
    "discharge apart": ("big discharge heads too many together", ""),
    "last resort": ("heads on last-resort outlets", ""),
    "heat apart": ("heads beside a department's heat", ""),
    "light stays": ("circuits whose loss leaves a set dark", ""),
    "leakage guide": ("leakage above the guide", " mA"),
    "tightest": ("tightest", " %"),
    "each set-up": ("set-ups' tightest added up", " %"),
    "balance": ("supply uneven by", " A"),
    "replugs": ("cost of re-plugging", ""),
    "cable": ("lead to run", ""),
}
# What is dark or off is named; a cost of it would say nothing.
_SAID_OUTRIGHT = frozenset({"keep heads", "keep house on", "chance"})


@dataclass(frozen=True)
class Change:
    """One goal that a change makes worse or better; smaller values are better.

    Attributes:
        words: What the judge says of the goal after the change.
        lengths: How a length is told.
    """

    goal: str
    before: int
    after: int
    words: str = ""
    lengths: Lengths = METRIC

    @property
    def is_worse(self) -> bool:
        """Whether the change costs something."""
        return self.after > self.before

    @property
    def text(self) -> str:
        """The change in words: ``tightest 95 % instead of 87 %``."""
        if self.goal in _SAID_OUTRIGHT:
            return self.words
        name, unit = WORDS.get(self.goal, (self.goal, ""))
        if self.goal == "cable":
            before, after = self.lengths.whole(self.before), self.lengths.whole(self.after)
            return f"{name} {after} instead of {before}"
        return f"{name} {self.after}{unit} instead of {self.before}{unit}"


def vector(verdict: Verdict) -> tuple[int, ...]:
    """Return the goal values in the order of importance."""
    return tuple(goal.value for goal in verdict.goals)


def changes(before: Verdict, after: Verdict, lengths: Lengths) -> Iterator[Change]:
    """Yield goals whose value differs, most important first, lengths told in their unit."""
    for was, now in zip(before.goals, after.goals, strict=True):
        if was.value != now.value:
            yield Change(was.goal, was.value, now.value, now.text, lengths)


def chance_change(before_pct: float, after_pct: float) -> Change:
    """Return the change in how many of 100 possible wirings a plan fails, in tenths."""
    words = f"fails in {after_pct:.1f} of 100 possible wirings instead of {before_pct:.1f}"
    return Change("chance", round(10 * before_pct), round(10 * after_pct), words)


def price(before: Verdict, after: Verdict, lengths: Lengths, chance: Change | None = None) -> str:
    """Return what decides between two plans: the chance of a trip, else the first goal apart."""
    first = chance or next(changes(before, after, lengths), None)
    if first is None:
        return "just as good by every rule"
    return first.text if first.is_worse else f"even better: {first.text}"


def price_of_another(solved: Solved, number: int, lengths: Lengths) -> str:
    """Return what a further plan of a search costs against the first, the chance of a trip first.

    Args:
        solved: The ranked plans.
        number: Which of them, the first being 0.
        lengths: How a length is told.
    """
    costs = changes(solved.plans[0][1], solved.plans[number][1], lengths)
    chances = solved.chances
    if chances:
        change = chance_change(chances[0].fails_pct, chances[number].fails_pct)
        costs = chain((change,) if change.before != change.after else (), costs)
    return price_words(costs) or "just as good by every rule"


def price_words(costs: Iterable[Change]) -> str:
    """Return what gets worse, and what one has in return: ``a; b; in return c``."""
    each = tuple(costs)
    worse = "; ".join(change.text for change in each if change.is_worse)
    better = "; ".join(change.text for change in each if not change.is_worse)
    if not worse or not better:
        return worse or better
    if each[0].is_worse:
        return f"{worse}; in return {better}"
    return f"{better}; at the price of {worse}"
