"""How likely a plan is to fail: measured on maps it was not fitted to, with what drives it.

The interval is Wilson's for a share, with the effective number of maps for its size.
"""

from collections.abc import Callable, Sequence
from math import sqrt
from typing import TYPE_CHECKING

import numpy as np

from spreadload.derived.facts import Facts
from spreadload.plan import BadMap, Chance, Driver, Loss, Placement, Plan
from spreadload.solver.robust.risk_table import Bools, Floats, RiskTable
from spreadload.solver.robust.volts_risk import volts_risk
from spreadload.units import FULL_PCT, MILLI
from spreadload.wiring.maps import Maps, maps_of
from spreadload.wiring.model import WiringModel

if TYPE_CHECKING:
    from spreadload.solver.robust.least_risk import Robust

FRESH_MAPS = 6000
FRESH_SEED = 104_729
_Z95 = 1.959964
_DRIVERS = 4
_BAD_MAPS = 3
_LOSS_MAPS = 1500
_LEAST_GAIN = 0.0005
# What drops on more than half of the maps usually drops.
_USUALLY = 0.5


def wilson(share: float, number: float) -> tuple[float, float]:
    """Return the 95 % interval of a share seen in so many independent trials.

    Source:
        E. B. Wilson, Probable inference, the law of succession, and statistical inference, Journal
        of the American Statistical Association 22 (1927) 209-212.
    """
    if number <= 0:
        return 0.0, 1.0
    z2 = _Z95**2
    middle = (share + z2 / (2 * number)) / (1 + z2 / number)
    half = _Z95 / (1 + z2 / number) * sqrt(share * (1 - share) / number + z2 / (4 * number**2))
    return max(0.0, middle - half), min(1.0, middle + half)


def chance_of(robust: "Robust", plan: Plan, bound: float | None) -> Chance:
    """Return how likely a plan is to fail on the fresh maps of a search."""
    points = [robust.facts.points[p] for p in sorted({p.point for p in plan.placements})]
    table = RiskTable.of(robust.facts, robust.fresh, points)
    fitted = RiskTable.of(robust.facts, robust.fitted, points)
    carried, base = table.carried(plan), table.off(plan)
    over = table.violated(carried, base)
    fails = table.fails(over)
    on_volts = volts_risk(robust.judge, plan, table, fails)
    on_amps = table.maps.share(fails)
    share = on_amps + on_volts.share
    exact = robust.fresh.is_exact and not on_volts.draws
    worth = min(robust.fresh.effective, on_volts.draws or robust.fresh.effective)
    low, high = (share, share) if exact else wilson(share, worth)
    return Chance(
        certificate=exact and share == 0.0,
        fails_pct=share * FULL_PCT,
        low_pct=low * FULL_PCT,
        high_pct=high * FULL_PCT,
        volts_pct=on_volts.share * FULL_PCT,
        bound_pct=None if bound is None else bound * FULL_PCT,
        fitted_pct=fitted.risk(plan) * FULL_PCT,
        maps=len(robust.fresh),
        effective=worth,
        is_exact=exact,
        drivers=_drivers(table, carried, base, (on_amps, on_volts.share)),
        losses=losses(robust.facts, robust.fresh, plan),
        bad_maps=_worst(
            _bad_maps(table, carried, table.loads(carried, base), over),
            tuple(way.bad for way in on_volts.ways),
        ),
        assumptions=robust.model.assumptions,
    )


def fails_pct_of(model: WiringModel, facts: Facts, seed: int) -> Callable[[Plan], float] | None:
    """Return what tells in how many of 100 fresh wirings a plan fails, quickly, plan after plan.

    Args:
        model: The wirings the house may have.
        facts: Worked out in the way the plans were judged; None comes back unless maps matter.
        seed: The seed of the search, so that the figure is the one in its answer.
    """
    open_points = [p for p in facts.points.values() if p.exposure.left_to_maps]
    if not open_points:
        return None
    fresh = maps_of(model, FRESH_MAPS, FRESH_SEED + seed)
    table = RiskTable.of(facts, fresh, facts.points.values())
    return lambda plan: table.risk(plan) * FULL_PCT


def certain(model: WiringModel, facts: Facts, plan: Plan) -> Chance:
    """Return the chance of a plan that holds on every map still possible."""
    maps = maps_of(model, _LOSS_MAPS, 1)
    return Chance(
        certificate=True,
        fails_pct=0.0,
        low_pct=0.0,
        high_pct=0.0,
        bound_pct=0.0,
        fitted_pct=0.0,
        maps=0,
        effective=0.0,
        is_exact=True,
        losses=losses(facts, maps, plan),
        assumptions=model.assumptions,
    )


def _worst(on_amps: tuple[BadMap, ...], on_volts: tuple[BadMap, ...]) -> tuple[BadMap, ...]:
    """Return the likeliest ways to fail, of whichever kind."""
    both = sorted((*on_amps, *on_volts), key=lambda bad: -bad.weight_pct)
    return tuple(both[:_BAD_MAPS])


def _drivers(
    table: RiskTable, carried: Floats, base: Floats, shares: tuple[float, float]
) -> tuple[Driver, ...]:
    """Return the open outlets without whose load the plan would fail less often, worst first.

    What fails on volts counts as if it stayed: a load less leaves no head with less.
    """
    share, on_volts = shares
    found = []
    for e, column in enumerate(table.columns):
        if column.left_to_maps is None or not carried[:, e].any():
            continue
        without = carried.copy()
        without[:, e] = 0.0
        left = table.maps.share(table.fails(table.violated(without, base)))
        if share - left > _LEAST_GAIN:
            without_pct = (left + on_volts) * FULL_PCT
            found.append(Driver(outlet=column.left_to_maps, without_pct=without_pct))
    found.sort(key=lambda d: (d.without_pct, d.outlet))
    return tuple(found[:_DRIVERS])


def _bad_maps(table: RiskTable, carried: Floats, loads: Floats, over: Bools) -> tuple[BadMap, ...]:
    """Return the groups that fail the most weight, each set of outlets once."""
    weights = table.group_weight * over.any(axis=1)
    found: dict[frozenset[str], BadMap] = {}
    for g in np.argsort(-weights, kind="stable").tolist():
        if not weights[g] or len(found) == _BAD_MAPS:
            break
        s = int(np.argmax(np.where(over[g], loads[g] - table.limit[g], -np.inf)))
        named = _open_outlets(table, carried, g, s)
        found.setdefault(frozenset(named), _bad_map(table, loads, (g, s), named))
    return tuple(found.values())


def _open_outlets(table: RiskTable, carried: Floats, g: int, s: int) -> tuple[str, ...]:
    """Return the outlets of unknown circuit that load a group in a set-up."""
    return tuple(
        outlet
        for e in np.flatnonzero(table.group[g]).tolist()
        if (outlet := table.columns[e].left_to_maps) is not None and carried[:, e, s].any()
    )


def _bad_map(
    table: RiskTable, loads: Floats, at: tuple[int, int], named: tuple[str, ...]
) -> BadMap:
    g, s = at
    device = table.devices[int(table.device_of[g])]
    is_count = device.rule == "single load"
    scale = 1 if is_count else MILLI
    return BadMap(
        weight_pct=float(table.group_weight[g]) * FULL_PCT,
        where=f"{device.rule} {device.name[0]}",
        setup=table.setups[s],
        value=float(loads[g, s]) / scale,
        limit=float(table.limit[g]) / scale,
        unit="" if is_count else ("mA" if device.rule == "rcd leakage" else "A"),
        outlets=dict.fromkeys(named, device.name[0]),
    )


def losses(facts: Facts, maps: Maps, plan: Plan) -> tuple[Loss, ...]:
    """Return, per circuit and set-up, what drops with it over the maps."""
    found = []
    feeding = [c for c in maps.circuits if c in facts.circuits]
    for setup in facts.demands:
        placed = [p for p in plan.placements if p.setup == setup]
        on = np.array(
            [maps.on[:, maps.outlets.index(facts.points[p.point].outlet)] for p in placed]
        )
        heads = np.array([facts.loads[p.load].is_head for p in placed], dtype=bool)
        for circuit in feeding if placed else ():
            dropped = on == maps.circuits.index(circuit)
            lit = heads.sum() - dropped[heads].sum(axis=0)
            likely = dropped @ maps.weights
            worst = int(np.argmin(lit)) if heads.any() else int(dropped.sum(axis=0).argmax())
            found.append(
                Loss(
                    circuit=circuit,
                    setup=setup,
                    usually=_names(placed, likely > _USUALLY),
                    at_worst=_names(placed, dropped[:, worst]),
                    dark_pct=maps.share(lit == 0) * FULL_PCT if heads.sum() > 1 else 0.0,
                )
            )
    return tuple(found)


def _names(placed: Sequence[Placement], chosen: Bools) -> tuple[str, ...]:
    return tuple(
        f"{p.load} {p.unit}" for p, is_chosen in zip(placed, chosen, strict=True) if is_chosen
    )
