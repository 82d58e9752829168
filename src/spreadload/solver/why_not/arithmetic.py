"""The plainest reasons why a list cannot run: sums, and units that fit nowhere at all."""

from collections.abc import Iterator
from itertools import chain

from spreadload.derived.facts import Facts
from spreadload.solver.model.candidates import candidates
from spreadload.units import MILLI, shown_amps, shown_capacity_amps
from spreadload.words import called, row, setup_name


def why_impossible(facts: Facts) -> str:
    """Return the plainest true reason, or that no split of the loads fits."""
    return plain_reason(facts) or (
        "it would fit in total, but no way of splitting the loads over the circuits holds"
    )


def plain_reason(facts: Facts) -> str | None:
    """Return a reason that needs no search, or None when only a search can tell."""
    return next(chain(_no_way_in(facts), _too_much_in_all(facts)), None)


def _no_way_in(facts: Facts) -> Iterator[str]:
    for asked in facts.demands.values():
        for demand in asked:
            if demand.circuit or demand.may_be_off:
                continue
            if not candidates(facts, demand):
                amps = shown_amps(facts.unit_ma(demand.load, 1) / MILLI)
                what = facts.loads[demand.load].what
                at = f" at {demand.place}" if demand.place else ""
                yield (
                    f"in {setup_name(demand.setup)} no outlet can take {demand.load} “{what}” "
                    f"({amps} A){at}: plug, outlet rating, lead or breaker forbid every one"
                )


def _too_much_in_all(facts: Facts) -> Iterator[str]:
    usable = [circuit for circuit in facts.circuits.values() if circuit.is_usable]
    room_ma = sum(circuit.cap_ma * circuit.poles for circuit in usable)
    names = row(called(circuit.id, "circuit") for circuit in usable)
    for setup_id, asked in facts.demands.items():
        need_ma = sum(
            demand.count * facts.counted_ma(setup_id, demand.load, 1)
            for demand in asked
            if demand.circuit is None and not demand.may_be_off
        )
        if need_ma > room_ma:
            need, give = shown_amps(need_ma / MILLI), shown_capacity_amps(room_ma / MILLI)
            gives = "gives" if len(usable) == 1 else "together give"
            yield f"{setup_name(setup_id)} needs {need} A; {names} {gives} {give} A"
