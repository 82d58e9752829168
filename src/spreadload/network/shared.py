"""What two loads take from each other's volts: the resistance that both draw through.

A bound for the solver, in step with the volts; the load flow itself knows nothing of it.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field

from spreadload.derived.facts import Facts
from spreadload.electrical.rows import Figure
from spreadload.network.assumed import TWO, WIRING_NEUTRAL_SHARE, service_neutral_share
from spreadload.network.service import Service
from spreadload.network.wires import Wires

AGAINST = Figure(
    0.5, source="cosine of 120°: what a load takes from another phase's neutral drop; derived"
)


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a load hangs.

    Attributes:
        circuits: The circuits it may be on.
        outlet: Its outlet, or None for the end of the circuit.
    """

    circuits: frozenset[str]
    outlet: str | None


@dataclass(frozen=True)
class Shared:
    """Looks up the resistance that loads share; answers are kept."""

    facts: Facts
    wires: Wires
    service: Service
    _kept: dict[tuple[Spot, Spot], float] = field(default_factory=dict)

    def least_ohm(self, one: Spot, other: Spot) -> float:
        """Return the least resistance that two loads share, whatever the wiring [Ω].

        A load on another line of the supply empties the neutral: what it shares is below zero.
        """
        key = (one, other)
        if key not in self._kept:
            self._kept[key] = min(self._pairs(one, other))
        return self._kept[key]

    def _pairs(self, one: Spot, other: Spot) -> Iterable[float]:
        is_same = one.outlet is not None and one.outlet == other.outlet
        for circuit in one.circuits:
            for another in [circuit] if is_same else other.circuits:
                yield self._ohm((circuit, one.outlet), (another, other.outlet))

    def _ohm(self, one: tuple[str, str | None], other: tuple[str, str | None]) -> float:
        lines = [self._line(circuit) for circuit, _ in (one, other)]
        if None in lines or lines[0] != lines[1]:
            return self._through_neutral(one[0], other[0])
        ohm = self.service.ohm
        ohm += sum(self.wires.to_sub_board(board).ohm.real for board in self._feeds(one, other))
        if one[0] == other[0]:
            ohm += min(self.wires.to_outlet(*each).ohm.real for each in (one, other))
        return ohm

    def _feeds(self, one: tuple[str, str | None], other: tuple[str, str | None]) -> set[str]:
        feeds = (self.facts.circuits[circuit].feeds for circuit, _ in (one, other))
        return set.intersection(*map(set, feeds))

    def _through_neutral(self, one: str, other: str) -> float:
        """Return what loads on two lines of a supply share: their currents oppose each other."""
        lines = len(self.facts.supply.phases)
        if lines < TWO:
            return 0.0
        ohm = self.service.ohm * service_neutral_share(lines)
        feeds = self._feeds((one, None), (other, None))
        ohm += sum(
            self.wires.to_sub_board(board).ohm.real * WIRING_NEUTRAL_SHARE.value for board in feeds
        )
        return -ohm if lines == TWO else -ohm * AGAINST.value

    def _line(self, circuit: str) -> str | None:
        """Return the line a one-pole circuit is surely on; None where that is not so simple."""
        phases = self.facts.circuits[circuit].phases
        return phases[0] if len(phases) == 1 else None
