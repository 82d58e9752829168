"""From a plan somebody drew to one that holds, with as few plugs moved as possible.

Set-ups that hold as drawn are left alone; in the others the most units keep their point.
"""

from collections import Counter
from dataclasses import dataclass

from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.plan import Plan, Search
from spreadload.solver.engine.found import Found
from spreadload.solver.engine.limits import Clock, SolverConfig
from spreadload.solver.model.readback import read_plan
from spreadload.solver.model.rules import RULES
from spreadload.solver.model.variables import Relaxations, Variables, evaluate, total
from spreadload.solver.volts.better_leads import with_better_leads
from spreadload.solver.volts.cuts import is_about_volts
from spreadload.solver.volts.loop import VoltsLoop

Spot = tuple[str, str | None, str]


@dataclass(frozen=True)
class Moves:
    """What to move in one set-up.

    Attributes:
        moved: How many units leave the point they were drawn at, or are plugged in at last.
        away: (load, place, point) with how many units leave it.
        to: (load, place, point) with how many units come to it.
        plan: A judged plan of the set-up, or None when none holds.
        is_proven: Whether fewer moves, or any plan at all, are proved impossible.
    """

    setup: str
    moved: int
    away: tuple[tuple[Spot, int], ...]
    to: tuple[tuple[Spot, int], ...]
    plan: Plan | None
    is_proven: bool


def fewest_moves(facts: Facts, plan: Plan, config: SolverConfig | None = None) -> tuple[Moves, ...]:
    """Return the fewest moves for every set-up of a plan that passes a limit as drawn."""
    config = config or SolverConfig()
    clock = Clock(config.time_limit_s)
    found = []
    for setup in facts.demands:
        only = facts.only([setup])
        part = plan.only({setup})
        if not Judge(only).judge(part).holds:
            found.append(_moves(only, setup, part, clock, config))
    return tuple(found)


def _moves(only: Facts, setup: str, drawn: Plan, clock: Clock, config: SolverConfig) -> Moves:
    was = Counter((p.load, p.place, p.point) for p in drawn.placements)
    v = Variables.of(only, Relaxations())
    for rule in RULES:
        rule(v)
    kept = []
    for demand, options in v.options.items():
        for option in options:
            there = was[demand.load, demand.place, option.point.id]
            if there:
                stays = v.model.new_int_var(0, there, f"{demand.load} stays at {option.point.id}")
                v.model.add(stays <= v.units_at(demand, option.point.id))
                kept.append(stays)
    v.model.maximize(total(kept))
    loop = VoltsLoop.of(only)
    found = loop.solved(v, clock, config)
    if isinstance(found, Found):
        return Moves(setup, 0, (), (), None, is_proven=found is Found.NONE_EXISTS)
    values, is_proven = found
    plan = read_plan(v, lambda term: evaluate(term, values), Search())
    now = Counter((p.load, p.place, p.point) for p in plan.placements)
    away, to = was - now, now - was
    verdict = Judge(only).judge(plan)
    if is_about_volts(verdict):
        plan, verdict = with_better_leads(only, loop.judge, plan, verdict)
    return Moves(
        setup,
        to.total(),
        tuple(sorted(away.items(), key=str)),
        tuple(sorted(to.items(), key=str)),
        plan if verdict.holds else None,
        is_proven=is_proven,
    )
