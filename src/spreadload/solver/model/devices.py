"""What every limiting device carries, as sums over the decisions.

A device is a circuit's pole, a sub-board feed's phase, a phase of the supply, or an RCD. The rules
hold each within its limit; the goals look at how full it is.
"""

from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable, Iterator
from dataclasses import dataclass
from itertools import product
from typing import TypeAlias

from spreadload.derived.asked import Demand
from spreadload.derived.facts import Facts
from spreadload.derived.points import exposure
from spreadload.derived.records import Exposure
from spreadload.solver.model.variables import Linear, Variables, weighted

# What a unit counts on, its limit, and what one unit takes of it, in one unit.
Taken: TypeAlias = tuple[Hashable, int, int]


@dataclass(frozen=True)
class Amounts:
    """What one unit takes: amps per pole [mA], standing leakage [µA]."""

    unit_ma: int
    counted_ma: int
    leakage_ua: int


@dataclass(frozen=True)
class Stake(Amounts):
    """Units of one demand with everything they count on."""

    demand: Demand
    exposure: Exposure
    units: Linear


@dataclass(frozen=True)
class Device:
    """One limiting device in one set-up; load and limit share a unit."""

    setup: str
    name: Hashable
    load: Linear
    limit: int


def stakes(v: Variables, setup_id: str) -> tuple[Stake, ...]:
    """Return everything on in a set-up, plugged in or hard-wired; worked out once."""
    if setup_id not in v.stakes:
        v.stakes[setup_id] = tuple(_stakes(v, setup_id))
    return v.stakes[setup_id]


def _stakes(v: Variables, setup_id: str) -> Iterator[Stake]:
    for demand in v.plugged(setup_id):
        leakage_ua = v.facts.loads[demand.load].leakage_ua
        seen: dict[Exposure, None] = {}
        for option in v.options[demand]:
            reached = option.point.exposure
            if reached not in seen:
                seen[reached] = None
                units = v.spread[demand, reached]
                yield Stake(option.unit_ma, option.counted_ma, leakage_ua, demand, reached, units)
    for demand in v.wired(setup_id):
        circuit = v.facts.circuits[demand.circuit or ""]
        yield Stake(
            v.facts.unit_ma(demand.load, circuit.poles),
            v.facts.counted_ma(setup_id, demand.load, circuit.poles),
            v.facts.loads[demand.load].leakage_ua,
            demand,
            exposure([circuit], None, frozenset()),
            demand.count * (1 - v.is_off(demand)),
        )


def circuits(v: Variables) -> list[Device]:
    """Return every circuit pole that anything might be on, in counted mA."""
    return _devices(v, _of_circuits)


def feeds(v: Variables) -> list[Device]:
    """Return every phase of a sub-board feed, in counted mA."""
    return _devices(v, _of_feeds)


def phases(v: Variables) -> list[Device]:
    """Return every phase of the supply, in actual mA."""
    return _devices(v, _of_phases)


def rcd_amps(v: Variables) -> list[Device]:
    """Return every phase behind an RCD whose rated amps are stated, in actual mA."""
    return _devices(v, _of_rcd_amps)


def leakage(v: Variables) -> list[Device]:
    """Return every RCD, in µA of standing leakage against where it may trip."""
    return _devices(v, _of_leakage)


def breakers(v: Variables) -> list[Device]:
    """Return everything that ``tightest`` looks at: what a plug may come to count on."""
    return _devices(v, _of_circuits_with_plugs) + feeds(v) + phases(v) + rcd_amps(v)


def taken(facts: Facts, on: Exposure, unit_ma: int, counted_ma: int) -> Iterator[Taken]:
    """Yield what one unit takes of everything that ``tightest`` looks at."""
    amounts = Amounts(unit_ma, counted_ma, 0)
    for kind, of in _BREAKERS.items():
        for name, limit, amount in of(facts, on, amounts):
            yield (kind, name), limit, amount


def _of_circuits(facts: Facts, on: Exposure, unit: Amounts) -> Iterator[Taken]:
    for pole in on.circuits:
        yield pole, facts.circuits[pole[0]].cap_ma, unit.counted_ma


def _of_circuits_with_plugs(facts: Facts, on: Exposure, unit: Amounts) -> Iterator[Taken]:
    """Yield circuits without those of wired loads alone, which no plug moved eases."""
    for pole in on.circuits:
        if pole[0] in facts.with_plugs:
            yield pole, facts.circuits[pole[0]].cap_ma, unit.counted_ma


def _of_feeds(facts: Facts, on: Exposure, unit: Amounts) -> Iterator[Taken]:
    for feed in on.feeds:
        yield feed, facts.feeds[feed[0]].cap_ma, unit.counted_ma


def _of_phases(facts: Facts, on: Exposure, unit: Amounts) -> Iterator[Taken]:
    for phase in on.phases:
        yield phase, facts.supply.cap_ma, unit.unit_ma


def _of_rcd_amps(facts: Facts, on: Exposure, unit: Amounts) -> Iterator[Taken]:
    for rcd, phase in product(on.rcds, on.phases):
        rating_ma = facts.rcds[rcd].rating_ma
        if rating_ma is not None:
            yield (rcd, phase), rating_ma, unit.unit_ma


def _of_leakage(facts: Facts, on: Exposure, unit: Amounts) -> Iterator[Taken]:
    for rcd in on.rcds:
        yield rcd, facts.rcds[rcd].may_trip_ua, unit.leakage_ua


_Of: TypeAlias = Callable[[Facts, Exposure, Amounts], Iterable[Taken]]
_BREAKERS: dict[str, _Of] = {
    "circuit": _of_circuits_with_plugs,
    "feed": _of_feeds,
    "phase": _of_phases,
    "rcd amps": _of_rcd_amps,
}


def _devices(v: Variables, of: _Of) -> list[Device]:
    found: list[Device] = []
    for setup_id in v.setups():
        terms: dict[Hashable, list[tuple[int, Linear]]] = defaultdict(list)
        limits: dict[Hashable, int] = {}
        for stake in stakes(v, setup_id):
            for name, limit, amount in of(v.facts, stake.exposure, stake):
                limits[name] = limit
                terms[name].append((amount, stake.units))
        found += [
            Device(setup_id, name, weighted(parts), limits[name])
            for name, parts in sorted(terms.items(), key=lambda item: str(item[0]))
        ]
    return found
