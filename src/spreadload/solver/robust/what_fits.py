"""Where a list cannot run and the wiring is not known: what does run, planned over the wirings.

Which heads stay dark is settled on what is sure of the wiring; what is left is then planned like
any other job whose wiring is open, so that it comes with its own chance of failing.
"""

from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from itertools import count

from spreadload.changes.edits import drop_heads
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.job.job import Job
from spreadload.plan import (
    Chance,
    Impossible,
    LeftOut,
    Outcome,
    Plan,
    Solved,
    chance_shown,
)
from spreadload.solver.engine.limits import SolverConfig
from spreadload.wiring.model import WiringModel

Search = Callable[[WiringModel, SolverConfig], Outcome]


def with_what_fits(
    outcome: Outcome, model: WiringModel, config: SolverConfig, search: Search
) -> Outcome:
    """Return a proof that a list cannot run with the rest of the list planned for open wiring.

    Args:
        outcome: What looking for a plan on what is sure ended with.
        model: The wirings the house may have.
        config: Limits and seed.
        search: Looks for plans of a job whose wiring is open.
    """
    if not isinstance(outcome, Impossible) or outcome.reduced is None:
        return outcome
    left_out = outcome.reduced[0].left_out
    if not left_out:
        return outcome
    rest = replace(model, job=_without(model.job, left_out))
    shown = _shown(search(rest, replace(config, alternatives=0)))
    if shown is None:
        # What holds on what is sure and on no wiring there may be is not what fits.
        return outcome.model_copy(update={"reduced": None})
    fewer, chance = shown
    plan = _with_left_out(fewer, (*left_out, *fewer.left_out))
    is_certain = chance is None or chance.certificate
    verdict = Judge(Facts.of(model.job, "every" if is_certain else "maps")).judge(plan)
    if not verdict.holds:
        return outcome.model_copy(update={"reduced": None})
    return outcome.model_copy(update={"reduced": (plan, verdict), "chance": chance})


def _shown(found: Outcome) -> tuple[Plan, Chance | None] | None:
    """Return the plan of what is left of a list, with how often it fails, or None."""
    match found:
        case Solved(plans=((plan, _), *_)):
            return plan, chance_shown(found)
        case Impossible(reduced=(plan, _), chance=chance):
            return plan, chance
        case _:
            return None


def _without(job: Job, left_out: tuple[LeftOut, ...]) -> Job:
    fewer = Counter((entry.setup, entry.load, entry.place or "") for entry in left_out)
    for (setup, load, place), units in fewer.items():
        job = drop_heads(job, setup, load, place, units)
    return job


def _with_left_out(plan: Plan, left_out: tuple[LeftOut, ...]) -> Plan:
    """Return the plan with its dark heads named, by unit numbers that nothing else has."""
    taken = {(p.setup, p.load, p.unit) for p in plan.placements}
    named = []
    for entry in left_out:
        # One that keeps its plug from an earlier set-up may be number 2 with number 1 dark.
        unit = next(n for n in count(1) if (entry.setup, entry.load, n) not in taken)
        taken.add((entry.setup, entry.load, unit))
        named.append(entry.model_copy(update={"unit": unit}))
    return plan.model_copy(update={"left_out": tuple(named)})
