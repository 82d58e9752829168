"""What the house can give in all: power circuits or main less the house, phase by phase.

Imports the job, practice and derived only.
"""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, replace

from spreadload.derived.board import BoardReading, hinted_rating_a, read_way
from spreadload.derived.contract import Contract
from spreadload.derived.facts import Facts
from spreadload.derived.records import CircuitFacts
from spreadload.units import MILLI, shown_amps, shown_capacity_amps
from spreadload.words import row, setup_names

CIRCUITS, MAIN, CONTRACT = "power circuits", "main", "supply contract"
FEEDS = "feeds of sub-boards"


@dataclass(frozen=True)
class Way:
    """One way of the board as read.

    Attributes:
        rating_a: What is written on its breaker or fuse, or assumed to be [A].
        planned_a: What it is planned with; less for a rewireable fuse [A].
        hint_a: What the colour of its toggle hints at where no rating was read [A], or None.
    """

    circuit: str
    label: str
    rating_a: float
    planned_a: float
    rating_source: str
    reading: BoardReading
    is_usable: bool
    hint_a: float | None


@dataclass(frozen=True)
class PhaseUsable:
    """What one phase or leg can give [A].

    Attributes:
        circuits_a: All power circuits on it together, no more than feeds of sub-boards leave them;
            those whose phase nobody read not counted.
        unread_a: Power circuits that may be on it because nobody read their phase.
        main_a: The limit at the head of it.
        house_a: What wired loads of the house outside the power circuits take at their worst.
        house_in: Set-ups in which they take that; empty where it is so all day.
        usable_a: The lesser of the circuits and the main less the house.
        binds: Which of them it is: the circuits, the feeds they are behind, or the main.
    """

    phase: str
    circuits_a: float
    unread_a: float
    main_a: float
    house_a: float
    usable_a: float
    binds: str
    house_in: tuple[str, ...] = ()

    def __str__(self) -> str:
        """Return the sum in one sentence."""
        when = f" in {setup_names(self.house_in)}" if self.house_in else ""
        less = f" less {shown_amps(self.house_a)} A of the house{when}" if self.house_a else ""
        unread = f" and up to {shown_capacity_amps(self.unread_a)} A more" if self.unread_a else ""
        return (
            f"{self.phase}: {shown_capacity_amps(self.usable_a)} A usable; power circuits "
            f"{shown_capacity_amps(self.circuits_a)} A{unread}, main "
            f"{shown_capacity_amps(self.main_a)} A{less}: the {self.binds} "
            f"{'binds' if self.binds == MAIN else 'bind'}"
        )


@dataclass(frozen=True)
class Usable:
    """The board read and the sum of what it can give.

    Attributes:
        contract: What the supply contract allows of everything together, or None.
        contract_w: The same in watts, where it counts those.
        usable_a: All phases together, if the load is spread evenly over them, in the set-up that
            leaves least.
        binds: What binds there in the first place.
        line_word: What crews call one line of the supply, ``phase`` or ``leg``.
        least_in: Set-ups that leave no more than that; empty where all leave the same.
        else_a: What the other set-ups leave at least [A], or None.
    """

    ways: tuple[Way, ...]
    phases: tuple[PhaseUsable, ...]
    main_source: str
    main_is_assumed: bool
    contract: Contract | None
    contract_w: int | None
    usable_a: float
    binds: str
    line_word: str = "phase"
    least_in: tuple[str, ...] = ()
    else_a: float | None = None


def usable(facts: Facts) -> Usable:
    """Return the board of a job as read, with the usable total and what binds it."""
    setups = tuple(facts.demands)
    totals = {setup: _total(facts, setup) for setup in setups}
    total_a, binds = min(totals.values(), default=(0.0, ""))
    least_in = tuple(setup for setup in setups if totals[setup][0] <= total_a)
    elsewhere_a = [left_a for left_a, _ in totals.values() if left_a > total_a]
    phases = tuple(_phase(facts, phase, setups) for phase in facts.supply.phases)
    contract = facts.supply.contract
    return Usable(
        ways=tuple(_way(facts, circuit) for circuit in facts.circuits),
        phases=phases,
        main_source=facts.supply.source,
        main_is_assumed=facts.supply.is_assumed,
        contract=contract,
        contract_w=facts.supply.contract_w,
        usable_a=total_a,
        binds=binds,
        line_word=facts.supply.line_word,
        least_in=least_in if elsewhere_a else (),
        else_a=min(elsewhere_a, default=None),
    )


def _total(facts: Facts, setup: str) -> tuple[float, str]:
    """Return what all lines give together in one set-up [A], and what binds."""
    phases = [_phase(facts, phase, (setup,)) for phase in facts.supply.phases]
    total_a = sum(phase.usable_a for phase in phases)
    contract = facts.supply.contract
    if contract is not None:
        left = max(contract.cap - _house_takes(facts, setup), 0)
        contract_a = contract.amps(left, facts.supply.planning_v)
        if contract_a < total_a:
            return contract_a, CONTRACT
    return total_a, row(dict.fromkeys(phase.binds for phase in phases))


def _way(facts: Facts, circuit_id: str) -> Way:
    known = facts.circuits[circuit_id]
    return Way(
        circuit=circuit_id,
        label=known.label,
        rating_a=known.breaker_ma / MILLI,
        planned_a=known.cap_ma / MILLI,
        rating_source=known.source,
        reading=read_way(facts.job, circuit_id),
        is_usable=known.is_usable,
        hint_a=hinted_rating_a(facts.job.region, facts.job.circuits[circuit_id]),
    )


def _phase(facts: Facts, phase: str, setups: tuple[str, ...]) -> PhaseUsable:
    """Return what one line gives in that of the set-ups that leaves least."""
    each = [_in_setup(facts, phase, setup) for setup in setups or ("",)]
    worst = min(each, key=lambda one: (one.usable_a, -one.house_a))
    same = tuple(setup for setup, one in zip(setups, each, strict=False) if one == worst)
    return replace(worst, house_in=same if len(same) < len(setups) else ())


def _in_setup(facts: Facts, phase: str, setup: str) -> PhaseUsable:
    on = [c for c in facts.circuits.values() if c.is_usable and phase in c.phases]
    # One pole and several phases: nobody read which it is on.
    read = [c for c in on if len(c.phases) == max(c.poles, 1)]
    feeds_ma = {
        feed: max(known.cap_ma - _house_ma(facts, setup, phase, feed), 0)
        for feed, known in facts.feeds.items()
    }
    circuits_a = _behind_feeds_ma(feeds_ma, read) / MILLI
    of_circuits = _behind_feeds_ma(feeds_ma, on) / MILLI
    main_a = facts.supply.cap_ma / MILLI
    house_a = _house_ma(facts, setup, phase) / MILLI
    left_a = max(main_a - house_a, 0.0)
    is_held = of_circuits < sum(c.cap_ma for c in on) / MILLI
    binds = MAIN if of_circuits > left_a else FEEDS if is_held else CIRCUITS
    usable_a = min(of_circuits, left_a)
    return PhaseUsable(
        phase, circuits_a, of_circuits - circuits_a, main_a, house_a, usable_a, binds
    )


def _behind_feeds_ma(feeds_ma: Mapping[str, int], circuits: list[CircuitFacts]) -> int:
    """Return what circuits give on one line, none more than the feeds of its sub-boards [mA].

    Args:
        feeds_ma: What each feed has left for them, the house behind it taken off [mA].
        circuits: The circuits.
    """
    given: dict[str | None, int] = defaultdict(int)
    chains = {c.feeds for c in circuits}
    for circuit in circuits:
        given[next(iter(circuit.feeds), None)] += circuit.cap_ma
    # The farthest boards first: what a feed passes on counts at the board that feeds it.
    boards = {feed: chain[n + 1 :] for chain in chains for n, feed in enumerate(chain)}
    for board in sorted(boards, key=lambda name: -len(boards[name])):
        fed_from = next(iter(boards[board]), None)
        given[fed_from] += min(given.pop(board, 0), feeds_ma[board])
    return given[None]


def _house_takes(facts: Facts, setup: str) -> int:
    """Return what is wired outside the power circuits takes of the contract [W or mA]."""
    wired = [d for d in facts.demands[setup] if d.circuit in facts.circuits]
    return sum(
        d.count * facts.contract_takes(d.load, d.circuit)
        for d in wired
        if d.circuit is not None and not facts.circuits[d.circuit].is_usable
    )


def _house_ma(facts: Facts, setup: str, phase: str, feed: str | None = None) -> int:
    """Return what is wired outside the power circuits and on, all or behind one feed [mA]."""
    taken = 0
    for demand in facts.demands.get(setup, ()):
        circuit = facts.circuits.get(demand.circuit or "")
        if circuit is None or circuit.is_usable or phase not in circuit.phases:
            continue
        if feed is None or feed in circuit.feeds:
            taken += demand.count * facts.unit_ma(demand.load, circuit.poles)
    return taken
