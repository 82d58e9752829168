"""What a staged search asks CP-SAT: each call may do a share of the work left."""

from dataclasses import replace

from spreadload.derived.asked import Demand
from spreadload.solver.engine.calls import Answer, Effort, Status, hint_all, solve
from spreadload.solver.engine.cp import cp_model
from spreadload.solver.engine.limits import DETERMINISTIC_PER_S, SLOWER, Clock, SolverConfig
from spreadload.solver.model.variables import Linear, Variables, evaluate

Split = dict[tuple[Demand, str], int]
# However little is left, a call gets this.
LEAST_S = 0.05


class StageCalls:
    """The model of a staged search and the plan in hand, from which every call starts.

    Attributes:
        start: Where units are in a plan to start from, as long as none is in hand.
        values: Value of every decision in the best plan so far; empty without one.
    """

    v: Variables
    config: SolverConfig
    clock: Clock
    start: Split
    values: list[int]

    def value(self, aim: Linear) -> int:
        """Return the value of a sum in the best plan so far."""
        return evaluate(aim, self.values)

    def _is_known(self, aim: Linear) -> bool:
        """Whether the plan in hand has a value for every decision of a sum."""
        return all(var.index < len(self.values) for var in cp_model.FlatIntExpr(aim).vars)

    def _call(
        self,
        share: float,
        grace_s: float = 0.0,
        enough: int | None = None,
        linearization: int = 2,
    ) -> Answer:
        self._hint()
        if not self.values:
            grace_s = self.clock.grace_left_s
        was_interrupted = self.clock.is_interrupted
        effort = self._effort(share, grace_s)
        effort = replace(effort, enough=enough, linearization=linearization)
        answer = solve(self.v.model, effort, self.clock)
        is_last_hope = answer.status is Status.NOTHING and grace_s and self.clock.is_interrupted
        if is_last_hope and not was_interrupted:
            return self._call(share, grace_s, enough, linearization)
        return answer

    def _effort(self, share: float, grace_s: float = 0.0) -> Effort:
        work_s = max(self.clock.work_left_s * share, grace_s, LEAST_S)
        wall_s = min(work_s * SLOWER, max(self.clock.left_s, grace_s, LEAST_S))
        deterministic = work_s * DETERMINISTIC_PER_S
        return Effort(wall_s, deterministic, self.config.workers, self.config.seed)

    def _hint(self) -> None:
        self.v.model.clear_hints()
        if not self.values:
            for key, count in self.start.items():
                if key in self.v.at:
                    self.v.model.add_hint(self.v.at[key], count)
            return
        hint_all(self.v.model, self.values)
