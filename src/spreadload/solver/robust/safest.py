"""Wiring not known: the safest plan for what is left of the day, and any plan's chance.

Beside the limits a plan may pass, a breaker that has to stay off counts: a head on it is dark.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from spreadload.check import Judge
from spreadload.electrical.rows import Figure
from spreadload.job.preferences import Goal
from spreadload.plan import Plan
from spreadload.solver.engine.limits import Clock, SolverConfig
from spreadload.solver.model.request import Request, Wish
from spreadload.solver.model.variables import Variables
from spreadload.solver.robust.hold import hold
from spreadload.solver.robust.least_risk import Robust, fit, risk_table
from spreadload.solver.robust.risk_table import RiskTable
from spreadload.solver.robust.starved import lessons, wirings_apart
from spreadload.solver.robust.volts_risk import volts_risk
from spreadload.solver.search.ranked_plans import find_one
from spreadload.wiring.model import WiringModel

MAY_BE_DARK = Figure(0.05, source="a chance of no power too small to re-plug for; our own choice")
_RATHER = 0.5
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
        fails |= self._dark(table, shown)
        on_volts = volts_risk(self.robust.judge, shown, table, fails).share
        return table.maps.share(fails) + on_volts

    def lessons(self, plan: Plan) -> list[tuple[Wish, ...]]:
        """Return the bounds that the likeliest wirings teach on which a plan starves a head.

        None where the supply was not read; the plan must be one for these set-ups.
        """
        robust = self.robust
        if not robust.has_volts:
            return []
        table = wirings_apart(robust)
        fails = table.fails(table.violated(table.carried(plan), table.off(plan)))
        return lessons(robust, plan, volts_risk(robust.judge, plan, table, fails))

    def _dark(self, table: RiskTable, plan: Plan) -> NDArray[np.bool_]:
        """Return per map whether a head is on a circuit that stays off."""
        facts, maps = table.facts, table.maps
        numbers = [n for n, c in enumerate(maps.circuits) if c in self.off]
        heads = {p.point for p in plan.placements if facts.loads[p.load].is_head}
        outlets = {facts.points[p].outlet for p in heads} & set(maps.outlets)
        columns = [maps.outlets.index(o) for o in sorted(outlets)]
        return np.asarray(np.isin(maps.on[:, columns], numbers).any(axis=1), dtype=np.bool_)

    def ways(self, config: SolverConfig) -> Iterator[tuple[Wish, ...]]:
        """Yield what to wish for, the safest first: each may turn out to be impossible.

        A head where it may be dark is worse than a breaker that may trip, so that is looked after
        before the limits, as far as it goes.
        """
        for above in (MAY_BE_DARK.value, _RATHER) if self.off else (1.0,):
            lit = self._lit(above)
            held = self._held(lit, config)
            yield from [(lit, held), (lit,)] if held is not None else []

    def _held(self, lit: Wish, config: SolverConfig) -> Wish | None:
        """Return the wish to trip as seldom as any plan found, or None when none was found."""
        clock = Clock(config.time_limit_s * _SHARE)
        robust = self.robust
        request = Request(goals=(Goal.KEEP_HEADS, Goal.KEEP_HOUSE_ON), wishes=(lit,))
        base, _ = find_one(robust.facts, robust.judge, robust.config, clock, request)
        if base is None:
            return None
        table = risk_table(robust)
        return hold(table, fit(robust, table, base[0], clock))

    def _lit(self, above: float) -> Wish:
        """Return the wish that no head stands where it is dark with more than some chance."""
        chance = {o: self._dead(o) for o in self.robust.fitted.outlets}

        def wish(v: Variables) -> None:
            for demand, options in v.options.items():
                if v.facts.loads[demand.load].is_head:
                    for option in options:
                        if chance.get(option.point.outlet, 0.0) > above:
                            v.model.add(v.units_at(demand, option.point.id) == 0)

        return wish

    def _dead(self, outlet: str) -> float:
        """Return the chance that an outlet is on a circuit that stays off."""
        chances = self.robust.fitted.chances(outlet)
        return sum(chances.get(circuit, 0.0) for circuit in self.off)
