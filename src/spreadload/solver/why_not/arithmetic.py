"""The plainest reasons why a list cannot run: sums, and units that fit nowhere at all."""

from collections.abc import Iterator
from itertools import chain

from spreadload.derived.facts import Facts
from spreadload.solver.model.candidates import candidates
from spreadload.solver.why_not.sums import sums_over
from spreadload.units import MILLI, shown_amps
from spreadload.words import setup_name


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
    for setup in facts.demands:
        yield from (total.said(setup) for total in sums_over(facts, setup))
