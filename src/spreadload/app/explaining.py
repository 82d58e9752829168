"""Explains the best plan on one core while another still looks for the plans ranked behind it.

A search on another core leaves Python free most of the time. What is told is the same whichever of
the two ends first: a plan is explained from its facts alone, and if in the end another plan is
shown, that one is explained then.
"""

from collections.abc import Callable

from spreadload.derived.facts import Facts
from spreadload.explain.briefing import Briefing
from spreadload.plan import Plan
from spreadload.solver.engine.interruption import Task

Explain = Callable[[Facts, Plan], Briefing]


class Explaining:
    """One plan that is being explained, if any."""

    def __init__(self, explain: Explain) -> None:
        """Keep how a plan is explained."""
        self._explain = explain
        self._of: tuple[Facts, Plan] | None = None
        self._task: Task[Briefing] | None = None

    def start(self, facts: Facts, plan: Plan) -> None:
        """Begin to explain a plan that is likely to be shown, and return at once."""
        self._of = facts, plan
        self._task = Task(lambda: self._explain(facts, plan))
        self._task.start()

    def of(self, facts: Facts, plan: Plan) -> Briefing:
        """Return the explanation of the plan shown, judged on some facts of the same job."""
        if self._task is None or self._of is None or not _is_same(self._of, (facts, plan)):
            return self._explain(facts, plan)
        return self._task.outcome()


def _is_same(started: tuple[Facts, Plan], shown: tuple[Facts, Plan]) -> bool:
    """Whether a plan is the one that was started with, for the same job counted alike."""
    (facts, plan), (now, best) = started, shown
    return plan is best and facts.unknown == now.unknown and facts.job == now.job
