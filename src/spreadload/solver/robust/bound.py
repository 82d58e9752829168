"""A proven bound on the least weight of maps that must fail, and plans that come near it.

The outline leaves leads away and only asks on which column each unit hangs, with as many seats as
its sockets and all power boards in stock could give, so whatever it proves impossible is
impossible. One flag says that a group of outlets passes
its limit in some set-up, one that a map fails; equal groups of different maps share a flag, and a
group that passes its limit makes every larger group on the same device pass it too. Maps are put
in a few at a time, those that fail the plan in hand first: the least weight failing among some
maps bounds the least weight failing among all.
"""

from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from spreadload.derived.asked import Demand
from spreadload.derived.facts import Facts
from spreadload.solver.engine.calls import limited, rows_of
from spreadload.solver.engine.cp import cp_model
from spreadload.solver.engine.limits import Clock, SolverConfig
from spreadload.solver.model.candidates import Candidate, all_candidates
from spreadload.solver.model.variables import Linear, total, weighted
from spreadload.solver.robust.hedging import Counts
from spreadload.solver.robust.model import Bounded, failing, nearest_feasible
from spreadload.solver.robust.risk_table import Options, RiskTable

_SCALE = 1_000_000
_FIRST_MAPS = 60
_FIRST_FAILING = 120
_MORE_MAPS = 80
_NEAREST_LARGER = 8
_LEAST_S = 0.2

IsClose = Callable[[float, float], bool]


@dataclass(frozen=True)
class _Kind:
    """Units that are the same as far as limits go: their set-up, amounts and columns."""

    setup: int
    amounts: tuple[int, ...]
    unit_ma: int
    columns: tuple[int, ...]


@dataclass
class Outline:
    """Who hangs on which column, and nothing else."""

    table: RiskTable
    off: frozenset[tuple[str, str]]
    model: cp_model.CpModel = field(default_factory=cp_model.CpModel)
    demands: dict[_Kind, list[Demand]] = field(default_factory=lambda: defaultdict(list))
    on: dict[tuple[_Kind, int], cp_model.IntVar] = field(default_factory=dict)
    loads: dict[tuple[str, int, int], cp_model.IntVar] = field(default_factory=dict)

    @classmethod
    def of(cls, table: RiskTable, options: Options, off: frozenset[tuple[str, str]]) -> "Outline":
        """Make the decisions and the load of every column."""
        made = cls(table, off)
        for demand, some in options.items():
            if (demand.setup, demand.load) not in off:
                made.demands[made._kind(demand, some)].append(demand)
        for kind, demands in made.demands.items():
            count = sum(d.count for d in demands)
            for e in kind.columns:
                made.on[kind, e] = made.model.new_int_var(0, count, f"{demands[0].load} on {e}")
            made.model.add(total(made.on[kind, e] for e in kind.columns) == count)
        made._limit_plates()
        made._limit_seats()
        made._add_loads()
        return made

    def load(self, group: int, s: int, base: int) -> Linear:
        """Return the load of a group in a set-up, ``base`` being wired there."""
        device = self.table.devices[int(self.table.device_of[group])]
        columns = np.flatnonzero(self.table.group[group])
        parts = [self.loads.get((device.amount, int(e), s)) for e in columns]
        return total([*(part for part in parts if part is not None), base])

    def hint(self, counts: Counts) -> None:
        """Start the search from a plan."""
        there: dict[tuple[_Kind, int], int] = defaultdict(int)
        kind_of = {d: kind for kind, demands in self.demands.items() for d in demands}
        column = {c: n for n, c in enumerate(self.table.columns)}
        for (demand, point_id), count in counts.items():
            e = column[self.table.facts.points[point_id].exposure]
            if demand in kind_of:
                there[kind_of[demand], e] += count
        for key, variable in self.on.items():
            self.model.add_hint(variable, there[key])

    def counts(self, solver: cp_model.CpSolver, options: Options) -> Counts:
        """Return a solution as units at points, one point standing for its column."""
        found: Counts = {}
        for kind, demands in self.demands.items():
            waiting = [d for d in demands for _ in range(d.count)]
            for e in kind.columns:
                for _ in range(solver.value(self.on[kind, e])):
                    demand = waiting.pop()
                    point = self._point(options[demand], e)
                    found[demand, point] = found.get((demand, point), 0) + 1
        return found

    def _point(self, options: tuple[Candidate, ...], e: int) -> str:
        exposure = self.table.columns[e]
        return next(o.point.id for o in options if o.point.exposure == exposure)

    def _kind(self, demand: Demand, options: tuple[Candidate, ...]) -> _Kind:
        column = {c: n for n, c in enumerate(self.table.columns)}
        poles = options[0].poles
        amounts = tuple(
            self.table.amount(kind, demand.setup, demand.load, poles) for kind in self.table.amounts
        )
        columns = tuple(sorted({column[o.point.exposure] for o in options}))
        setup = self.table.setups.index(demand.setup)
        return _Kind(setup, amounts, options[0].unit_ma, columns)

    def _limit_plates(self) -> None:
        plates: dict[int, int] = defaultdict(int)
        for point in self.table.facts.points.values():
            if point.exposure in self.table.columns:
                plates[self.table.columns.index(point.exposure)] += point.plate_ma
        there: dict[tuple[int, int], list[tuple[int, Linear]]] = defaultdict(list)
        for (kind, e), variable in self.on.items():
            there[e, kind.setup].append((kind.unit_ma, variable))
        for (e, _), parts in there.items():
            self.model.add(weighted(parts) <= plates[e])

    def _limit_seats(self) -> None:
        """A column seats as many units as it has sockets, and more on boards out of the stock."""
        boards = self.table.facts.boards
        more = max((board.ways - 1 for board in boards), default=0)
        stock = sum(board.count for board in boards)
        sockets: dict[int, int] = defaultdict(int)
        for point in self.table.facts.points.values():
            if point.exposure in self.table.columns:
                sockets[self.table.columns.index(point.exposure)] += point.sockets
        laid: dict[int, list[Linear]] = defaultdict(list)
        for e, s in sorted({(e, kind.setup) for kind, e in self.on}):
            units = [(kind, x) for (kind, at), x in self.on.items() if (at, kind.setup) == (e, s)]
            if sum(d.count for kind, _ in units for d in self.demands[kind]) <= sockets[e]:
                continue
            used = self.model.new_int_var(0, min(sockets[e], stock), f"boards on {e} in {s}")
            self.model.add(total(x for _, x in units) <= sockets[e] + more * used)
            laid[s].append(used)
        for used_in_setup in laid.values():
            self.model.add(total(used_in_setup) <= stock)

    def _add_loads(self) -> None:
        terms: dict[tuple[str, int, int], list[tuple[int, Linear]]] = defaultdict(list)
        for (kind, e), variable in self.on.items():
            for name, amount in zip(self.table.amounts, kind.amounts, strict=True):
                terms[name, e, kind.setup].append((amount, variable))
        for (name, e, s), parts in terms.items():
            most = sum(
                amount * sum(d.count for d in demands)
                for kind, demands in self.demands.items()
                if kind.setup == s and e in kind.columns
                for amount in [kind.amounts[self.table.amounts.index(name)]]
            )
            load = self.model.new_int_var(0, most, f"{name} of column {e} in {s}")
            self.model.add(load == weighted(parts))
            self.loads[name, e, s] = load


def improve(
    facts: Facts,
    table: RiskTable,
    start: Bounded,
    clock: Clock,
    config: SolverConfig,
    is_close: IsClose,
) -> Bounded:
    """Return a plan no worse than ``start`` with a proven bound on the least weight that fails.

    Args:
        facts: Worked out with ``unknown="maps"``.
        table: The groups.
        start: A feasible plan as counts.
        clock: Time left.
        config: Seed.
        is_close: Whether a risk and a bound are close enough to stop.
    """
    options = all_candidates(facts)
    if any(not some for some in options.values()):
        return start
    best, bound = start, start.bound
    fails = np.flatnonzero(failing(table, start)).tolist()
    chosen = sorted({*fails[:_FIRST_FAILING], *range(min(_FIRST_MAPS, len(table.maps)))})
    while min(clock.left_s, clock.work_left_s) > _LEAST_S and not is_close(best.risk, bound):
        got = _solve(table, options, chosen, best, bound, clock, config)
        if got is None:
            break
        counts, proven = got
        bound = max(bound, proven)
        outlined = Bounded(counts, best.off, 1.0, bound)
        over = failing(table, outlined)
        if table.maps.share(over) < best.risk:
            best = _better(facts, table, outlined, best, clock, config)
        more = sorted(
            {*np.flatnonzero(over).tolist(), *np.flatnonzero(failing(table, best)).tolist()}
        )
        more = [m for m in more if m not in set(chosen)][:_MORE_MAPS]
        if not more:
            break
        chosen = sorted({*chosen, *more})
    return Bounded(best.counts, best.off, best.risk, min(bound, best.risk))


def _better(
    facts: Facts,
    table: RiskTable,
    outlined: Bounded,
    best: Bounded,
    clock: Clock,
    config: SolverConfig,
) -> Bounded:
    """Return the outline made to keep every rule, if that still beats the best plan."""
    kept = nearest_feasible(facts, outlined, clock, config)
    if kept is None:
        return best
    risk = table.maps.share(failing(table, kept))
    return Bounded(kept.counts, kept.off, risk, 0.0) if risk < best.risk else best


def _solve(
    table: RiskTable,
    options: Options,
    chosen: list[int],
    best: Bounded,
    bound: float,
    clock: Clock,
    config: SolverConfig,
) -> tuple[Counts, float] | None:
    """Return the outline that fails the least weight among some maps, and what is proved."""
    outline = Outline.of(table, options, best.off)
    flags = _flag_groups(outline, options, chosen)
    fails = _flag_maps(outline, flags, chosen)
    aim = weighted(fails)
    outline.model.minimize(aim)
    outline.model.add(aim >= int(bound * _SCALE) - len(fails))
    outline.hint(best.counts)
    solver = limited(clock, max(clock.work_left_s, _LEAST_S))
    solver.parameters.random_seed = config.seed
    solver.parameters.linearization_level = 2
    solver.parameters.cp_model_probing_level = 0  # it takes longer than the proof on a house
    status = solver.solve(outline.model)
    clock.spend(solver.response_proto.deterministic_time, rows_of(outline.model))
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    # Each weight was rounded by at most half a unit.
    proven = max(0.0, (solver.best_objective_bound - len(fails)) / _SCALE)
    return outline.counts(solver, options), proven


def _flag_maps(
    outline: Outline, flags: dict[int, cp_model.IntVar], chosen: list[int]
) -> list[tuple[int, Linear]]:
    merged: dict[frozenset[int], float] = defaultdict(float)
    for m in chosen:
        risky = frozenset(int(g) for g in outline.table.of_map[m] if int(g) in flags)
        merged[risky] += float(outline.table.maps.weights[m])
    fails: list[tuple[int, Linear]] = []
    for n, (risky, weight) in enumerate(merged.items()):
        if risky:
            fail = outline.model.new_bool_var(f"map {n} fails")
            for g in sorted(risky):
                outline.model.add_implication(flags[g], fail)
            fails.append((round(weight * _SCALE), fail))
    return fails


def _flag_groups(
    outline: Outline, options: Options, chosen: list[int]
) -> dict[int, cp_model.IntVar]:
    """Return a flag per group that could pass its limit at all."""
    table = outline.table
    most = table.most(options)
    base = table.base(outline.off)
    flags: dict[int, cp_model.IntVar] = {}
    for g in np.unique(table.of_map[chosen]).tolist():
        risky = np.flatnonzero(most[g] > table.limit[g]).tolist()
        if not risky or not table.group[g].any():
            continue
        flags[g] = outline.model.new_bool_var(f"group {g} over")
        for s in risky:
            wired = int(base[table.device_of[g], s])
            load = outline.load(g, s, wired)
            outline.model.add(load <= int(table.limit[g])).only_enforce_if(~flags[g])
    _chain(outline, flags)
    return flags


def _chain(outline: Outline, flags: dict[int, cp_model.IntVar]) -> None:
    """A group over its limit puts its nearest larger groups on the same device over theirs."""
    table = outline.table
    by_device: dict[int, list[int]] = defaultdict(list)
    for g in flags:
        by_device[int(table.device_of[g])].append(g)
    for own in by_device.values():
        rows = table.group[own].astype(int)
        size = rows.sum(axis=1)
        larger = ((rows @ rows.T) == size[:, None]) & (size[None, :] > size[:, None])
        # A larger group that holds another larger one follows through that one.
        nearest = larger & ~((larger.astype(int) @ larger.astype(int)) > 0)
        for i, g in enumerate(own):
            for j in np.flatnonzero(nearest[i])[:_NEAREST_LARGER]:
                outline.model.add_implication(flags[g], flags[own[int(j)]])
