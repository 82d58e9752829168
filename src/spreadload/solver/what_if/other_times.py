"""What could happen at another time of the day, where the job has leave for it.

A load may run in another set-up (`may_move_to`), and set-ups may change places (`may_swap_with`),
two or more of them, which takes one out of the hours of what starts by itself.
"""

from collections.abc import Iterator, Sequence
from functools import partial
from itertools import combinations

from spreadload.changes import Change, ChangeKind, price_of, reordered, run_in
from spreadload.derived.facts import Facts
from spreadload.job.day import Setup
from spreadload.job.job import Job
from spreadload.solver.engine.limits import Clock
from spreadload.solver.model.feasible import Fits, fits
from spreadload.words import setup_name

_LEAST_S = 0.5
_PAIR = 2
# Nobody turns more of a day round than this, and trying all orders of many set-ups takes for ever.
_MOST_MOVED = 6


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


def other_orders(base: Facts, trouble: tuple[str, ...], limit_s: float, seed: int) -> "Orders":
    """Return the orders of the day that may help, to be gone through.

    Args:
        base: The job as asked.
        trouble: Set-ups in trouble.
        limit_s: Wall time for all of it [s].
        seed: Seed of the solver's random choices.
    """
    return Orders(base, trouble, Clock(limit_s), seed)


class Orders:
    """Every order of the day the job has leave for, those with the fewest exchanges first.

    A set-up may take the place of another where the two may change places; several may do so at
    once, in pairs or in a ring. Each set-up that comes to other hours is tried there alone first.
    """

    def __init__(self, base: Facts, trouble: tuple[str, ...], clock: Clock, seed: int) -> None:
        """Take the job as asked; nothing is tried yet."""
        self._base, self._trouble, self._clock, self._seed = base, trouble, clock, seed
        self._tried: dict[object, Fits] = {}
        self.is_complete = True

    def changes(self) -> Iterator[Change]:
        """Yield orders in which every set-up that moves fits where it comes to, cheapest first."""
        job = self._base.job
        before = [setup.id for setup in job.setups]
        for order in _by_exchanges(before, _leave(job)):
            if self._clock.left_s <= 0:
                self.is_complete = False
                return
            changed = reordered(job, order)
            if changed is not None and self._may_help(changed):
                cost = price_of(
                    job.costs, minutes=job.costs.reorder_min * _exchanges(before, order)
                )
                edit = partial(_reordered, order=order)
                yield Change(ChangeKind.ORDER, _words(job, changed), cost, edit)

    def _may_help(self, changed: Job) -> bool:
        """Whether all that is in trouble, and all that comes to other hours, may fit by itself."""
        hours = {s.id: (s.from_, s.to) for s in self._base.job.setups}
        moved = {s.id for s in changed.setups if hours[s.id] != (s.from_, s.to)}
        facts = Facts.of(changed)
        # Those in trouble first: where they stay as they are nothing else has to be tried.
        asked = sorted(changed.setups, key=lambda s: s.id not in self._trouble)
        concerned = (s for s in asked if s.id in self._trouble or s.id in moved)
        return all(self._fits(facts, s) is not Fits.NO for s in concerned)

    def _fits(self, facts: Facts, setup: Setup) -> Fits:
        long_on = frozenset(load for at, load in facts.continuous if at == setup.id)
        key = (setup.id, setup.from_, setup.to, long_on)
        if key not in self._tried:
            only = facts.only([setup.id])
            self._tried[key] = fits(only, max(self._clock.left_s, _LEAST_S), seed=self._seed)
        return self._tried[key]


def _leave(job: Job) -> dict[str, frozenset[str]]:
    """Return the set-ups whose place each may take, its own among them."""
    found = {setup.id: {setup.id} for setup in job.setups}
    for setup in job.setups:
        for other in setup.may_swap_with:
            found[setup.id].add(other)
            found[other].add(setup.id)
    return {name: frozenset(places) for name, places in found.items()}


def _by_exchanges(before: list[str], leave: dict[str, frozenset[str]]) -> Iterator[tuple[str, ...]]:
    """Yield orders in which each set-up is where it may be, those with the fewest exchanges first.

    So many exchanges move at most twice as many set-ups, in pairs; at least one more, in a ring.
    """
    free = [name for name in before if len(leave[name]) > 1]
    most = min(len(free), _MOST_MOVED)
    for exchanges in range(1, most):
        for moved in range(exchanges + 1, min(2 * exchanges, most) + 1):
            for names in combinations(free, moved):
                for order in _moved(before, names, leave):
                    if _exchanges(before, order) == exchanges:
                        yield order


def _moved(
    before: list[str], names: tuple[str, ...], leave: dict[str, frozenset[str]]
) -> Iterator[tuple[str, ...]]:
    """Yield orders in which just these set-ups are in each other's places, none in its own."""

    def place(left: tuple[str, ...], taken: dict[str, str]) -> Iterator[dict[str, str]]:
        if not left:
            yield taken
            return
        name, *others = left
        for there in names:
            if there != name and there in leave[name] and there not in taken:
                yield from place(tuple(others), {**taken, there: name})

    for taken in place(names, {}):
        yield tuple(taken.get(name, name) for name in before)


def _exchanges(before: Sequence[str], order: Sequence[str]) -> int:
    """Return how many exchanges of two make one order of another: moved ones less rings."""
    now = dict(zip(before, order, strict=True))
    left = {name for name in before if now[name] != name}
    count = len(left)
    while left:
        count -= 1
        at = start = min(left)
        while True:
            left.discard(at)
            at = now[at]
            if at == start:
                break
    return count


def _words(job: Job, changed: Job) -> str:
    """Return the new order of what moves, each with its new times."""
    hours = {s.id: (s.from_, s.to) for s in job.setups}
    before = [s.id for s in job.setups]
    moved = [
        s
        for n, s in enumerate(changed.setups)
        if before[n] != s.id or hours[s.id] != (s.from_, s.to)
    ]
    if len(moved) == _PAIR:
        one, other = moved
        return (
            f"{setup_name(one.id)} first, {one.from_} to {one.to}, "
            f"and {setup_name(other.id)} after it, {other.from_} to {other.to}"
        )
    return "another order: " + ", ".join(f"{setup_name(s.id)} {s.from_} to {s.to}" for s in moved)


def _reordered(job: Job, order: tuple[str, ...]) -> Job:
    return reordered(job, order) or job
