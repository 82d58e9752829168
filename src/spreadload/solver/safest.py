"""A set-up's wiring not known: the safest plan for what is left of the day, and any plan's chance.

Beside the limits a plan may pass, a breaker that has to stay off counts: a head on it is dark.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from spreadload.check import Judge
from spreadload.plan import Plan
from spreadload.solver.limits import Clock, SolverConfig
from spreadload.solver.request import Wish
from spreadload.solver.risk_table import RiskTable
from spreadload.solver.robust import Robust, base_plan, fit, risk_table
from spreadload.solver.robust_model import hold
from spreadload.wiring.model import WiringModel

_SHARE = 0.5


@dataclass(frozen=True)
class Remaining:
    """The wirings a house may have, and the set-ups still to come.

    Attributes:
        robust: The search, for those set-ups.
        off: Circuits that stay off.
    """

    robust: Robust
    off: tuple[str, ...]

    @classmethod
    def of(
        cls, model: WiringModel, setups: list[str], off: tuple[str, ...], config: SolverConfig
    ) -> "Remaining":
        """Draw the wirings and work out the set-ups."""
        robust = Robust.of(model, config)
        facts = robust.facts.only(setups)
        return cls(replace(robust, facts=facts, judge=Judge(facts)), off)

    def fails(self, plan: Plan) -> float:
        """Return the chance that a plan passes a limit or leaves a head on a dead circuit."""
        facts = self.robust.facts
        placed = [p for p in plan.placements if p.setup in facts.demands and p.load in facts.loads]
        known = tuple(p for p in placed if p.point in facts.points)
        shown = plan.model_copy(update={"placements": known})
        points = [facts.points[p] for p in sorted({p.point for p in known})]
        if not points:
            return 0.0
        table = RiskTable.of(facts, self.robust.fresh, points)
        fails = table.fails(table.violated(table.carried(shown), table.off(shown)))
        return float(table.maps.weights @ (fails | self._dark(table, shown)))

    def _dark(self, table: RiskTable, plan: Plan) -> NDArray[np.bool_]:
        """Return per map whether a head is on a circuit that stays off."""
        facts, maps = table.facts, table.maps
        numbers = [n for n, c in enumerate(maps.circuits) if c in self.off]
        heads = {p.point for p in plan.placements if facts.loads[p.load].is_head}
        outlets = {facts.points[p].outlet for p in heads} & set(maps.outlets)
        columns = [maps.outlets.index(o) for o in sorted(outlets)]
        return np.asarray(np.isin(maps.on[:, columns], numbers).any(axis=1), dtype=np.bool_)

    def safest(self, config: SolverConfig) -> Wish | None:
        """Return the wish to trip as seldom as any plan found, or None when none was found."""
        clock = Clock(config.time_limit_s * _SHARE)
        base, _ = base_plan(self.robust, clock)
        if base is None:
            return None
        table = risk_table(self.robust)
        return hold(table, fit(self.robust, table, base[0], clock))
