"""How full the fullest device of a set-up must be at least, by weights in whole numbers.

Give every device a weight. Each unit has to go somewhere, so it adds at least the least weighted
amps of any circuit it might go to; what all units add at least, over the weighted amps of all
devices together, is a share that the fullest device cannot be below. Any weights prove something:
those of a linear programme prove most, and since the sum is done again in whole numbers, what that
programme rounds cannot make the bound wrong.
"""

from collections import defaultdict
from collections.abc import Hashable, Mapping
from dataclasses import dataclass, field

from ortools.math_opt.python import mathopt

from spreadload.derived.asked import Demand
from spreadload.derived.facts import Facts
from spreadload.derived.points import exposure
from spreadload.derived.records import Exposure
from spreadload.solver.model import devices
from spreadload.solver.model.candidates import Candidate, Options
from spreadload.units import FULL_PCT

_WHOLE = 10**6

Amounts = dict[Hashable, int]


@dataclass
class _SetUp:
    """What one unit of every demand takes of each device, wherever it may go [mA]."""

    limits: dict[Hashable, int] = field(default_factory=dict)
    wired: Amounts = field(default_factory=lambda: defaultdict(int))
    ways: dict[Demand, list[Amounts]] = field(default_factory=dict)

    def amounts(self, facts: Facts, on: Exposure, unit_ma: int, counted_ma: int) -> Amounts:
        """Return what one unit takes of every device it would be on."""
        made: Amounts = defaultdict(int)
        for device, limit, amount in sorted(
            devices.taken(facts, on, unit_ma, counted_ma), key=lambda taken: str(taken[0])
        ):
            self.limits[device] = limit
            made[device] += amount
        return made


def percent_bounds(facts: Facts, options: Options) -> dict[str, int]:
    """Return per set-up what the fullest device is never below, in whole per cent.

    Loads that may be off count for nothing. No head may be left out.

    Args:
        facts: The job, worked out.
        options: Everything each plugged-in demand may use.
    """
    return {setup_id: _bound(_read(facts, options, setup_id)) for setup_id in facts.demands}


def _read(facts: Facts, options: Options, setup_id: str) -> _SetUp:
    found = _SetUp()
    for demand in facts.demands[setup_id]:
        if demand.may_be_off:
            continue
        if demand.circuit is not None:
            circuit = facts.circuits[demand.circuit]
            unit_ma = facts.unit_ma(demand.load, circuit.poles)
            counted_ma = facts.counted_ma(setup_id, demand.load, circuit.poles)
            on = exposure([circuit], None, frozenset())
            for device, amount in found.amounts(facts, on, unit_ma, counted_ma).items():
                found.wired[device] += demand.count * amount
            continue
        seen: dict[Exposure, Candidate] = {}
        for option in options[demand]:
            seen.setdefault(option.point.exposure, option)
        found.ways[demand] = [
            found.amounts(facts, on, option.unit_ma, option.counted_ma)
            for on, option in seen.items()
        ]
    return found


def proved_percent(found: _SetUp, weights: Mapping[Hashable, int]) -> int:
    """Return what weights on the devices prove, in whole per cent, rounded up."""
    least = sum(weights.get(device, 0) * amount for device, amount in found.wired.items())
    for demand, ways in found.ways.items():
        least += demand.count * min(
            sum(weights.get(device, 0) * amount for device, amount in way.items()) for way in ways
        )
    room = sum(weight * found.limits[device] for device, weight in weights.items())
    return -(-FULL_PCT * least // room) if room else 0


def _bound(found: _SetUp) -> int:
    return max(proved_percent(found, _weights(found)), _of_one_unit(found))


def _of_one_unit(found: _SetUp) -> int:
    """Return how full the largest unit makes some device wherever it goes, in whole per cent."""
    return max(
        (
            min(
                max(
                    -(-FULL_PCT * (found.wired[device] + amount) // found.limits[device])
                    for device, amount in way.items()
                    if found.limits[device]
                )
                for way in ways
            )
            for ways in found.ways.values()
            if all(ways)
        ),
        default=0,
    )


def _weights(found: _SetUp) -> dict[Hashable, int]:
    """Return the weights of the linear programme that spreads units in parts."""
    if not found.limits:
        return {}
    model = mathopt.Model()
    fullest = model.add_variable(lb=0.0)
    terms: dict[Hashable, list[mathopt.LinearExpression]] = defaultdict(list)
    for demand, ways in found.ways.items():
        parts = [model.add_variable(lb=0.0) for _ in ways]
        model.add_linear_constraint(mathopt.fast_sum(parts) == demand.count)
        for part, way in zip(parts, ways, strict=True):
            for device, amount in way.items():
                terms[device].append(amount / found.limits[device] * part)
    rows = {
        device: model.add_linear_constraint(
            mathopt.fast_sum(terms[device]) + found.wired[device] / limit <= fullest
        )
        for device, limit in found.limits.items()
    }
    model.minimize(fullest)
    result = mathopt.solve(model, mathopt.SolverType.GLOP)
    if not result.has_dual_feasible_solution():
        return {}
    duals = result.dual_values()
    # A device's row is in shares of its limit: its weight is what the share costs for each amp.
    largest = max(found.limits.values())
    return {
        device: max(round(-duals[row] * _WHOLE * largest / found.limits[device]), 0)
        for device, row in rows.items()
    }
