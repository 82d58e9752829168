"""Choices that are forced, so that the price of each can be asked for.

Answers “why not there?” together with ``explain.why_not``, which puts the price into words.
"""

from dataclasses import dataclass
from enum import Enum, auto

from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.job.job import Job
from spreadload.job.observations import Log
from spreadload.plan import Plan, Verdict
from spreadload.solver.engine.found import Found
from spreadload.solver.engine.limits import Clock, SolverConfig
from spreadload.solver.model.variables import Relaxations, Variables, total
from spreadload.solver.robust.chance import chance_of
from spreadload.solver.robust.forced import least_likely_with
from spreadload.solver.robust.least_risk import Robust
from spreadload.solver.search.ranked_plans import Request, Wish, find_one
from spreadload.wiring.model import WiringModel


class NoPlan(Enum):
    """Why there is no plan with a choice forced."""

    NONE_EXISTS = auto()
    NOT_DECIDED = auto()


def force(load: str, outlet: str, setup: str) -> Wish:
    """Return a wish for at least one unit of a load at an outlet.

    Args:
        load: Head or load id.
        outlet: Outlet id, or the id of one point such as ``outlet/box/phase``; a box standing at
            the outlet counts as the outlet.
        setup: Set-up id.
    """

    def wish(v: Variables) -> None:
        there = total(
            v.units_at(demand, option.point.id)
            for demand in v.plugged(setup)
            if demand.load == load
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
        robust: Where plans rest on unknown wiring, what says in how many wirings they fail.
    """

    facts: Facts
    judge: Judge
    config: SolverConfig
    robust: Robust | None = None

    @classmethod
    def of(cls, job: Job, facts: Facts, config: SolverConfig, log: Log | None) -> "Asking":
        """Prepare to ask about a job worked out in the way its plan was judged on."""
        rests_on_maps = facts.is_left_to_maps
        robust = Robust.of(WiringModel.of(job, log), config) if rests_on_maps else None
        return cls(facts, Judge(facts), config, robust)

    def with_forced(
        self, question: tuple[str, str, str], in_hand: Plan
    ) -> tuple[Plan, Verdict] | NoPlan:
        """Return the best plan with a unit at an outlet, or why there is none.

        Where the wiring is not known, the best is the one that fails least often.

        Args:
            question: Set-up, load, outlet.
            in_hand: The plan it is held against; heads may stay dark if they do in that one.
        """
        setup, load, outlet = question
        heads_may_be_left_out = bool(in_hand.left_out)
        if self.robust is not None and not heads_may_be_left_out:
            wish = force(load, outlet, setup)
            safest = least_likely_with(self.robust, in_hand, question, wish, self.config)
            if safest is not None:
                return safest
        relaxed = Relaxations(heads_may_be_left_out=heads_may_be_left_out)
        request = Request(wishes=(force(load, outlet, setup),), relaxed=relaxed)
        clock = Clock(self.config.time_limit_s)
        got, found = find_one(self.facts, self.judge, self.config, clock, request)
        if got is not None:
            return got
        return NoPlan.NONE_EXISTS if found is Found.NONE_EXISTS else NoPlan.NOT_DECIDED

    def fails_pct(self, plan: Plan) -> float | None:
        """Return in how many of 100 wirings a plan fails, or None where the wiring is known."""
        if self.robust is None:
            return None
        return chance_of(self.robust, plan, None).fails_pct
