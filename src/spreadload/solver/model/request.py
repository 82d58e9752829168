"""What to look for: the job's own question, or one with something forced or given up."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from spreadload.derived.asked import Demand
from spreadload.derived.facts import Facts
from spreadload.job.preferences import Goal
from spreadload.solver.model.rules import RULES, Rule
from spreadload.solver.model.variables import Relaxations, Variables

Wish = Callable[[Variables], None]

NOTHING_RELAXED = Relaxations()
# What decides which heads and house loads are on, and nothing about how well.
LIT_GOALS = (Goal.KEEP_HEADS, Goal.KEEP_HOUSE_ON)


@dataclass(frozen=True)
class Request:
    """What to look for.

    Attributes:
        wishes: Extra requirements put on the model, such as a choice that is forced.
        relaxed: What may be given up.
        goals: Soft rules in order; the job's own when empty.
        rules: Hard rules to put in; a test drops one to see an answer change.
        start: Units of each demand at each point in a plan to start from, if there is one.
    """

    wishes: tuple[Wish, ...] = ()
    relaxed: Relaxations = NOTHING_RELAXED
    goals: tuple[Goal, ...] = ()
    rules: tuple[Rule, ...] = RULES
    start: Mapping[tuple[Demand, str], int] = field(default_factory=dict)

    def goals_of(self, facts: Facts) -> tuple[Goal, ...]:
        """Return the soft rules to go by.

        Where heads may be left out, what is lit comes before how well: by the job's own order,
        *cable* before *keep heads*, the shortest cable is that of a house in the dark.
        """
        stated = self.goals or facts.job.rules.goals
        if self.goals or not self.relaxed.heads_may_be_left_out:
            return stated
        lit = [goal for goal in stated if goal in LIT_GOALS]
        if Goal.KEEP_HEADS not in lit:
            lit.insert(0, Goal.KEEP_HEADS)
        return tuple(dict.fromkeys((*lit, *stated)))
