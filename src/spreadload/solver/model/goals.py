"""The soft rules as sums over the decisions; smaller is better, each named like its ``Goal``.

Every builder adds what its sum needs to the model and returns the sum, so that a stage can first
minimise it and later stages can hold it.
"""

from collections import defaultdict
from collections.abc import Callable, Iterator
from itertools import pairwise

from spreadload.derived.asked import Demand
from spreadload.job.preferences import Goal
from spreadload.solver.model import devices
from spreadload.solver.model.devices import Stake, stakes
from spreadload.solver.model.variables import Linear, Variables, total, weighted
from spreadload.units import FULL_PCT, MILLI, whole_metres

LEAD_COST_M = 2
BOARD_COST_M = 2
BALANCE_STEP_A = 5
OVERLOAD_CEILING_PCT = 2000
# So many ways to plug heads in, and what is not on a circuit is told from what is: 120 rows of
# thousands of terms were most of the largest model.
_MANY = 1000


def keep_heads(v: Variables) -> Linear:
    """Light left out, each priority worth four of the next."""
    return weighted(
        (v.facts.loads[demand.load].left_out_cost, units) for demand, units in v.left_out.items()
    )


def keep_house_on(v: Variables) -> Linear:
    """Loads that may be off and are switched off."""
    counts: dict[tuple[str, str], int] = defaultdict(int)
    for setup_id in v.setups():
        for demand in v.facts.demands[setup_id]:
            counts[setup_id, demand.load] += demand.count
    return weighted((counts[key], off) for key, off in v.off.items())


def discharge_apart(v: Variables) -> Linear:
    """Big discharge units beyond the first on a circuit, or in a room of unproven circuits."""
    excess: list[Linear] = []
    for setup_id in v.setups():
        together: dict[str, list[Linear]] = defaultdict(list)
        for stake in _heads(v, setup_id):
            if v.facts.loads[stake.demand.load].is_big_discharge:
                for circuit in {circuit for circuit, _ in stake.exposure.circuits}:
                    together["circuit " + circuit].append(stake.units)
        for demand in v.plugged(setup_id):
            if v.facts.loads[demand.load].is_big_discharge:
                for option in v.options[demand]:
                    if not option.point.is_proven and option.point.room is not None:
                        units = v.units_at(demand, option.point.id)
                        together["room " + option.point.room].append(units)
        for where, units in sorted(together.items()):
            most = sum(d.count for d in v.plugged(setup_id))
            extra = v.model.new_int_var(0, most, f"discharge heads too many, {where}, {setup_id}")
            v.model.add(extra >= total(units) - 1)
            excess.append(extra)
    return total(excess)


def last_resort(v: Variables) -> Linear:
    """Head units on last-resort circuits and outlets, and in kitchens."""
    return total(
        v.units_at(demand, option.point.id)
        for demand, options in v.options.items()
        if v.facts.loads[demand.load].is_head
        for option in options
        if option.point.is_last_resort
    )


def heat_apart(v: Variables) -> Linear:
    """Head units that share a circuit with a department's heat-maker."""
    shared: list[Linear] = []
    for setup_id in v.setups():
        heads: dict[str, list[Linear]] = defaultdict(list)
        heat: dict[str, list[Stake]] = defaultdict(list)
        for stake in stakes(v, setup_id):
            load = v.facts.loads[stake.demand.load]
            for circuit in {circuit for circuit, _ in stake.exposure.circuits}:
                if load.is_head:
                    heads[circuit].append(stake.units)
                elif load.is_department_heat:
                    heat[circuit].append(stake)
        shared += [
            _beside_heat(v, setup_id, circuit, total(heads[circuit]), heat[circuit])
            for circuit in sorted(heads.keys() & heat.keys())
        ]
    return total(shared)


def _beside_heat(
    v: Variables, setup_id: str, circuit: str, heads: Linear, heat: list[Stake]
) -> Linear:
    is_hot = v.model.new_bool_var(f"heat on {circuit} in {setup_id}")
    for stake in heat:
        v.model.add(stake.units <= stake.demand.count * is_hot)
    most = sum(d.count for d in v.plugged(setup_id))
    beside = v.model.new_int_var(0, most, f"heads beside heat on {circuit} in {setup_id}")
    v.model.add(beside >= heads).only_enforce_if(is_hot)
    return beside


def light_stays(v: Variables) -> Linear:
    """Circuits whose loss would leave a set-up dark."""
    dark: list[Linear] = []
    for setup_id in v.setups():
        heads = list(_heads(v, setup_id))
        if sum(d.count for d in dict.fromkeys(stake.demand for stake in heads)) <= 1:
            continue
        on: dict[str, list[Linear]] = defaultdict(list)
        dark_with = [v.facts.dark_with(stake.exposure.might_be_on) for stake in heads]
        for stake, circuits in zip(heads, dark_with, strict=True):
            for circuit in circuits:
                on[circuit].append(stake.units)
        few = _few_are_lit(v, setup_id, heads)
        for circuit in sorted(on):
            if len(heads) > _MANY:
                safe = _lit(v, heads) - total(on[circuit])
            else:
                each = zip(heads, dark_with, strict=True)
                safe = total(stake.units for stake, circuits in each if circuit not in circuits)
            is_dark = v.model.new_bool_var(f"dark if {circuit} drops in {setup_id}")
            v.model.add(is_dark + few + safe >= 1)
            dark.append(is_dark)
    return total(dark)


def _few_are_lit(v: Variables, setup_id: str, heads: list[Stake]) -> Linear:
    """Return whether so few heads are lit that none can stay for another: never, if all are."""
    if not v.relaxed.heads_may_be_left_out:
        return 0
    few = v.model.new_bool_var(f"one head lit or none in {setup_id}")
    v.model.add(_lit(v, heads) <= 1).only_enforce_if(few)
    return few


def _lit(v: Variables, heads: list[Stake]) -> Linear:
    """Return the units of all heads that are lit: the short way to say it, where they are many."""
    demands = dict.fromkeys(stake.demand for stake in heads)
    return total(d.count * (1 - v.is_off(d)) - v.left_out.get(d, 0) for d in demands)


def leakage_guide(v: Variables) -> Linear:
    """Whole milliamps of standing leakage above the guide figure."""
    above: list[Linear] = []
    for device in devices.leakage(v):
        guide_ua = v.facts.rcds[str(device.name)].guide_ua
        most = -(-device.limit // MILLI) + 1
        extra = v.model.new_int_var(0, most, f"leakage above guide, {device.name}, {device.setup}")
        v.model.add(MILLI * extra >= device.load - guide_ua)
        above.append(extra)
    return total(above)


def tightest(v: Variables) -> Linear:
    """Per cent used on the fullest breaker, feed, phase or RCD."""
    ceiling = OVERLOAD_CEILING_PCT if v.relaxed.breakers_may_overload else FULL_PCT
    fullest = v.model.new_int_var(0, ceiling, "per cent used on the fullest device")
    for device in devices.breakers(v):
        v.model.add(FULL_PCT * device.load <= fullest * device.limit)
    return fullest


def each_setup(v: Variables) -> Linear:
    """Per cent used on the fullest device of each set-up, added up over the day."""
    if len(v.setups()) == 1:
        return 0
    ceiling = OVERLOAD_CEILING_PCT if v.relaxed.breakers_may_overload else FULL_PCT
    fullest = {
        setup_id: v.model.new_int_var(0, ceiling, f"per cent used on the fullest in {setup_id}")
        for setup_id in v.setups()
    }
    for device in devices.breakers(v):
        v.model.add(FULL_PCT * device.load <= fullest[device.setup] * device.limit)
    return total(fullest.values())


def balance(v: Variables) -> Linear:
    """Amps between the fullest and the emptiest phase of each set-up, in whole steps of 5 A."""
    if len(v.facts.supply.phases) == 1:
        return 0
    ceiling_ma = 2 * v.facts.supply.cap_ma * OVERLOAD_CEILING_PCT // FULL_PCT
    apart: list[Linear] = []
    loads: dict[str, list[Linear]] = defaultdict(list)
    for device in devices.phases(v):
        loads[device.setup].append(device.load)
    for setup_id, phases in loads.items():
        fullest = v.model.new_int_var(0, ceiling_ma, f"fullest phase in {setup_id}")
        emptiest = v.model.new_int_var(0, ceiling_ma, f"emptiest phase in {setup_id}")
        step_ma = BALANCE_STEP_A * MILLI
        steps = v.model.new_int_var(0, ceiling_ma // step_ma + 1, f"imbalance in {setup_id}")
        if len(phases) < len(v.facts.supply.phases):
            v.model.add(emptiest == 0)  # nothing could ever be on one of them
        for load in phases:
            v.model.add(fullest >= load)
            v.model.add(emptiest <= load)
        v.model.add(step_ma * steps >= fullest - emptiest - step_ma + 1)
        apart.append(BALANCE_STEP_A * steps)
    return total(apart)


def replugs(v: Variables) -> Linear:
    """Units that change their point between two appearances, a discharge head at its cool-down."""
    moves: list[tuple[int, Linear]] = []
    for load_id, before, after in _appearances(v):
        cost = v.facts.loads[load_id].replug_cost
        moves.append((cost, _moved(v, load_id, before, after)))
    return weighted(moves)


def _appearances(v: Variables) -> Iterator[tuple[str, list[Demand], list[Demand]]]:
    on: dict[str, dict[str, list[Demand]]] = defaultdict(lambda: defaultdict(list))
    for setup_id in v.setups():
        for demand in v.plugged(setup_id):
            on[demand.load][setup_id].append(demand)
    for load_id, by_setup in sorted(on.items()):
        for before, after in pairwise(by_setup.values()):
            yield load_id, before, after


def _moved(v: Variables, load_id: str, before: list[Demand], after: list[Demand]) -> Linear:
    """Return the units in both set-ups that sit at another point in the second."""
    names = {o.point.id for demand in (*before, *after) for o in v.options[demand]}
    most = max(sum(d.count for d in before), sum(d.count for d in after))
    gains, losses = [], []
    for point_id in sorted(names):
        was = total(v.units_at(demand, point_id) for demand in before)
        now = total(v.units_at(demand, point_id) for demand in after)
        said = f"{load_id} at {point_id} in {after[0].setup}"
        gain = v.model.new_int_var(0, most, f"gained {said}")
        loss = v.model.new_int_var(0, most, f"lost {said}")
        v.model.add(gain - loss == now - was)
        gains.append(gain)
        losses.append(loss)
    # Gains less losses is what the set-up adds or drops; the smaller of the two sums has moved.
    growth = _fixed_growth(v, before, after)
    if growth is not None:
        return total(gains) - max(growth, 0)
    moved = v.model.new_int_var(0, most, f"{load_id} moved before {after[0].setup}")
    is_growing = v.model.new_bool_var(f"{load_id} grows before {after[0].setup}")
    v.model.add(moved >= total(losses)).only_enforce_if(is_growing)
    v.model.add(moved >= total(gains)).only_enforce_if(~is_growing)
    return moved


def _fixed_growth(v: Variables, before: list[Demand], after: list[Demand]) -> int | None:
    demands = (*before, *after)
    if any(d in v.left_out or (d.setup, d.load) in v.off for d in demands):
        return None
    return sum(d.count for d in after) - sum(d.count for d in before)


def cable(v: Variables) -> Linear:
    """Whole metres of lead, and a fixed length for every lead and power board to handle."""
    leads = [
        (whole_metres(v.facts.leads[index].length_m) + LEAD_COST_M, flow)
        for (_, _, index), flow in v.lead_flow.items()
    ]
    boards = [(BOARD_COST_M, kind) for kind in (*v.board_of.values(), *v.remote_of.values())]
    return weighted([*leads, *boards])


def _heads(v: Variables, setup_id: str) -> Iterator[Stake]:
    return (s for s in stakes(v, setup_id) if v.facts.loads[s.demand.load].is_head)


GOALS: dict[Goal, Callable[[Variables], Linear]] = {
    Goal.KEEP_HEADS: keep_heads,
    Goal.KEEP_HOUSE_ON: keep_house_on,
    Goal.DISCHARGE_APART: discharge_apart,
    Goal.LAST_RESORT: last_resort,
    Goal.HEAT_APART: heat_apart,
    Goal.LIGHT_STAYS: light_stays,
    Goal.LEAKAGE_GUIDE: leakage_guide,
    Goal.TIGHTEST: tightest,
    Goal.EACH_SETUP: each_setup,
    Goal.BALANCE: balance,
    Goal.REPLUGS: replugs,
    Goal.CABLE: cable,
}
