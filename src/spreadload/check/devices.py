"""Everything that limits amps between a socket and the street, one row per conductor.

A device is a pole of a circuit, a phase of a sub-board feed, a phase of the supply or a phase
behind a rated RCD. Sums are kept per row. Nothing here knows of plans.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from spreadload.derived.facts import Facts
from spreadload.derived.points import exposure
from spreadload.derived.records import CircuitFacts, Exposure

Kind = Literal["circuit", "feed", "phase", "rcd amps"]
Key = tuple[Kind, str, str]


@dataclass(frozen=True, slots=True)
class Device:
    """One conductor of something with a rating.

    Attributes:
        kind: What it is.
        id: Circuit, sub-board, phase or RCD.
        pole: Which of several conductors, or "" when there is one.
        phase: Its phase, or "" when it is not known.
        cap_ma: What it may carry [mA].
        is_counted: Whether continuous loads count for more here.
        source: Where the rating comes from.
        takes_plugs: Whether a plug may come to count on it; false for a way of wired loads alone.
    """

    kind: Kind
    id: str
    pole: str
    phase: str
    cap_ma: int
    is_counted: bool
    source: str
    takes_plugs: bool = True

    @property
    def where(self) -> str:
        """The id, with the pole where there are several."""
        return f"{self.id} {self.pole}".rstrip()


class Devices:
    """All devices of a job in a fixed order: circuits, feeds, RCDs, phases."""

    def __init__(self, facts: Facts) -> None:
        """List the devices of a job."""
        found = [
            *_circuit_poles(facts),
            *_feed_phases(facts),
            *_rcd_phases(facts),
            *_supply_phases(facts),
        ]
        self.rows: tuple[Device, ...] = tuple(device for _, device in found)
        self._index = {key: row for row, (key, _) in enumerate(found)}

    def rows_of(self, exposed: Exposure) -> tuple[int, ...]:
        """Return the rows in which a load with this exposure counts in full."""
        keys: list[Key] = [("circuit", name, pole) for name, pole in exposed.circuits]
        keys += [("feed", name, phase) for name, phase in exposed.feeds]
        keys += [("rcd amps", name, phase) for name in exposed.rcds for phase in exposed.phases]
        keys += [("phase", phase, "") for phase in exposed.phases]
        return tuple(sorted(self._index[key] for key in keys if key in self._index))


def everywhere_on(circuit: CircuitFacts) -> Exposure:
    """Return what a load wired to a circuit is on: all its poles and all it is behind."""
    return exposure([circuit], None, frozenset())


def _circuit_poles(facts: Facts) -> Iterator[tuple[Key, Device]]:
    for circuit in facts.circuits.values():
        for _, pole in sorted(everywhere_on(circuit).circuits):
            sole = circuit.phases[0] if len(circuit.phases) == 1 else ""
            yield (
                ("circuit", circuit.id, pole),
                Device(
                    "circuit",
                    circuit.id,
                    pole,
                    pole or sole,
                    circuit.cap_ma,
                    is_counted=True,
                    source=circuit.source,
                    takes_plugs=circuit.id in facts.with_plugs,
                ),
            )


def _feed_phases(facts: Facts) -> Iterator[tuple[Key, Device]]:
    # A circuit of unknown phase under a feed of known phases may be on any of the supply's.
    reached = {pair for c in facts.circuits.values() for pair in everywhere_on(c).feeds}
    for feed in facts.feeds.values():
        phases = sorted({*feed.phases, *(phase for name, phase in reached if name == feed.id)})
        for phase in phases:
            yield (
                ("feed", feed.id, phase),
                Device(
                    "feed",
                    feed.id,
                    phase if len(phases) > 1 else "",
                    phase,
                    feed.cap_ma,
                    is_counted=True,
                    source=feed.source,
                ),
            )


def _rcd_phases(facts: Facts) -> Iterator[tuple[Key, Device]]:
    phases = facts.supply.phases
    for rcd in facts.rcds.values():
        if rcd.rating_ma is None:
            continue
        for phase in phases:
            yield (
                ("rcd amps", rcd.id, phase),
                Device(
                    "rcd amps",
                    rcd.id,
                    phase if len(phases) > 1 else "",
                    phase,
                    rcd.rating_ma,
                    is_counted=False,
                    source=f"{rcd.rating_ma / 1000:g} A rating of the RCD",
                ),
            )


def _supply_phases(facts: Facts) -> Iterator[tuple[Key, Device]]:
    supply = facts.supply
    for phase in supply.phases:
        yield (
            ("phase", phase, ""),
            Device(
                "phase",
                phase,
                "",
                phase,
                supply.cap_ma,
                is_counted=False,
                source=supply.source,
            ),
        )
