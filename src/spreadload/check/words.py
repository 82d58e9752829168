"""Names and amounts in crew words, and the one way to build a violation."""

from collections.abc import Iterable
from math import floor

from spreadload.check.devices import Device
from spreadload.derived.facts import Facts
from spreadload.plan import Violation
from spreadload.units import MILLI, shown_amps, shown_capacity_amps
from spreadload.words import first_up, labelled

SHOWN_CAUSES = 4
_ONE = 1.0
_HALF = 0.5


def in_100(pct: float) -> str:
    """Return a share [%] as counts of 100, less than one said so."""
    if pct == 0:
        return "none of 100"
    if pct < _ONE:
        return "fewer than 1 of 100"
    return f"{floor(pct + _HALF)} of 100"


def circuit_name(facts: Facts, circuit_id: str) -> str:
    """Return a circuit as the board names it: ``P1 “PLUGS”``."""
    return labelled(circuit_id, facts.circuits[circuit_id].label)


def device_name(facts: Facts, device: Device) -> str:
    """Return a device in crew words."""
    if device.kind == "circuit":
        return circuit_name(facts, device.id) + (f" on {device.pole}" if device.pole else "")
    pole = f" on {device.pole}" if device.pole else ""
    if device.kind == "feed":
        label = facts.job.sub_boards[device.id].label or device.id
        return f"The feed of sub-board {label}{pole}"
    if device.kind == "rcd amps":
        return f"RCD {device.id}{pole}"
    return first_up(facts.supply.line_name(device.id))


def limit_name(facts: Facts, device: Device) -> str:
    """Return what gives a device its limit, as the start of ``… is 20.0 A``."""
    if device.kind == "circuit":
        circuit = facts.job.circuits[device.id]
        if circuit.breaker_a is not None:
            return "its breaker is"
        return "its fuse is good for" if circuit.fuse_a is not None else "it is assumed good for"
    return {"feed": "its breaker is", "rcd amps": "it is rated"}.get(device.kind, "the limit is")


def amps(current_ma: int) -> str:
    """Return a demand [mA] for a reader, rounded up."""
    return f"{shown_amps(current_ma / MILLI)} A"


def cap_amps(current_ma: int) -> str:
    """Return a capacity [mA] for a reader, rounded down."""
    return f"{shown_capacity_amps(current_ma / MILLI)} A"


def listed(names: Iterable[str]) -> str:
    """Return a few names in a row, with how many more there are."""
    each = list(names)
    shown = each if len(each) <= SHOWN_CAUSES else each[: SHOWN_CAUSES - 1]
    rest = len(each) - len(shown)
    return "; ".join(shown) + (f"; and {rest} more" if rest else "")


def too_many(rule: str, setup: str, where: str, count: tuple[int, int], words: str) -> Violation:
    """Return a violation that counts things: ``count`` is what the plan has and what is allowed."""
    has, allowed = count
    return Violation(
        rule=rule,
        setup=setup,
        where=where,
        value=float(has),
        limit=float(allowed),
        unit="",
        source="the job",
        text=words,
    )


def over_amps(
    rule: str, setup: str, where: str, current_ma: tuple[int, int], source: str, words: str
) -> Violation:
    """Return a violation in amps; ``current_ma`` is the demand and the limit [mA]."""
    has, allowed = current_ma
    return Violation(
        rule=rule,
        setup=setup,
        where=where,
        value=has / MILLI,
        limit=allowed / MILLI,
        unit="A",
        source=source,
        text=words,
    )
