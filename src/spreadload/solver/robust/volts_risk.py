"""On how many wirings a plan runs short of volts although no breaker trips there.

Volts are no sum, so there is no table of them: each wiring wants a load flow of each set-up. Only
the outlets in use matter, so many wirings look alike, and a set-up whose volts hold at the floor
that no wiring goes below wants none at all. Where many are left some are drawn, by their weight.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from spreadload.check import Judge
from spreadload.check.on_map import short_of_volts, state_on
from spreadload.check.state import SetupState
from spreadload.check.volts import fixed, hung
from spreadload.network.floor import floor_units
from spreadload.network.records import UnitVolts
from spreadload.plan import BadMap, Plan, Violation
from spreadload.solver.robust.risk_table import TINY, Bools, Floats, RiskTable
from spreadload.units import FULL_PCT

MOST_FLOWS = 800
DRAWS = 500


@dataclass(frozen=True)
class ShortWay:
    """One way to run short.

    Attributes:
        bad: What is passed, and the outlets behind it.
        state: The set-up under load on the wiring that stands for it.
        on: That wiring: the circuit of every outlet of which it is open.
    """

    bad: BadMap
    state: SetupState
    on: dict[str, str]


@dataclass(frozen=True)
class VoltsRisk:
    """What volts add to the chance of failing.

    Attributes:
        share: Weight of the wirings on which nothing but the volts fails.
        draws: How many wirings were drawn to tell; 0 where every one was looked at.
        ways: The ways to run short, heaviest first.
    """

    share: float
    draws: int = 0
    ways: tuple[ShortWay, ...] = ()


@dataclass
class _Open:
    """A set-up whose volts depend on the wiring, with what was found out so far."""

    judge: Judge
    state: SetupState
    outlets: tuple[str, ...]
    columns: NDArray[np.intp]
    found: dict[tuple[int, ...], tuple[Violation, SetupState] | None] = field(default_factory=dict)

    def key(self, row: NDArray[np.int16]) -> tuple[int, ...]:
        """Return a wiring as far as it matters here."""
        return tuple(row[self.columns].tolist())

    def short(
        self, row: NDArray[np.int16], circuits: tuple[str, ...]
    ) -> tuple[Violation, SetupState] | None:
        """Return the worst limit passed under load on a wiring, and the set-up there, or None."""
        key = self.key(row)
        if key not in self.found:
            on = {o: circuits[c] for o, c in zip(self.outlets, key, strict=True)}
            state = state_on(self.judge, self.state, on)
            worst = max(short_of_volts(state), key=_shortfall, default=None)
            self.found[key] = None if worst is None else (worst, state)
        return self.found[key]


def volts_risk(judge: Judge, plan: Plan, table: RiskTable, fails: Bools) -> VoltsRisk:
    """Return on how many wirings a plan fails on volts alone.

    Args:
        judge: Judges what does not depend on the wiring; its volts are those at best.
        plan: A plan it passes.
        table: The wirings, and what the plan's points carry on each.
        fails: Per wiring, whether the plan fails without a thought of volts.
    """
    if not judge.house.may_refuse:
        return VoltsRisk(0.0)
    holding = np.flatnonzero(~fails)
    loads = table.loads(table.carried(plan), table.off(plan))
    opened = _opened(judge, plan, table, (holding, loads)) if len(holding) else []
    if not opened:
        return VoltsRisk(0.0)
    maps = table.maps
    different = [np.unique(maps.on[holding][:, each.columns], axis=0) for each in opened]
    is_drawn = sum(map(len, different)) > MOST_FLOWS
    weights = maps.weights[holding]
    drawn, times = _drawn(weights, maps.seed) if is_drawn else (np.arange(len(holding)), weights)
    found: dict[tuple[str, str, tuple[str, ...]], ShortWay] = {}
    share = 0.0
    for n, weight in zip(drawn.tolist(), times.tolist(), strict=True):
        row = maps.on[holding[n]]
        broken = [short for each in opened if (short := each.short(row, maps.circuits))]
        share += weight if broken else 0.0
        for violation, state in broken[:1]:
            on = maps.map(int(holding[n]))
            _count(found, ShortWay(_bad_map(state, violation, on, weight), state, on))
    ways = sorted(found.values(), key=lambda way: -way.bad.weight_pct)
    return VoltsRisk(share, len(drawn) if is_drawn else 0, tuple(ways))


def _opened(
    judge: Judge, plan: Plan, table: RiskTable, at: tuple[NDArray[np.intp], Floats]
) -> list[_Open]:
    """Return the set-ups whose volts are not certain to hold on every wiring."""
    holding, loads = at
    groups = np.unique(table.of_map[holding].ravel())
    found = []
    for state in judge.states(plan):
        plugged = [hung(unit) for unit in state.plugged]
        points = [u.point for u in state.plugged if hung(u).is_left_to_maps]
        outlets = tuple(dict.fromkeys(p.outlet for p in points))
        if state.volts is None or not outlets:
            continue
        wired = [fixed(group) for group in state.wired]
        floor = floor_units(judge.house, plugged, wired, state.volts.units)
        s = table.setups.index(state.setup)
        if floor is not None and _holds_at(state, floor):
            grown = max((unit.amps_ratio for unit in floor), default=1.0)
            if (loads[groups, s] * grown <= table.limit[groups] + TINY).all():
                continue
        columns = np.array([table.maps.outlets.index(o) for o in outlets], dtype=np.intp)
        found.append(_Open(judge, state, outlets, columns))
    return found


def _holds_at(state: SetupState, floor: tuple[UnitVolts, ...]) -> bool:
    """Whether nothing is passed with every unit at the least volts any wiring gives it."""
    volts = state.volts
    if volts is None:
        return True
    board_v = min((unit.volts for unit in floor), default=volts.board_v)
    lowered = replace(volts, units=floor, board_v=board_v, collapse="")
    return not any(short_of_volts(replace(state, volts=lowered)))


def _drawn(weights: Floats, seed: int) -> tuple[NDArray[np.intp], Floats]:
    """Return wirings evenly spaced along their weights, each standing for as much."""
    aims = (np.arange(DRAWS) + np.random.default_rng(seed).random()) / DRAWS * weights.sum()
    drawn = np.minimum(np.searchsorted(weights.cumsum(), aims), len(weights) - 1)
    return drawn, np.full(DRAWS, float(weights.sum()) / DRAWS)


def _shortfall(violation: Violation) -> float:
    """Return how badly a limit is passed: collapse first, then volts, then amps."""
    if violation.rule != "volts":
        return violation.value / violation.limit if violation.limit else 0.0
    return FULL_PCT * (1 + violation.limit - violation.value)


def _bad_map(
    state: SetupState, violation: Violation, on: Mapping[str, str], weight: float
) -> BadMap:
    """Return a wiring on which a set-up runs short, told by the open outlets on that circuit."""
    used = dict.fromkeys(unit.point.outlet for unit in state.plugged)
    units = [unit for unit in state.plugged if unit.where == violation.where]
    circuits = {circuit for unit in units for circuit in unit.behind.circuits}
    circuits |= {violation.where.split()[0]} & set(on.values())
    named = {o: on[o] for o in used if o in on and (not circuits or on[o] in circuits)}
    return BadMap(
        weight_pct=weight * FULL_PCT,
        where=f"{violation.rule} {violation.where}",
        setup=state.setup,
        value=violation.value,
        limit=violation.limit,
        unit=violation.unit,
        outlets=named,
        text=violation.text,
    )


def _count(found: dict[tuple[str, str, tuple[str, ...]], ShortWay], way: ShortWay) -> None:
    """Add a way to those found: the same outlets together in the same set-up are one."""
    bad = way.bad
    key = (bad.setup, bad.where, tuple(sorted(bad.outlets)))
    known = found.get(key)
    if known is None:
        found[key] = way
        return
    weight_pct = known.bad.weight_pct + bad.weight_pct
    more = known.bad.model_copy(update={"weight_pct": weight_pct})
    found[key] = replace(known, bad=more)
