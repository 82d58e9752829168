"""Models in which the load flow has a say: what it refuses, the model learns to leave alone."""

from collections.abc import Sequence
from dataclasses import dataclass

from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.plan import Search
from spreadload.solver.engine.cp import cp_model
from spreadload.solver.engine.found import Found
from spreadload.solver.engine.limits import Clock, SolverConfig
from spreadload.solver.model.feasible import solve
from spreadload.solver.model.packing import CannotSeatError
from spreadload.solver.model.readback import read_plan
from spreadload.solver.model.variables import Variables, evaluate
from spreadload.solver.volts.better_leads import with_better_leads
from spreadload.solver.volts.cuts import VOLTS_RULES, Cuts


@dataclass
class VoltsLoop:
    """Judges what one model proposes, and teaches it.

    Attributes:
        facts: The facts the model was built from.
        most_leads: Leads with an index from here on cost extra and are not taken for better volts.
    """

    facts: Facts
    judge: Judge
    cuts: Cuts
    most_leads: int | None = None
    _applied: int = 0

    @classmethod
    def of(cls, facts: Facts, most_leads: int | None = None) -> "VoltsLoop":
        """Prepare the judge of the model's facts."""
        judge = Judge(facts)
        return cls(facts, judge, Cuts(facts, judge), most_leads)

    @property
    def has_readings(self) -> bool:
        """Whether volts can refuse anything here."""
        return self.judge.house.may_refuse

    @property
    def can_prove(self) -> bool:
        """Whether nothing learnt so far rules out what the load flow would accept."""
        return self.cuts.can_prove

    def solved(
        self, v: Variables, clock: Clock, config: SolverConfig
    ) -> tuple[list[int], bool] | Found:
        """Return the value of every decision once the volts are kept, and whether none is better.

        Args:
            v: The model; bounds are added to it until nothing is refused.
            clock: The clock of the search; once it has run out what was refused is returned.
            config: The seed.
        """
        while True:
            solver, status = solve(v.model, clock.left_s, config.seed)
            if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
                is_none = status == cp_model.INFEASIBLE and self.can_prove
                return Found.NONE_EXISTS if is_none else Found.NOTHING
            values = list(solver.response_proto.solution)
            if clock.left_s <= 0 or not self.refuses(v, values):
                return values, status == cp_model.OPTIMAL and self.can_prove

    def refuses(self, v: Variables, values: Sequence[int]) -> bool:
        """Whether the load flow refuses what a model proposes; if so the model is taught a bound.

        Args:
            v: The model; bounds are added to it.
            values: Value of every decision.
        """
        try:
            plan = read_plan(v, lambda term: evaluate(term, values), Search())
        except CannotSeatError:
            return False
        verdict = self.judge.judge(plan)
        broken = tuple(each for each in verdict.violations if each.rule in VOLTS_RULES)
        if not broken:
            return False
        _, better = with_better_leads(
            self.facts, self.judge, plan, verdict, most_leads=self.most_leads
        )
        if not any(each.rule in VOLTS_RULES for each in better.violations):
            return False
        self.cuts.learn(plan, verdict.model_copy(update={"violations": broken}))
        for wish in self.cuts.wishes[self._applied :]:
            wish(v)
        self._applied = len(self.cuts.wishes)
        return True
