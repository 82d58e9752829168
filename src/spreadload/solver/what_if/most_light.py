"""How much light a house holds: the most heads that can run in a set-up, with proof.

Heads of several kinds are filled in by priority: as many of the first as there is room for, then as
many of the next beside them.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import partial

from spreadload.derived.facts import Facts
from spreadload.job.job import Job
from spreadload.job.preferences import Goal
from spreadload.solver.engine.cp import cp_model
from spreadload.solver.engine.limits import Clock, SolverConfig
from spreadload.solver.model.feasible import solve
from spreadload.solver.model.goals import GOALS
from spreadload.solver.model.rules import RULES
from spreadload.solver.model.variables import Linear, Relaxations, Variables, total
from spreadload.solver.search.ranked_plans import Request, find_one
from spreadload.solver.volts.loop import VoltsLoop
from spreadload.solver.why_not.requirements import any_lead
from spreadload.solver.why_not.volts_conflict import volts_conflict

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
        off: Loads that may be off and have to be for so many.
    """

    head: str
    place: str
    asked: int
    most: int | None
    is_proven: bool
    bound: int
    curve: tuple[tuple[int, int], ...] = ()
    off: tuple[str, ...] = ()


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
    loop = VoltsLoop.of(facts)
    found: list[Holds] = []
    for head, place in filling.heads:
        about = (head, place, _asked(job, filling.setup, head))
        holds = _most(v, lit[head], about, loop, Clock(clock.left_s * _MOST_SHARE), config)
        if holds.most is None and _rest_is_short(job, filling):
            holds = replace(holds, is_proven=True, bound=0)
        if holds.most is not None and not holds.is_proven and loop.has_readings:
            searching = _Searching(facts, loop, config, Clock(clock.left_s * _MOST_SHARE), wanted)
            holds = searching.more(holds, {n.head: n.most or 0 for n in found})
        if holds.most is None:
            return (*found, holds)
        is_last = len(found) + 1 == len(filling.heads)
        curve = tuple(_curve(v, lit[head], fullest, holds.most, clock)) if is_last else ()
        off = _off_for(v, lit[head], holds.most, clock)
        found.append(replace(holds, curve=curve, off=off))
        v.model.add(lit[head] >= holds.most)
    return tuple(found)


def _rest_is_short(job: Job, filling: Filling) -> bool:
    """Whether the supply lacks the volts for the rest of the list alone."""
    gone = {head for head, _ in filling.heads}
    setups = tuple(
        s.model_copy(
            update={
                "heads": {}
                if filling.is_alone
                else {head: lit for head, lit in s.heads.items() if head not in gone}
            }
        )
        if s.id == filling.setup
        else s
        for s in job.setups
    )
    facts = Facts.of(job.model_copy(update={"setups": setups})).only([filling.setup])
    return volts_conflict(facts, filling.setup) is not None


@dataclass(frozen=True)
class _Searching:
    """Looks for one head more with the whole search, which takes thicker leads and other splits."""

    facts: Facts
    loop: VoltsLoop
    config: SolverConfig
    clock: Clock
    wanted: set[tuple[str, str]]

    def more(self, holds: Holds, before: Mapping[str, int]) -> Holds:
        """Return the number of heads that the load flow accepts, one by one."""
        most, bound = holds.most or 0, self._at_the_board(holds, before)
        while most < bound and self.clock.left_s > 0:
            if not self._runs({**before, holds.head: most + 1}):
                break
            most += 1
        return replace(holds, most=most, bound=bound, is_proven=most == bound)

    def _at_the_board(self, holds: Holds, before: Mapping[str, int]) -> int:
        """Return the most that would keep their volts hung at the board itself, where none sag."""
        house, heads = self.loop.judge.house, dict.fromkeys(h for h, _ in self.wanted)
        ((setup, demands),) = self.facts.demands.items()
        if len(self.facts.supply.phases) > 1:
            return holds.bound
        rest = [(d.load, d.count) for d in demands if d.load not in heads and not d.may_be_off]
        for number in range(holds.most or 0, holds.bound):
            loads = [*rest, *before.items(), (holds.head, number + 1)]
            seen = house.at_the_board(setup, loads)
            if seen.collapse or seen.short:
                return number
        return holds.bound

    def _runs(self, least: Mapping[str, int]) -> bool:
        request = Request(
            relaxed=Relaxations(heads_may_be_left_out=True),
            goals=(Goal.KEEP_HEADS,),
            wishes=(partial(self._hold, least=least),),
        )
        best, _ = find_one(self.facts, self.loop.judge, self.config, self.clock, request)
        return best is not None

    def _hold(self, v: Variables, least: Mapping[str, int]) -> None:
        for demand, missing in v.left_out.items():
            if (demand.load, demand.place) in self.wanted:
                lit = least.get(demand.load, 0)
                v.model.add(demand.count - missing == lit)
            else:
                v.model.add(missing == 0)


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
    loop: VoltsLoop,
    clock: Clock,
    config: SolverConfig,
) -> Holds:
    head, place, asked = about
    v.model.maximize(lit)
    bound = max(MOST_HEADS, asked)
    while True:
        solver, status = solve(v.model, clock.left_s, config.seed)
        if status == cp_model.INFEASIBLE:
            return Holds(head, place, asked, None, is_proven=loop.can_prove, bound=0)
        if loop.can_prove:
            bound = int(solver.best_objective_bound)
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return Holds(head, place, asked, None, is_proven=False, bound=bound)
        if not loop.refuses(v, list(solver.response_proto.solution)):
            break
        if clock.left_s <= 0:
            return Holds(head, place, asked, None, is_proven=False, bound=bound)
    most = round(solver.objective_value)
    is_proven = status == cp_model.OPTIMAL and loop.can_prove
    return Holds(head, place, asked, most, is_proven=is_proven, bound=most if is_proven else bound)


def _off_for(v: Variables, lit: Linear, most: int, clock: Clock) -> tuple[str, ...]:
    """Return the fewest loads that have to be off for so many heads, by what the amps ask."""
    if not v.off:
        return ()
    model = v.model.clone()
    model.add(lit == most)
    model.minimize(total(v.off.values()))
    solver, status = solve(model, max(clock.left_s * _POINT_SHARE, 0.3), SolverConfig.seed)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return ()
    values = list(solver.response_proto.solution)
    return tuple(sorted(load for (_, load), off in v.off.items() if values[off.index]))


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
