"""Volts that no wiring still possible takes a load below: a certificate, not an estimate.

Every outlet counts on every circuit it might be on, drops are added up as if all were in step, and
each load draws the most it can between the floor and the idle volts. The floor is lowered from the
idle volts until it stands still; the sweep of the load flow, which starts there too, stays above it
in every round. On several lines the neutral may lift one of them above the idle volts: that counts
for what draws more then.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import acos, cos, inf, pi

from spreadload.derived.facts import Facts
from spreadload.derived.records import CircuitFacts
from spreadload.electrical.behaviour import current_exponent, current_ratio
from spreadload.electrical.rows import Figure
from spreadload.network.assumed import THREE, WIRING_NEUTRAL_SHARE, service_neutral_share
from spreadload.network.classes import Behaves
from spreadload.network.house import House
from spreadload.network.records import Fixed, Hung, UnitVolts
from spreadload.network.ways import might_be_on

STILL_V = Figure(1e-4, source="volts count as standing still; our own choice")
LEAST_SHARE = Figure(
    0.6, source="share of the idle volts below which nothing is certified; our own choice"
)


@dataclass(frozen=True, slots=True)
class _On:
    """One load, and everywhere it might hang.

    Attributes:
        might: The circuits it might be on.
        outlet: Its outlet, or None at the end of a circuit.
        board: The power board it is on, by its socket and lead, or None.
        own_ohm: Loop resistance of its own lead [Ω].
        board_ohm: Loop resistance of the lead in front of that board [Ω].
        rated_a: Its current at rated volts, all units together [A].
        against: How much of its current a load on another line feels in the neutral.
    """

    might: frozenset[str]
    outlet: str | None
    board: tuple[object, ...] | None
    own_ohm: float
    board_ohm: float
    rated_a: float
    against: float
    behaves: Behaves

    def most_a(self, floor_v: float, ceiling_v: float) -> float:
        """Return the most it draws between two voltages [A]."""
        regulated = current_exponent(self.behaves.load_class) < 0
        volts = floor_v if regulated else ceiling_v
        ratio = current_ratio(self.behaves.load_class, volts / self.behaves.rated_v)
        return self.rated_a * ratio


def floor_units(
    house: House, hung: Sequence[Hung], fixed: Sequence[Fixed], seen: Sequence[UnitVolts]
) -> tuple[UnitVolts, ...] | None:
    """Return every unit at the least volts and most amps any wiring can give it, or None.

    Args:
        house: The job as a network.
        hung: What is plugged in.
        fixed: What is wired and on.
        seen: The same units as the load flow tells them on some wiring, in that order.

    None where no floor is found, or a load uses several lines: then only load flows tell.
    """
    if any(unit.poles > 1 for unit in hung) or any(_poles(house.facts, f) > 1 for f in fixed):
        return None
    idle_v = house.service.idle_v
    loads = [*_plugged(house, hung), *(_wired(house, item) for item in fixed)]
    ways = _Shares(house).of(loads)
    floor, ceiling_v = [idle_v] * len(loads), idle_v
    lift_ohm = _lift_ohm(house)
    while True:
        amps = [on.most_a(volts, ceiling_v) for on, volts in zip(loads, floor, strict=True)]
        lower = [
            idle_v - max(sum(ohm * a for ohm, a in zip(row, amps, strict=True)) for row in rows)
            for rows in ways
        ]
        higher_v = idle_v + lift_ohm * sum(amps)
        if min(lower, default=idle_v) < LEAST_SHARE.value * idle_v:
            return None
        moved_v = [was - now for was, now in zip(floor, lower, strict=True)]
        if max(*moved_v, higher_v - ceiling_v, 0.0) < STILL_V.value:
            break
        floor, ceiling_v = lower, higher_v
    pairs = zip(loads, lower, seen, strict=True)
    still_v = STILL_V.value
    return tuple(
        _at_floor(on, (volts - still_v, ceiling_v + still_v), unit) for on, volts, unit in pairs
    )


def _lift_ohm(house: House) -> float:
    """Return the impedance of the neutrals through which one line may lift another [Ω]."""
    lines = len(house.facts.supply.phases)
    if lines == 1:
        return 0.0
    chains = (circuit.feeds for circuit in house.facts.circuits.values())
    feeds = [sum(abs(house.wires.to_sub_board(board).ohm) for board in chain) for chain in chains]
    in_feeds = max(feeds, default=0.0) * WIRING_NEUTRAL_SHARE.value
    return house.service.ohm * service_neutral_share(lines) + in_feeds


def _at_floor(on: _On, within_v: tuple[float, float], unit: UnitVolts) -> UnitVolts:
    now = current_ratio(on.behaves.load_class, unit.volts / on.behaves.rated_v)
    most = on.most_a(*within_v) / on.rated_a if on.rated_a else 0.0
    ratio = unit.amps_ratio * most / now if now else inf
    return replace(unit, volts=within_v[0], amps_ratio=max(ratio, unit.amps_ratio))


def _poles(facts: Facts, item: Fixed) -> int:
    return len(facts.circuits[item.circuit].phases) if item.circuit else 1


def _plugged(house: House, hung: Sequence[Hung]) -> list[_On]:
    might = might_be_on(house.facts, hung)
    found = []
    for unit in hung:
        outlet = house.facts.points[unit.point].outlet
        own, board = (
            0.0 if lead is None else house.facts.leads[lead].loop_ohm
            for lead in (unit.lead, unit.board_lead)
        )
        key = None if unit.board_lead is None else (unit.point, unit.socket, unit.board_lead)
        found.append(_load(house, (might[outlet], outlet), (own, key, board), (unit.load, 1)))
    return found


def _wired(house: House, item: Fixed) -> _On:
    might = frozenset([item.circuit])
    return _load(house, (might, None), (0.0, None, 0.0), (item.load, item.count))


def _load(
    house: House,
    where: tuple[frozenset[str], str | None],
    leads: tuple[float, tuple[object, ...] | None, float],
    which: tuple[str, int],
) -> _On:
    behaves = house.behaves[which[0]]
    own_ohm, board, board_ohm = leads
    rated_a = behaves.apparent_va.worst * which[1] / behaves.rated_v
    # A current that lags far behind on one phase comes nearly in step with the next.
    lag = acos(min(1.0, behaves.power_factor.worst))
    against = max(0.0, cos(2 * pi / THREE - lag)) if len(house.facts.supply.phases) == THREE else 0
    return _On(*where, board, own_ohm, board_ohm, rated_a, against, behaves)


class _Shares:
    """Looks up what every load takes from every other, on each circuit the other may be on."""

    def __init__(self, house: House) -> None:
        self._facts = house.facts
        self._wires = house.wires
        neutral = service_neutral_share(len(self._facts.supply.phases))
        self._service = house.service.ohm
        self._service_neutral = house.service.ohm * neutral
        self._kept: dict[object, float] = {}

    def of(self, loads: Sequence[_On]) -> list[list[list[float]]]:
        """Return per load and circuit it may be on the ohms it shares with each load."""
        return [
            [[self._ohm(circuit, one, other) for other in loads] for circuit in sorted(one.might)]
            for one in loads
        ]

    def _ohm(self, circuit: str, one: _On, other: _On) -> float:
        is_same = one.outlet is not None and one.outlet == other.outlet
        might = [circuit] if is_same else sorted(other.might)
        ohm = max(self._fixed(circuit, one, each, other) for each in might)
        if one.board is not None and one.board == other.board:
            ohm += one.board_ohm
        return ohm + (one.own_ohm if one is other else 0.0)

    def _fixed(self, circuit: str, one: _On, circuit2: str, other: _On) -> float:
        key = (circuit, one.outlet, circuit2, other.outlet, other.against)
        if key not in self._kept:
            self._kept[key] = self._wiring(circuit, one, circuit2, other)
        return self._kept[key]

    def _wiring(self, circuit: str, one: _On, circuit2: str, other: _On) -> float:
        first, second = self._facts.circuits[circuit], self._facts.circuits[circuit2]
        feeds = sum(
            abs(self._wires.to_sub_board(board).ohm) for board in set(first.feeds) & {*second.feeds}
        )
        if not self._may_share_a_line(first, second):
            return (self._service_neutral + feeds * WIRING_NEUTRAL_SHARE.value) * other.against
        ohm = self._service + feeds
        if circuit == circuit2:
            runs = (self._wires.to_outlet(circuit, each.outlet).ohm for each in (one, other))
            ohm += min(abs(run) for run in runs)
        return ohm

    def _may_share_a_line(self, first: CircuitFacts, second: CircuitFacts) -> bool:
        """Whether two circuits may hang on one line; one of unknown phase may be on any."""
        known = all(c.poles == len(c.phases) for c in (first, second))
        return not known or bool(set(first.phases) & set(second.phases))
