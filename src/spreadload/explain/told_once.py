"""What is the same in several set-ups, told once with all of them; terminal and sheet set it."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from spreadload.derived.facts import Facts
from spreadload.explain.off import Idle
from spreadload.explain.reasons import Reason
from spreadload.explain.sentences import headline, reason_text
from spreadload.words import row, setup_names


@dataclass(frozen=True)
class Why:
    """Why identical units are where they are."""

    setups: str
    head: str
    text: str


def must_be_off(idle: Iterable[Idle]) -> tuple[str, ...]:
    """Return what must not run, with what it would break."""
    each = [((one.who, one.why_off), one.setup) for one in idle if one.must_be_off]
    return tuple(f"{who} in {setups}: {why}" for who, why, setups in _alike(each))


def may_run(idle: Iterable[Idle]) -> tuple[str, ...]:
    """Return idle loads that one could add, and where."""
    each = [((one.who, one.may_run_at), one.setup) for one in idle if one.may_run_at]
    return tuple(f"{who} in {setups}: one, {where}" for who, where, setups in _alike(each))


def whys(facts: Facts, reasons: Iterable[Reason]) -> tuple[Why, ...]:
    """Return the reason for every placement."""
    each = [((headline(facts, one), reason_text(facts, one)), one.setup) for one in reasons]
    return tuple(Why(setups, head, text) for (head, text), setups in _together(each))


def _together(
    each: Iterable[tuple[tuple[str, str], str]],
) -> list[tuple[tuple[str, str], str]]:
    """Return what is said in the order it first comes up, with the set-ups it is said of."""
    setups: dict[tuple[str, str], list[str]] = defaultdict(list)
    for said, setup in each:
        setups[said].append(setup)
    return [(said, setup_names(of)) for said, of in setups.items()]


def _alike(each: Iterable[tuple[tuple[str, str], str]]) -> list[tuple[str, str, str]]:
    """Return what is said with the set-ups, and with all the loads it is said of there."""
    loads: dict[tuple[str, str], list[str]] = defaultdict(list)
    for (who, said), setups in _together(each):
        loads[said, setups].append(who)
    return [(row(whos), said, setups) for (said, setups), whos in loads.items()]
