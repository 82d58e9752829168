"""Which lead would do where none on the van does: its size, or two of the van's leads joined."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations_with_replacement

from spreadload import practice
from spreadload.derived.asked import Demand
from spreadload.derived.facts import Facts
from spreadload.derived.kit import cord_family
from spreadload.derived.records import LeadFacts, Point
from spreadload.electrical.cords import RATINGS
from spreadload.electrical.drop import SizeTried, smallest_size_that_works
from spreadload.solver.model.candidates import candidates
from spreadload.solver.why_not.requirements import any_lead
from spreadload.units import MILLI, shown_amps, tenths_down, tenths_up

_WITHOUT_DROP_PCT = 100.0


@dataclass(frozen=True)
class _Need:
    """The lead that a unit wants from its nearest outlet.

    Attributes:
        length_m: What its own cord does not reach [m].
        amps_a: What it draws [A].
    """

    demand: Demand
    point: Point
    length_m: float
    amps_a: float


def lead_remedy(facts: Facts, setup: str) -> str:
    """Return what lead would do for the first unit that no lead on the van serves, or ""."""
    need = next(_needs(facts, setup), None)
    if need is None:
        return ""
    parts = [_size_words(facts, need), *_joined_words(facts, need)]
    return "; ".join(part for part in parts if part)


def _needs(facts: Facts, setup: str) -> Iterator[_Need]:
    """Yield every unit with a place that no run reaches, from the outlet nearest to it."""
    free = any_lead(facts, facts.job)
    rules = free.rules.model_copy(update={"lead_drop_pct": _WITHOUT_DROP_PCT})
    with_any = facts.changed(free.model_copy(update={"rules": rules}))
    for demand in facts.demands[setup]:
        if demand.circuit is not None or demand.place is None or candidates(facts, demand):
            continue
        cord_m = facts.loads[demand.load].cord_m
        reached = [
            (facts.route_m(demand.place, option.point) - cord_m, option.point.id, option)
            for option in candidates(with_any, demand)
        ]
        if reached:
            length_m, _, option = min(reached)
            yield _Need(demand, option.point, max(0.0, length_m), option.unit_ma / MILLI)


def _size_words(facts: Facts, need: _Need) -> str:
    family = cord_family(facts.job.region)
    found = smallest_size_that_works(
        need.amps_a,
        need.length_m,
        [row.size for row in RATINGS if row.family is family],
        voltage_v=facts.supply.planning_v,
        max_drop_pct=facts.lead_drop_pct,
        family=family,
    ).chosen
    if found is None:
        return ""
    return f"from {need.point.outlet} it takes {_sized(facts, need, found)}"


def _sized(facts: Facts, need: _Need, size: SizeTried) -> str:
    limit_v = facts.lead_drop_pct / 100 * facts.supply.planning_v
    return (
        f"{facts.lengths.whole(need.length_m)} of lead of {size.size} or thicker for "
        f"{shown_amps(need.amps_a)} A (loses {tenths_up(size.drop_v)} of the "
        f"{tenths_down(limit_v)} V allowed)"
    )


def _joined_words(facts: Facts, need: _Need) -> Iterator[str]:
    """Yield the shortest two leads on the van that would do joined, if any would."""
    pairs = [
        (one.length_m + other.length_m, one.loop_ohm + other.loop_ohm, one, other)
        for one, other in combinations_with_replacement(facts.leads, 2)
        if (one is not other or one.count > 1) and _does(facts, need, one, other)
    ]
    if not pairs:
        return
    _, ohm, one, other = min(pairs, key=lambda pair: pair[:2])
    yield (
        f"{one.name} and {other.name} joined would reach and lose "
        f"{tenths_up(ohm * need.amps_a)} V: one join at most, dry, off the floor and strain "
        "relieved; one lead of the length is better"
    )


def _does(facts: Facts, need: _Need, one: LeadFacts, other: LeadFacts) -> bool:
    """Whether two leads, one plugged into the other, reach, carry and keep the volts."""
    plug = practice.plug
    limit_v = facts.lead_drop_pct / 100 * facts.supply.planning_v
    load = facts.loads[need.demand.load]
    fits = (
        plug(one.plug).enters_outlet(need.point.plug)
        and plug(other.plug).enters_outlet(one.socket)
        and plug(load.plug).enters_outlet(other.socket)
    )
    carries = min(one.rating_ma, other.rating_ma) >= need.amps_a * MILLI
    reaches = one.length_m + other.length_m >= need.length_m
    return fits and carries and reaches and (one.loop_ohm + other.loop_ohm) * need.amps_a <= limit_v
