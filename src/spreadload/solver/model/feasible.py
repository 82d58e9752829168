"""Whether a set-up can run at all, without looking for a good plan."""

from collections.abc import Iterable, Mapping
from enum import Enum, auto

from spreadload.derived.facts import Facts
from spreadload.solver.engine.cp import cp_model
from spreadload.solver.engine.limits import DETERMINISTIC_PER_S, SolverConfig
from spreadload.solver.model import devices
from spreadload.solver.model.rules import RULES
from spreadload.solver.model.variables import Relaxations, Variables, total
from spreadload.units import FULL_PCT


class Fits(Enum):
    """What a plain solve ended with."""

    YES = auto()
    NO = auto()
    UNSURE = auto()


def fits(
    facts: Facts,
    limit_s: float,
    *,
    work_s: float | None = None,
    margins_pct: Mapping[str, int] | None = None,
    is_clean: bool = False,
    is_all_on: bool = False,
    seed: int = SolverConfig.seed,
) -> Fits:
    """Return whether any plan keeps every hard rule.

    Args:
        facts: The set-ups to look at.
        limit_s: Wall time [s].
        work_s: Work, in the seconds it usually takes; as much as the wall time allows without.
        margins_pct: Most per cent that any device may carry, per set-up; 100 where not given.
        is_clean: Whether heads must stay off last-resort outlets.
        is_all_on: Whether nothing may be switched off, not even what may be off.
        seed: Seed of the solver's random choices.
    """
    v = Variables.of(facts, Relaxations())
    for rule in RULES:
        rule(v)
    hold_margins(v, margins_pct or {})
    if is_clean:
        v.model.add(total(last_resort_units(v)) == 0)
    if is_all_on:
        v.model.add(total(v.off.values()) == 0)
    _, status = solve(v.model, limit_s, seed, work_s)
    if status == cp_model.INFEASIBLE:
        return Fits.NO
    return Fits.YES if status in (cp_model.OPTIMAL, cp_model.FEASIBLE) else Fits.UNSURE


def hold_margins(v: Variables, margins_pct: Mapping[str, int]) -> None:
    """Hold every device of a set-up below a share of its limit."""
    if all(margin_pct >= FULL_PCT for margin_pct in margins_pct.values()):
        return
    for device in devices.breakers(v):
        margin_pct = margins_pct.get(device.setup, FULL_PCT)
        if margin_pct < FULL_PCT:
            v.model.add(FULL_PCT * device.load <= margin_pct * device.limit)


def last_resort_units(v: Variables) -> Iterable[cp_model.LinearExprT]:
    """Yield the units of every head at every last-resort point."""
    for demand, options in v.options.items():
        if v.facts.loads[demand.load].is_head:
            for option in options:
                if option.point.is_last_resort:
                    yield v.units_at(demand, option.point.id)


def solve(
    model: cp_model.CpModel, limit_s: float, seed: int, work_s: float | None = None
) -> tuple[cp_model.CpSolver, int]:
    """Solve a model with one worker, so that the same input gives the same answer.

    Args:
        model: What to solve.
        limit_s: Wall time [s].
        seed: Seed of the solver's random choices.
        work_s: Work, in the seconds it usually takes; an answer that it cuts short is the same on
            a busy machine, one that the wall time cuts short is not.
    """
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = max(limit_s, 0.01)
    if work_s is not None:
        solver.parameters.max_deterministic_time = work_s * DETERMINISTIC_PER_S
    solver.parameters.catch_sigint_signal = False
    solver.parameters.random_seed = seed
    solver.parameters.num_workers = 1
    return solver, solver.solve(model)
