"""What a change breaks that held before, in one clause with numbers."""

from collections.abc import Iterable

from spreadload.check.words import circuit_name
from spreadload.derived.facts import Facts
from spreadload.plan import Violation
from spreadload.units import shown_amps, shown_capacity_amps
from spreadload.words import first_down

# Where something belongs, then the limits a gaffer thinks in; sockets and leads last.
_TELLING = (
    "fixed",
    "off limits",
    "circuit",
    "feed",
    "phase",
    "rcd amps",
    "rcd leakage",
    "contract",
    "plate amps",
    "socket amps",
    "box inlet",
    "single load",
    "lead amps",
    "lead drop",
    "lead reach",
    "plug",
)


def broken(facts: Facts, before: Iterable[Violation], after: Iterable[Violation]) -> str:
    """Return the most telling limit that a change breaks, or "" when it breaks nothing new."""
    found = telling(before, after)
    return "" if found is None else clause(facts, found)


def telling(before: Iterable[Violation], after: Iterable[Violation]) -> Violation | None:
    """Return the most telling violation that is new or worse, or None."""
    was = {(v.rule, v.setup, v.where): v.value for v in before}
    new = (v for v in after if v.value > was.get((v.rule, v.setup, v.where), float("-inf")))
    return min(new, key=_rank, default=None)


def clause(facts: Facts, violation: Violation) -> str:
    """Return a violation as a clause: ``P1 “PLUGS” would carry 26.9 A of 20.0 A``."""
    if violation.unit == "A":
        name = where_name(facts, violation)
        has, may = shown_amps(violation.value), shown_capacity_amps(violation.limit)
        sagged = " at the volts under load" if violation.rule.endswith("under sag") else ""
        return f"{name} would carry {has} A of {may} A{sagged}"
    said = violation.text
    return first_down(said) if _is_plain(violation) else said


def where_name(facts: Facts, violation: Violation) -> str:
    """Return the thing that is over its limit in crew words."""
    name, _, pole = violation.where.partition(" ")
    if violation.rule in ("circuit", "circuit under sag"):
        if violation.where in facts.circuits:
            return circuit_name(facts, violation.where)
        if name in facts.circuits:
            return f"{circuit_name(facts, name)} {pole}".strip()
    if violation.rule == "contract":
        return "the contract"
    is_line = violation.rule == "circuit under sag" and violation.where in facts.supply.phases
    if violation.rule == "phase" or is_line:
        return facts.supply.line_name(violation.where)
    words = {
        "feed": "the feed of {}",
        "rcd amps": "{}",
        "plate amps": "outlet {}",
        "socket amps": "{}",
        "lead amps": "the lead of {}",
        "single load": "{}",
    }
    return words.get(violation.rule, "{}").format(violation.where)


def over_pct(violation: Violation) -> float:
    """Return how far over its limit a violation is [per cent of the limit]."""
    return 100 * violation.value / violation.limit if violation.limit > 0 else float("inf")


def _rank(violation: Violation) -> tuple[int, float]:
    order = _TELLING.index(violation.rule) if violation.rule in _TELLING else len(_TELLING)
    return order, -over_pct(violation)


def _is_plain(violation: Violation) -> bool:
    """Whether the sentence starts with an ordinary word, so that it can follow a colon."""
    first = violation.text.split(" ", 1)[0]
    return first in ("The", "Everything", "A", "An", "Its")
