"""What the house can give in all: power circuits or main less the house, phase by phase.

Imports the job, practice and derived only.
"""

from dataclasses import dataclass

from spreadload.derived.board import BoardReading, hinted_rating_a, read_way
from spreadload.derived.facts import Facts
from spreadload.units import MILLI, shown_amps, shown_capacity_amps

CIRCUITS, MAIN = "power circuits", "main"


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
        circuits_a: All power circuits on it together; those whose phase nobody read not counted.
        unread_a: Power circuits that may be on it because nobody read their phase.
        main_a: The limit at the head of it.
        house_a: What wired loads of the house outside the power circuits take at their worst.
        usable_a: The lesser of the circuits and the main less the house.
        binds: Which of the two it is.
    """

    phase: str
    circuits_a: float
    unread_a: float
    main_a: float
    house_a: float
    usable_a: float
    binds: str

    def __str__(self) -> str:
        """Return the sum in one sentence."""
        less = f" less {shown_amps(self.house_a)} A of the house" if self.house_a else ""
        unread = f" and up to {shown_capacity_amps(self.unread_a)} A more" if self.unread_a else ""
        return (
            f"{self.phase}: {shown_capacity_amps(self.usable_a)} A usable; power circuits "
            f"{shown_capacity_amps(self.circuits_a)} A{unread}, main "
            f"{shown_capacity_amps(self.main_a)} A{less}: the {self.binds} "
            f"{'bind' if self.binds == CIRCUITS else 'binds'}"
        )


@dataclass(frozen=True)
class Usable:
    """The board read and the sum of what it can give.

    Attributes:
        contract_w: Watts of the supply contract, or None.
        usable_a: All phases together, if the load is spread evenly over them.
        binds: What binds in the first place.
        line_word: What crews call one line of the supply, ``phase`` or ``leg``.
    """

    ways: tuple[Way, ...]
    phases: tuple[PhaseUsable, ...]
    main_source: str
    main_is_assumed: bool
    contract_w: int | None
    usable_a: float
    binds: str
    line_word: str = "phase"


def usable(facts: Facts) -> Usable:
    """Return the board of a job as read, with the usable total and what binds it."""
    phases = tuple(_phase(facts, phase) for phase in facts.supply.phases)
    total_a = sum(phase.usable_a for phase in phases)
    contract_w = facts.supply.contract_w
    contract_a = None if contract_w is None else contract_w / facts.supply.planning_v
    binds = " and ".join(dict.fromkeys(phase.binds for phase in phases))
    if contract_a is not None and contract_a < total_a:
        total_a, binds = contract_a, "supply contract"
    return Usable(
        ways=tuple(_way(facts, circuit) for circuit in facts.circuits),
        phases=phases,
        main_source=facts.supply.source,
        main_is_assumed=facts.supply.is_assumed,
        contract_w=contract_w,
        usable_a=total_a,
        binds=binds,
        line_word=facts.supply.line_word,
    )


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


def _phase(facts: Facts, phase: str) -> PhaseUsable:
    on = [c for c in facts.circuits.values() if c.is_usable and phase in c.phases]
    # One pole and several phases: nobody read which it is on.
    read = [c for c in on if len(c.phases) == max(c.poles, 1)]
    circuits_a = sum(c.cap_ma for c in read) / MILLI
    unread_a = sum(c.cap_ma for c in on if c not in read) / MILLI
    main_a = facts.supply.cap_ma / MILLI
    house_a = max((_house_ma(facts, setup, phase) for setup in facts.demands), default=0) / MILLI
    left_a = max(main_a - house_a, 0.0)
    of_circuits = circuits_a + unread_a
    binds = CIRCUITS if of_circuits <= left_a else MAIN
    return PhaseUsable(
        phase, circuits_a, unread_a, main_a, house_a, min(of_circuits, left_a), binds
    )


def _house_ma(facts: Facts, setup: str, phase: str) -> int:
    """Return what is wired outside the power circuits and on in a set-up [mA]."""
    taken = 0
    for demand in facts.demands[setup]:
        circuit = facts.circuits.get(demand.circuit or "")
        if circuit is None or circuit.is_usable or phase not in circuit.phases:
            continue
        poles = min(circuit.poles, 3)
        taken += demand.count * facts.unit_ma(demand.load, poles)
    return taken
