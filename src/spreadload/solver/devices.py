"""What every limiting device carries, as sums over the decisions.

A device is a circuit's pole, a sub-board feed's phase, a phase of the supply, or an RCD. The rules
hold each within its limit; the goals look at how full it is.
"""

from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable, Iterator
from dataclasses import dataclass
from itertools import product
from typing import TypeVar

from spreadload.derived.asked import Demand
from spreadload.derived.points import exposure
from spreadload.derived.records import Exposure
from spreadload.solver.variables import Linear, Variables, weighted

Name = TypeVar("Name", bound=Hashable)


@dataclass(frozen=True)
class Stake:
    """Units of one demand with everything they count on; amps per pole [mA], leakage [µA]."""

    demand: Demand
    exposure: Exposure
    unit_ma: int
    counted_ma: int
    leakage_ua: int
    units: Linear


@dataclass(frozen=True)
class Device:
    """One limiting device in one set-up; load and limit share a unit."""

    setup: str
    name: Hashable
    load: Linear
    limit: int


def stakes(v: Variables, setup_id: str) -> Iterator[Stake]:
    """Yield everything on in a set-up, plugged in or hard-wired."""
    for demand in v.plugged(setup_id):
        leakage_ua = v.facts.loads[demand.load].leakage_ua
        seen: dict[Exposure, None] = {}
        for option in v.options[demand]:
            reached = option.point.exposure
            if reached not in seen:
                seen[reached] = None
                units = v.spread[demand, reached]
                yield Stake(demand, reached, option.unit_ma, option.counted_ma, leakage_ua, units)
    for demand in v.wired(setup_id):
        circuit = v.facts.circuits[demand.circuit or ""]
        yield Stake(
            demand,
            exposure([circuit], None, frozenset()),
            v.facts.unit_ma(demand.load, circuit.poles),
            v.facts.counted_ma(setup_id, demand.load, circuit.poles),
            v.facts.loads[demand.load].leakage_ua,
            demand.count * (1 - v.is_off(demand)),
        )


def circuits(v: Variables) -> list[Device]:
    """Return every circuit pole that anything might be on, in counted mA."""
    return _devices(
        v,
        lambda stake: stake.exposure.circuits,
        lambda stake: stake.counted_ma,
        lambda pole: v.facts.circuits[pole[0]].cap_ma,
    )


def feeds(v: Variables) -> list[Device]:
    """Return every phase of a sub-board feed, in counted mA."""
    return _devices(
        v,
        lambda stake: stake.exposure.feeds,
        lambda stake: stake.counted_ma,
        lambda feed: v.facts.feeds[feed[0]].cap_ma,
    )


def phases(v: Variables) -> list[Device]:
    """Return every phase of the supply, in actual mA."""
    return _devices(
        v,
        lambda stake: stake.exposure.phases,
        lambda stake: stake.unit_ma,
        lambda _: v.facts.supply.cap_ma,
    )


def rcd_amps(v: Variables) -> list[Device]:
    """Return every phase behind an RCD whose rated amps are stated, in actual mA."""
    rated = {name for name, rcd in v.facts.rcds.items() if rcd.rating_ma is not None}
    return _devices(
        v,
        lambda stake: product(stake.exposure.rcds & rated, stake.exposure.phases),
        lambda stake: stake.unit_ma,
        lambda pole: v.facts.rcds[pole[0]].rating_ma or 0,
    )


def leakage(v: Variables) -> list[Device]:
    """Return every RCD, in µA of standing leakage against where it may trip."""
    return _devices(
        v,
        lambda stake: stake.exposure.rcds,
        lambda stake: stake.leakage_ua,
        lambda rcd: v.facts.rcds[rcd].may_trip_ua,
    )


def breakers(v: Variables) -> list[Device]:
    """Return everything that ``tightest`` looks at."""
    return circuits(v) + feeds(v) + phases(v) + rcd_amps(v)


def _devices(
    v: Variables,
    names: Callable[[Stake], Iterable[Name]],
    amount: Callable[[Stake], int],
    limit: Callable[[Name], int],
) -> list[Device]:
    found: list[Device] = []
    for setup_id in v.setups():
        terms: dict[Name, list[tuple[int, Linear]]] = defaultdict(list)
        for stake in stakes(v, setup_id):
            for name in names(stake):
                terms[name].append((amount(stake), stake.units))
        found += [
            Device(setup_id, name, weighted(parts), limit(name))
            for name, parts in sorted(terms.items(), key=lambda item: str(item[0]))
        ]
    return found
