"""Planning again with the day half gone: what is rigged stays, as far as it can.

The most units keep the point they have in every set-up still to come; of equals those with the
longest cool-down stay. Among all such plans the one best by the job's own goals is taken.
"""

from collections import Counter
from dataclasses import dataclass

from ortools.sat.python import cp_model

from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.plan import Plan, Verdict
from spreadload.solver.feasible import solve
from spreadload.solver.limits import Clock, SolverConfig
from spreadload.solver.request import Request, Wish
from spreadload.solver.rules import RULES
from spreadload.solver.search import find_one
from spreadload.solver.stages import Found
from spreadload.solver.variables import Linear, Variables, weighted

_SHARE = 0.5
# No cool-down outweighs one plug more.
_PLUG = 10_000


@dataclass(frozen=True)
class Rerigged:
    """A plan for what is left of the day.

    Attributes:
        kept: Units that keep their point, counted once per set-up.
        is_proven: Whether no plan keeps more.
    """

    plan: Plan
    verdict: Verdict
    kept: int
    is_proven: bool


def rerig(facts: Facts, rigged: Plan, config: SolverConfig) -> Rerigged | None:
    """Return the plan that changes least, or None when none exists or was found.

    Args:
        facts: The set-ups still to come.
        rigged: What is rigged and planned.
        config: Time limit and seed.
    """
    clock = Clock(config.time_limit_s)
    v = Variables.of(facts)
    for rule in RULES:
        rule(v)
    v.model.maximize(weighted(_kept(v, rigged)))
    solver, status = solve(v.model, clock.left_s * _SHARE, config.seed)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    worth = round(solver.objective_value)
    request = Request(wishes=(_keep(rigged, worth),))
    found, how = find_one(facts, Judge(facts), config, clock, request)
    if found is None or how in (Found.NOTHING, Found.NONE_EXISTS):
        return None
    return Rerigged(*found, kept=worth // _PLUG, is_proven=status == cp_model.OPTIMAL)


def _keep(rigged: Plan, least: int) -> Wish:
    def wish(v: Variables) -> None:
        v.model.add(weighted(_kept(v, rigged)) >= least)

    return wish


def _kept(v: Variables, rigged: Plan) -> list[tuple[int, Linear]]:
    """Return how many units of each demand stay at each point they are planned at, with worth."""
    was = Counter((p.setup, p.load, p.place, p.point) for p in rigged.placements)
    kept: list[tuple[int, Linear]] = []
    for demand, options in v.options.items():
        for option in options:
            there = was[demand.setup, demand.load, demand.place, option.point.id]
            if there:
                name = f"{demand.load} of {demand.setup} stays at {option.point.id}"
                stays = v.model.new_int_var(0, there, name)
                v.model.add(stays <= v.units_at(demand, option.point.id))
                kept.append((_PLUG + v.facts.loads[demand.load].replug_cost, stays))
    return kept
