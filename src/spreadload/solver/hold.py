"""How much light a house holds: the most heads that can run in a set-up, with proof.

Heads of several kinds are filled in by priority: as many of the first as there is room for, then as
many of the next beside them.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from ortools.sat.python import cp_model

from spreadload.derived.facts import Facts
from spreadload.job.job import Job
from spreadload.job.preferences import Goal
from spreadload.solver.feasible import solve
from spreadload.solver.goals import GOALS
from spreadload.solver.limits import Clock, SolverConfig
from spreadload.solver.requirements import any_lead
from spreadload.solver.rules import RULES
from spreadload.solver.variables import Linear, Relaxations, Variables, total

MOST_HEADS = 400
_CURVE_POINTS = 12
_MOST_SHARE, _POINT_SHARE = 0.5, 0.2


@dataclass(frozen=True)
class Holds:
    """How many of one kind of head.

    Attributes:
        head: Head id.
        place: Where they stand.
        asked: How many the set-up asks for.
        most: The most that can run, or None when not even the rest of the list can.
        is_proven: Whether it is proved that no more can.
        bound: The most that is not ruled out.
        curve: (number of heads, per cent used of the fullest device at best).
    """

    head: str
    place: str
    asked: int
    most: int | None
    is_proven: bool
    bound: int
    curve: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True)
class Filling:
    """What to fill a set-up with.

    Attributes:
        setup: Set-up id.
        heads: (head id, place), most important first.
        is_alone: Whether the rest of the lighting list stays dark.
        has_leads: Whether leads and power boards for everything are to hand.
    """

    setup: str
    heads: tuple[tuple[str, str], ...]
    is_alone: bool = False
    has_leads: bool = False


def how_many(job: Job, filling: Filling, config: SolverConfig | None = None) -> tuple[Holds, ...]:
    """Return how many heads of each kind a set-up holds, in the order of ``filling``."""
    config = config or SolverConfig()
    clock = Clock(config.time_limit_s)
    facts = _facts(job, filling)
    v = Variables.of(facts, Relaxations(heads_may_be_left_out=True))
    for rule in RULES:
        rule(v)
    lit = {head: _lit(v, head, place) for head, place in filling.heads}
    wanted = {(head, place) for head, place in filling.heads}
    for demand, missing in v.left_out.items():
        if (demand.load, demand.place) not in wanted:
            v.model.add(missing == 0)
    fullest = GOALS[Goal.TIGHTEST](v)
    found: list[Holds] = []
    for head, place in filling.heads:
        holds = _most(v, lit[head], (head, place, _asked(job, filling.setup, head)), clock, config)
        if holds.most is None:
            return (*found, holds)
        is_last = len(found) + 1 == len(filling.heads)
        curve = tuple(_curve(v, lit[head], fullest, holds.most, clock)) if is_last else ()
        found.append(
            Holds(head, place, holds.asked, holds.most, holds.is_proven, holds.bound, curve)
        )
        v.model.add(lit[head] >= holds.most)
    return tuple(found)


def _facts(job: Job, filling: Filling) -> Facts:
    """Return the set-up with more of every head than the house could feed."""
    base = Facts.of(job)
    room_ma = sum(c.cap_ma * c.poles for c in base.circuits.values() if c.is_usable)
    places: dict[str, dict[str, int]] = {}
    heads = dict(job.heads)
    for head, place in filling.heads:
        unit_ma = max(base.unit_ma(head, 1), 1)
        enough = min(max(room_ma // unit_ma + 1, 1), MOST_HEADS)
        places.setdefault(head, {})[place] = enough
        heads[head] = job.heads[head].model_copy(update={"count": enough})
    setups = tuple(
        s.model_copy(update={"heads": ({} if filling.is_alone else dict(s.heads)) | places})
        if s.id == filling.setup
        else s
        for s in job.setups
    )
    changed = job.model_copy(update={"heads": heads, "setups": setups})
    if filling.has_leads:
        changed = any_lead(base, changed)
    return Facts.of(changed).only([filling.setup])


def _asked(job: Job, setup: str, head: str) -> int:
    from_ = Facts.of(job).demands[setup]
    return sum(demand.count for demand in from_ if demand.load == head)


def _lit(v: Variables, head: str, place: str) -> Linear:
    return total(
        demand.count - missing
        for demand, missing in v.left_out.items()
        if (demand.load, demand.place) == (head, place)
    )


def _most(
    v: Variables,
    lit: Linear,
    about: tuple[str, str, int],
    clock: Clock,
    config: SolverConfig,
) -> Holds:
    head, place, asked = about
    v.model.maximize(lit)
    solver, status = solve(v.model, clock.left_s * _MOST_SHARE, config.seed)
    if status == cp_model.INFEASIBLE:
        return Holds(head, place, asked, None, is_proven=True, bound=0)
    bound = int(solver.best_objective_bound)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Holds(head, place, asked, None, is_proven=False, bound=bound)
    most = round(solver.objective_value)
    return Holds(head, place, asked, most, is_proven=status == cp_model.OPTIMAL, bound=bound)


def _curve(
    v: Variables, lit: Linear, fullest: Linear, most: int, clock: Clock
) -> Iterator[tuple[int, int]]:
    """Yield the lowest possible fullest device for a number of heads, few enough to read."""
    step = max(1, -(-most // _CURVE_POINTS))
    for number in sorted({0, most, *range(step, most + 1, step)}):
        model = v.model.clone()
        model.add(lit == number)
        model.minimize(fullest)
        solver, status = solve(model, max(clock.left_s * _POINT_SHARE, 0.3), SolverConfig.seed)
        if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            yield number, round(solver.objective_value)
