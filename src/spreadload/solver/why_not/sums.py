"""Totals of a set-up that are over what there is: to be believed without any solver.

Each is a bound whatever the split: every unit counted goes through at least one of the devices
named, whichever outlet it may use. Nothing here solves.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from itertools import chain, product
from typing import Literal

from spreadload import practice
from spreadload.check.devices import everywhere_on
from spreadload.derived.asked import Demand
from spreadload.derived.facts import Facts
from spreadload.derived.records import Exposure
from spreadload.solver.model.candidates import candidates
from spreadload.solver.why_not.requirement import Sort
from spreadload.units import MILLI, shown_amps, shown_capacity_amps
from spreadload.words import called, row, setup_name

Kind = Literal["arithmetic", "packing", "plug", "reach", "volts", "leakage"]
_Gate = tuple[str, str]


@dataclass(frozen=True)
class Sum:
    """A total that is over what there is.

    Attributes:
        need: What is asked for, in words.
        give: What there is, in words.
        sort: Of which requirements it is the total.
        times: How many times what there is it comes to.
        kind: What sort of no it makes.
    """

    need: str
    give: str
    sort: Sort
    times: float
    kind: Kind = "arithmetic"

    def said(self, setup: str, names: str = "") -> str:
        """Return the total of a set-up in one clause, of some of what is asked where named."""
        whose = f" for {names}" if names else ""
        return f"{setup_name(setup)} needs {self.need}{whose}; {self.give}"


def sums_over(facts: Facts, setup: str) -> Iterator[Sum]:
    """Yield every total of a set-up that is over, what is furthest over first, leakage last."""
    asked = _asked(facts, setup)
    totals = chain(
        _of_contract(facts, asked),
        _circuit_amps(facts, setup, [d for d in asked if d.circuit is None]),
        _phase_amps(facts, asked),
        _feed_amps(facts, setup, asked),
        _rcd_amps(facts, asked),
    )
    yield from sorted(totals, key=lambda total: -total.times)
    yield from leakage_over(facts, setup)


def _times(need: int, room: int) -> float:
    return need / max(room, 1)


def _asked(facts: Facts, setup: str) -> list[Demand]:
    return [d for d in facts.demands[setup] if not d.may_be_off]


def _of_contract(facts: Facts, asked: list[Demand]) -> Iterator[Sum]:
    contract = facts.supply.contract
    need = sum(facts.contract_takes(d.load, d.circuit) * d.count for d in asked)
    if contract is not None and need > contract.cap:
        yield Sum(
            contract.shown(need),
            f"the supply contract allows {contract.cap_shown}",
            Sort.CONTRACT,
            _times(need, contract.cap),
        )


def _circuit_amps(facts: Facts, setup: str, asked: list[Demand]) -> Iterator[Sum]:
    reached: dict[str, None] = {}
    for demand in asked:
        for option in candidates(facts, demand):
            reached |= dict.fromkeys(sorted(option.point.exposure.might_be_on))
    names = [n for n in facts.circuits if n in reached]
    room_ma = sum(facts.circuits[n].cap_ma * facts.circuits[n].poles for n in names)
    need_ma = sum(d.count * facts.counted_ma(setup, d.load, 1) for d in asked)
    if names and need_ma > room_ma:
        verb = "together give" if len(names) > 1 else "gives"
        each = row([called(name, "circuit") for name in names])
        give = f"{each} {verb} {shown_capacity_amps(room_ma / MILLI)} A"
        give += _rewired(facts, names)
        yield Sum(f"{shown_amps(need_ma / MILLI)} A", give, Sort.CIRCUIT, _times(need_ma, room_ma))


def _rewired(facts: Facts, names: list[str]) -> str:
    """Return why fuses give less than is written on them, where some do."""
    circuits = [facts.circuits[name] for name in names]
    if all(circuit.cap_ma == circuit.breaker_ma for circuit in circuits):
        return ""
    return f", rewireable fuses counted at {practice.rewireable_factor().value:g} of their rating"


def _phase_amps(facts: Facts, asked: list[Demand]) -> Iterator[Sum]:
    supply = facts.supply
    need_ma = sum(
        d.count * min(facts.unit_ma(d.load, n) * n for n in _poles(facts, d)) for d in asked
    )
    room_ma = supply.cap_ma * len(supply.phases)
    if need_ma > room_ma:
        yield Sum(
            f"{shown_amps(need_ma / MILLI)} A",
            f"the supply gives {shown_capacity_amps(room_ma / MILLI)} A",
            Sort.SUPPLY,
            _times(need_ma, room_ma),
        )


def _feed_amps(facts: Facts, setup: str, asked: list[Demand]) -> Iterator[Sum]:
    """Yield what has to come through feeds of sub-boards, where it is more than they give."""
    behind = _behind(facts, asked, lambda exposure: exposure.feeds)
    need_ma = sum(
        d.count * min(facts.counted_ma(setup, d.load, n) * n for n in poles)
        for d, poles in behind.demands
    )
    room_ma = sum(facts.feeds[feed].cap_ma for feed, _ in behind.gates)
    if need_ma > room_ma:
        boards = [facts.job.sub_boards[name].label or name for name in behind.names]
        one = f"the feed of sub-board {boards[0]} gives"
        several = f"the feeds of sub-boards {row(boards)} together give"
        yield Sum(
            f"{shown_amps(need_ma / MILLI)} A",
            behind.gives(one, several, facts, room_ma),
            Sort.FEED,
            _times(need_ma, room_ma),
        )


def _rcd_amps(facts: Facts, asked: list[Demand]) -> Iterator[Sum]:
    """Yield what has to go through RCDs of stated rating, where it is more than they carry."""
    rated = {name: rcd.rating_ma for name, rcd in facts.rcds.items() if rcd.rating_ma is not None}
    behind = _behind(
        facts,
        asked,
        lambda exposure: product(exposure.rcds & rated.keys(), exposure.phases),
    )
    need_ma = sum(
        d.count * min(facts.unit_ma(d.load, n) * n for n in poles) for d, poles in behind.demands
    )
    room_ma = sum(rated[rcd] for rcd, _ in behind.gates)
    if need_ma > room_ma:
        one, several = f"{_rcds_named(behind)} carries", f"{_rcds_named(behind)} together carry"
        yield Sum(
            f"{shown_amps(need_ma / MILLI)} A",
            behind.gives(one, several, facts, room_ma),
            Sort.RCD_AMPS,
            _times(need_ma, room_ma),
        )


def leakage_over(facts: Facts, setup: str) -> Iterator[Sum]:
    """Yield the standing leakage of a set-up, where it is more than its RCDs hold in all."""
    behind = _behind(facts, _asked(facts, setup), lambda exposure: ((r, "") for r in exposure.rcds))
    need_ua = sum(d.count * facts.loads[d.load].leakage_ua for d, _ in behind.demands)
    room_ua = sum(facts.rcds[rcd].may_trip_ua for rcd, _ in behind.gates)
    if need_ua > room_ua:
        together = " together" if len(behind.names) > 1 else ""
        yield Sum(
            f"room for {shown_amps(need_ua / MILLI)} mA of standing leakage",
            f"{_rcds_named(behind)}{together} may trip above "
            f"{shown_capacity_amps(room_ua / MILLI)} mA",
            Sort.LEAKAGE,
            _times(need_ua, room_ua),
            "leakage",
        )


def _rcds_named(behind: "_Behind") -> str:
    return f"RCDs {row(behind.names)}" if len(behind.names) > 1 else f"RCD {behind.names[0]}"


@dataclass(frozen=True)
class _Behind:
    """What is behind devices of one sort whichever outlet it uses.

    Attributes:
        demands: Each with the numbers of poles that it may use.
        gates: The devices, each with the line it is counted on; no others are in front of these.
    """

    demands: tuple[tuple[Demand, frozenset[int]], ...]
    gates: frozenset[_Gate]

    @property
    def names(self) -> list[str]:
        """Ids of the devices."""
        return sorted({name for name, _ in self.gates})

    def gives(self, one: str, several: str, facts: Facts, room_ma: int) -> str:
        """Return what the devices give in all, or a single one of them on each of its lines."""
        if len(self.names) > 1:
            return f"{several} {shown_capacity_amps(room_ma / MILLI)} A"
        each = f" on each {facts.supply.line_word}" if len(self.gates) > 1 else ""
        return f"{one} {shown_capacity_amps(room_ma / MILLI / len(self.gates))} A{each}"


def _behind(
    facts: Facts, asked: Iterable[Demand], gates_of: Callable[[Exposure], Iterable[_Gate]]
) -> _Behind:
    """Return what cannot but go through devices of one sort, and those devices.

    Args:
        facts: The job, worked out.
        asked: Demands of one set-up.
        gates_of: What devices stand in front of something, each with a line.
    """
    found: list[tuple[Demand, frozenset[int]]] = []
    gates: set[_Gate] = set()
    for demand in asked:
        ways = [(frozenset(gates_of(exposure)), poles) for exposure, poles in _ways(facts, demand)]
        if ways and all(own for own, _ in ways):
            found.append((demand, frozenset(poles for _, poles in ways)))
            gates = gates.union(*(own for own, _ in ways))
    return _Behind(tuple(found), frozenset(gates))


def _poles(facts: Facts, demand: Demand) -> set[int]:
    """Return how many poles a unit may use; one where it fits nowhere."""
    return {poles for _, poles in _ways(facts, demand)} or {1}


def _ways(facts: Facts, demand: Demand) -> Iterator[tuple[Exposure, int]]:
    """Yield what a demand may be behind, and the poles it uses there."""
    if demand.circuit is not None:
        yield everywhere_on(facts.circuits[demand.circuit]), facts.circuits[demand.circuit].poles
        return
    for option in candidates(facts, demand):
        yield option.point.exposure, facts.poles_at(demand.load, option.point)
