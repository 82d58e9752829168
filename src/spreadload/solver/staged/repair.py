"""A finished search put right where the power boards of some points cannot be dealt out.

The boards there are told apart in a model of their own, and as little as possible is moved.
"""

from dataclasses import replace

from spreadload.job.preferences import Goal
from spreadload.solver.engine.calls import solve
from spreadload.solver.model.rules import CORE_RULES
from spreadload.solver.model.variables import is_constant
from spreadload.solver.staged.stages import SETTLE_SHARE, Stages


class Repair(Stages):
    """One search on a model in which the boards of some points are told apart."""

    def take_over(self, other: Stages, points: frozenset[str]) -> bool:
        """Take over another search's split, moving only what may use some points.

        Every goal but the cable stays as good; whether runs were found.

        Args:
            other: A finished search on boards that were only counted.
            points: Points whose boards are told apart here.
        """
        for rule in self.rules:
            if rule in CORE_RULES:
                rule(self.v)
        self._lay_runs()
        for goal, reached in other.reached.items():
            if goal is not Goal.CABLE and not is_constant(self._sum(goal)):
                self.v.model.add(self._sum(goal) <= reached)
        self._hint_split(other, points)
        aim = self._sum(Goal.CABLE)
        self.v.model.minimize(aim)
        effort = replace(self._effort(SETTLE_SHARE, self.clock.grace_left_s), is_fixed=True)
        answer = solve(self.v.model, effort, self.clock)
        if not answer.values:
            return False
        self.values = list(answer.values)
        self.reached, self.unproven = dict(other.reached), dict(other.unproven)
        best, bound = self.value(aim), other.reached.get(Goal.CABLE, 0)
        bound = other.unproven.get(Goal.CABLE, (0, bound))[1]
        if best > bound and Goal.CABLE in self.goals:
            self.unproven[Goal.CABLE] = (best, bound)
        return True

    def _hint_split(self, other: Stages, free_at: frozenset[str]) -> None:
        moved = {
            demand
            for (demand, point_id), x in other.v.at.items()
            if point_id in free_at and other.values[x.index]
        }
        for key, x in self.v.at.items():
            if key[0] not in moved:
                self.v.model.add_hint(x, other.values[other.v.at[key].index])
        for name, x in self.v.off.items():
            self.v.model.add_hint(x, other.values[other.v.off[name].index])
        for demand, x in self.v.left_out.items():
            if demand not in moved:
                self.v.model.add_hint(x, other.values[other.v.left_out[demand].index])
