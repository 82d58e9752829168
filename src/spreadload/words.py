"""English that every room speaks alike: rows of names, counts, and ids that are bare numbers.

Imports nothing of the project.
"""

import re
from collections.abc import Iterable

_SETUP = "set-up"


def row(names: Iterable[str], joint: str = "and") -> str:
    """Return ``a``, ``a and b`` or ``a, b and c``; "" for none."""
    each = list(names)
    return f" {joint} ".join(part for part in (", ".join(each[:-1]), *each[-1:]) if part)


def count_of(number: int, noun: str) -> str:
    """Return ``1 lead`` or ``2 leads``."""
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def first_up(text: str) -> str:
    """Return a text with its first letter a capital."""
    return text[:1].upper() + text[1:]


def first_down(text: str) -> str:
    """Return a text with its first letter a small one, to stand after a colon."""
    return text[:1].lower() + text[1:]


def called(name: str, what: str) -> str:
    """Return an id as it reads in a sentence: a bare number says what it is the number of."""
    return f"{what} {name}" if _is_bare_number(name) else name


def labelled(name: str, label: str) -> str:
    """Return an id with what is written beside it, where that says more: ``P1 “PLUGS”``."""
    return f"{name} “{label}”" if label and label != name else name


def setup_name(setup: str, *, starts: bool = False) -> str:
    """Return a set-up as it reads in a sentence: ``SU1``, or ``set-up 1`` for a bare number.

    Args:
        setup: Its id.
        starts: Whether a sentence begins with it.
    """
    return called(setup, first_up(_SETUP) if starts else _SETUP)


def setup_names(setups: Iterable[str]) -> str:
    """Return set-ups in a row: ``SU1 and SU2``, ``set-ups 1 and 2``, ``SU1 and set-up 2``."""
    each = list(setups)
    if len(each) > 1 and all(map(_is_bare_number, each)):
        return f"{_SETUP}s {row(each)}"
    return row(map(setup_name, each))


def in_setup(setup: str) -> str:
    """Return `` in SU1``, or nothing for the whole day."""
    return f" in {setup_name(setup)}" if setup else ""


def natural(name: str) -> tuple[tuple[int, int, str], ...]:
    """Return what sorts names as people do: ``P9`` before ``P10``, numbers before words."""
    parts = re.findall(r"\d+|\D+", name)
    return tuple((0, int(part), "") if part.isdecimal() else (1, 0, part) for part in parts)


def _is_bare_number(name: str) -> bool:
    """Whether an id has a digit and no letter: ``2``, ``2.1`` and ``#2``, but not ``2A``."""
    return any(map(str.isdigit, name)) and not any(map(str.isalpha, name))
