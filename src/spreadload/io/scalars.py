"""What a bare word in a file means, with none of the usual traps.

``true`` and ``false`` are the only truth values, ``null``, ``~`` and nothing are nothing, decimal
numbers are numbers; ``on``, ``off``, ``yes``, ``no``, ``1:30``, ``0755``, ``1_000`` and dates stay
text. Imports nothing of the project.
"""

import math
import re

_TRUTH = {
    word: value == "true"
    for value in ("true", "false")
    for word in (value, value.title(), value.upper())
}
_NOTHING = frozenset({"", "~", "null", "Null", "NULL"})
_WHOLE = re.compile(r"[-+]?(0|[1-9][0-9]*)")
_DECIMAL = re.compile(
    r"[-+]?((0|[1-9][0-9]*)(\.[0-9]*)?|\.[0-9]+)([eE][-+]?[0-9]+)?",
)
_NOT_FINITE = re.compile(r"[-+]?\.(inf|Inf|INF)|\.(nan|NaN|NAN)")
# Longer than any quantity: a serial number, and past what int() accepts it would even raise.
_MAX_DIGITS = 40


def meaning(word: str) -> str | int | float | bool | None:
    """Return the value of an unquoted scalar.

    Raises:
        ValueError: The word stands for infinity or "not a number", or overflows to infinity.
    """
    if word in _NOTHING:
        return None
    if word in _TRUTH:
        return _TRUTH[word]
    if _NOT_FINITE.fullmatch(word):
        raise ValueError(word)
    if len(word) > _MAX_DIGITS:
        return word
    if _WHOLE.fullmatch(word):
        return int(word)
    if _DECIMAL.fullmatch(word):
        return _finite(word)
    return word


def _finite(word: str) -> float:
    number = float(word)
    if not math.isfinite(number):
        raise ValueError(word)
    return number
