"""Choices that are forced, so that the price of each can be asked for.

Answers “why not there?” together with ``explain.why_not``, which puts the price into words.
"""

from dataclasses import dataclass, replace
from enum import Enum, auto

from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.plan import Impossible, Outcome, Plan, Solved, Verdict
from spreadload.solver.limits import Clock, SolverConfig
from spreadload.solver.search import Request, Wish, find_one, find_plans
from spreadload.solver.stages import Found
from spreadload.solver.variables import Relaxations, Variables, total


class NoPlan(Enum):
    """Why there is no plan with a choice forced."""

    NONE_EXISTS = auto()
    NOT_DECIDED = auto()


def force(load: str, outlet: str, setup: str, place: str | None = None) -> Wish:
    """Return a wish for at least one unit of a load at an outlet.

    Args:
        load: Head or load id.
        outlet: Outlet id, or the id of one point such as ``outlet/box/phase``; a box standing at
            the outlet counts as the outlet.
        setup: Set-up id.
        place: Where the unit stands, or None for any place.
    """

    def wish(v: Variables) -> None:
        there = total(
            v.units_at(demand, option.point.id)
            for demand in v.plugged(setup)
            if demand.load == load and place in (None, demand.place)
            for option in v.options[demand]
            if outlet in (option.point.id, option.point.outlet)
        )
        v.model.add(there >= 1)

    return wish


@dataclass(frozen=True)
class Asking:
    """Plans to hold against each other.

    Attributes:
        config: Settings of each search on its own.
    """

    facts: Facts
    judge: Judge
    config: SolverConfig

    def outcome(self) -> Outcome:
        """Return what planning the job as asked ends with, without alternatives."""
        return find_plans(self.facts, self.judge, replace(self.config, alternatives=0))

    def with_forced(
        self, wish: Wish, *, heads_may_be_left_out: bool
    ) -> tuple[Plan, Verdict] | NoPlan:
        """Return the best plan that grants a wish, or why there is none."""
        relaxed = Relaxations(heads_may_be_left_out=heads_may_be_left_out)
        clock = Clock(self.config.time_limit_s)
        request = Request(wishes=(wish,), relaxed=relaxed)
        got, found = find_one(self.facts, self.judge, self.config, clock, request)
        if got is not None:
            return got
        return NoPlan.NONE_EXISTS if found is Found.NONE_EXISTS else NoPlan.NOT_DECIDED


def to_hold_against(outcome: Outcome) -> tuple[Plan, Verdict] | None:
    """Return the best plan of an outcome, or the fullest legal one, or None."""
    match outcome:
        case Solved():
            return outcome.plans[0]
        case Impossible():
            return outcome.reduced
        case _:
            return None
