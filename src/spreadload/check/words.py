"""Names and amounts in crew words, and the one way to build a violation."""

from collections.abc import Iterable
from math import floor

from spreadload.check.devices import Device
from spreadload.derived.facts import Facts
from spreadload.plan import Violation
from spreadload.units import shown_amps, shown_capacity_amps

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
    label = facts.circuits[circuit_id].label
    return f"{circuit_id} “{label}”" if label and label != circuit_id else circuit_id


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
    name = facts.supply.line_name(device.id)
    return name[:1].upper() + name[1:]


def limit_name(facts: Facts, device: Device) -> str:
    """Return what gives a device its limit, as the start of ``… is 20.0 A``."""
    if device.kind == "circuit":
        circuit = facts.job.circuits[device.id]
        if circuit.breaker_a is not None:
            return "its breaker is"
        return "its fuse is good for" if circuit.fuse_a is not None else "it is assumed good for"
    return {"feed": "its breaker is", "rcd amps": "it is rated"}.get(device.kind, "the limit is")


def amps(current_ma: int) -> str:
    """Return a demand for a reader."""
    return f"{shown_amps(current_ma / 1000)} A"


def cap_amps(current_ma: int) -> str:
    """Return a capacity for a reader."""
    return f"{shown_capacity_amps(current_ma / 1000)} A"


def setup_name(setup: str) -> str:
    """Return a set-up as it reads in a sentence: a bare number says what it is the number of."""
    return f"set-up {setup}" if setup.isdigit() else setup


def in_setup(setup: str) -> str:
    """Return `` in SU1``, or nothing for the whole day."""
    return f" in {setup_name(setup)}" if setup else ""


def count_of(number: int, noun: str) -> str:
    """Return ``1 lead`` or ``2 leads``."""
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def and_listed(names: Iterable[str]) -> str:
    """Return ``A``, ``A and B`` or ``A, B and C``."""
    each = list(names)
    return " and ".join(part for part in (", ".join(each[:-1]), *each[-1:]) if part)


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
        value=has / 1000,
        limit=allowed / 1000,
        unit="A",
        source=source,
        text=words,
    )
