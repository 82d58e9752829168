"""What could happen at another time of the day, where the job has leave for it.

A load may run in another set-up (`may_move_to`), and two set-ups may change places
(`may_swap_with`), which takes one of them out of the hours of what starts by itself.
"""

from collections.abc import Iterator
from functools import partial

from spreadload.changes import Change, ChangeKind, price_of, run_in, swap_setups
from spreadload.derived.facts import Facts
from spreadload.job.job import Job
from spreadload.solver.feasible import Fits, fits
from spreadload.solver.limits import Clock


def other_times(
    base: Facts, trouble: tuple[str, ...], limit_s: float, seed: int
) -> dict[tuple[str, str], str]:
    """Return, by set-up in trouble and load, a set-up in which the load would fit instead.

    Args:
        base: The job as asked.
        trouble: Set-ups in trouble; nothing is moved into one of them.
        limit_s: Wall time for all of it [s].
        seed: Seed of the solver's random choices.
    """
    clock = Clock(limit_s)
    on = {setup: {d.load for d in asked} for setup, asked in base.demands.items()}
    found: dict[tuple[str, str], str] = {}
    for setup in trouble:
        for demand in base.demands[setup]:
            load = base.load_stated(demand.load)
            targets = () if load is None or demand.circuit else load.may_move_to
            for target in targets:
                if target in trouble or demand.load in on[target]:
                    continue
                there = Facts.of(run_in(base.job, demand.load, target, setup)).only([target])
                if fits(there, clock.left_s, is_clean=True, seed=seed) is Fits.YES:
                    found[setup, demand.load] = target
                    break
    return found


def other_orders(job: Job, trouble: tuple[str, ...]) -> Iterator[Change]:
    """Yield every exchange of a set-up in trouble with another that the job allows."""
    order = [setup.id for setup in job.setups]
    pairs = {
        frozenset({setup.id, other})
        for setup in job.setups
        for other in setup.may_swap_with
        if {setup.id, other} & set(trouble)
    }
    for pair in sorted(pairs, key=lambda pair: sorted(map(order.index, pair))):
        one, other = sorted(pair, key=order.index)
        changed = swap_setups(job, one, other)
        if changed is None:
            continue
        new = {setup.id: setup for setup in changed.setups}
        words = (
            f"{other} first, {new[other].from_} to {new[other].to}, and {one} after it, "
            f"{new[one].from_} to {new[one].to}"
        )
        cost = price_of(job.costs, minutes=job.costs.reorder_min)
        yield Change(ChangeKind.ORDER, words, cost, partial(_swapped, one=one, other=other))


def _swapped(job: Job, one: str, other: str) -> Job:
    return swap_setups(job, one, other) or job
