"""The ways the open wiring of a set-up may be: the worst for each circuit in turn, the best of all.

Nothing is solved here.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from spreadload.derived.facts import Facts
from spreadload.network.records import Fixed, Hung
from spreadload.network.wires import Wires

Might = Mapping[str, frozenset[str]]


@dataclass(frozen=True, slots=True)
class Way:
    """One way the house may be wired.

    Attributes:
        on: The circuit of each outlet in use.
        alone: Outlets that share no cable of their circuit with others.
    """

    on: Mapping[str, str]
    alone: frozenset[str] = frozenset()


def might_be_on(facts: Facts, hung: Iterable[Hung]) -> dict[str, frozenset[str]]:
    """Return the circuits each outlet in use may be on; of one nobody knows, any first one."""
    found: dict[str, frozenset[str]] = {}
    for unit in hung:
        outlet = facts.points[unit.point].outlet
        found[outlet] = unit.circuits or circuits_of_outlet(facts, outlet)
    return found


def circuits_of_outlet(facts: Facts, outlet: str) -> frozenset[str]:
    """Return the circuits an outlet may be on by the job alone."""
    any_one = frozenset([next(iter(facts.circuits))])
    return facts.points[outlet].exposure.might_be_on or any_one


def worst_ways(facts: Facts, might: Might) -> list[Way]:
    """Return, for each circuit that is open to an outlet, the way that loads it and its line most.

    What might be on the circuit is on it, and everything else as near to it as it can be: under the
    same sub-board, else on the same line of the supply.
    """
    open_to = sorted({c for circuits in might.values() if len(circuits) > 1 for c in circuits})
    return [
        Way({outlet: _nearest(facts, full, them) for outlet, them in might.items()})
        for full in (open_to or [""])
    ]


def _nearest(facts: Facts, full: str, them: frozenset[str]) -> str:
    """Return the circuit that shares the most cable with one, the first by name of equals."""
    if full in them or full not in facts.circuits:
        return full if full in them else min(them)
    feeds, phases = set(facts.circuits[full].feeds), set(facts.circuits[full].phases)

    def apart(circuit: str) -> tuple[int, bool, str]:
        other = facts.circuits[circuit]
        return -len(feeds & set(other.feeds)), not phases & set(other.phases), circuit

    return min(them, key=apart)


def best_way(
    facts: Facts, wires: Wires, service_ohm: float, on: tuple[Sequence[Hung], Sequence[Fixed]]
) -> Way:
    """Return the way that gives the most volts, every open outlet on a cable of its own.

    The largest first, each goes to the circuit that takes the least volts from it, by its own amps
    on the way there and by what is on that line of the supply already. On one line no wiring gives
    the lowest head more; on several it is about the evenest there is.

    Args:
        facts: The job.
        wires: Its fixed wiring.
        service_ohm: Loop impedance in front of the board [Ω].
        on: What is plugged in, and what is wired.
    """
    hung, fixed = on
    might = might_be_on(facts, hung)
    alone = frozenset(facts.points[u.point].outlet for u in hung if u.is_left_to_maps)
    way = {outlet: min(circuits) for outlet, circuits in might.items()}
    full = dict.fromkeys(facts.supply.phases, 0)

    def put(circuit: str, current_ma: int) -> None:
        for phase in facts.circuits[circuit].phases:
            full[phase] = full.get(phase, 0) + current_ma

    def lost(circuit: str, outlet: str) -> tuple[float, str]:
        fullest = max((full.get(p, 0) for p in facts.circuits[circuit].phases), default=0)
        own_mv = drawn_ma[outlet] * _ohm_to(facts, wires, circuit, outlet)
        return fullest * service_ohm + own_mv, circuit

    for item in fixed:
        if item.circuit:
            put(item.circuit, item.count * facts.unit_ma(item.load, 1))
    drawn_ma = _drawn_ma(facts, hung)
    for outlet in sorted(way, key=lambda o: (o in alone, -drawn_ma[o], o)):
        if outlet in alone:
            way[outlet] = min(might[outlet], key=lambda c: lost(c, outlet))
        put(way[outlet], drawn_ma[outlet])
    return Way(way, alone)


def _drawn_ma(facts: Facts, hung: Iterable[Hung]) -> dict[str, int]:
    found: dict[str, int] = {}
    for unit in hung:
        outlet = facts.points[unit.point].outlet
        found[outlet] = found.get(outlet, 0) + facts.unit_ma(unit.load, unit.poles)
    return found


def _ohm_to(facts: Facts, wires: Wires, circuit: str, outlet: str) -> float:
    feeds = sum(wires.to_sub_board(board).ohm.real for board in facts.circuits[circuit].feeds)
    return feeds + wires.to_outlet(circuit, outlet).ohm.real
