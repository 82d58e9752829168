"""Guess which known word a mistyped one was meant to be. Imports nothing of the project."""

import re
from collections.abc import Iterable, Sequence
from difflib import get_close_matches

_CLOSE_ENOUGH = 0.6
_MAX_OFFERED = 2


def closest(word: str, known: Iterable[str]) -> tuple[str, ...]:
    """Return the known words most like ``word``, nearest first, at most two.

    Capitals, blanks, hyphens and underscores do not count as differences.
    """
    by_plain: dict[str, str] = {}
    for name in known:
        by_plain.setdefault(_plain(name), name)
    exact = by_plain.get(_plain(word))
    if exact is not None:
        return (exact,)
    near = get_close_matches(_plain(word), by_plain, _MAX_OFFERED, _CLOSE_ENOUGH)
    return tuple(by_plain[name] for name in near)


def suggest(word: str, known: Iterable[str]) -> str:
    """Return a remedy such as ``did you mean B10?``, or "" when nothing known is like ``word``."""
    return did_you_mean(closest(word, known))


def did_you_mean(names: Sequence[str]) -> str:
    """Return the question that offers some names, or "" when there are none."""
    return f"did you mean {' or '.join(names)}?" if names else ""


def _plain(word: str) -> str:
    return re.sub(r"[\s_-]+", " ", word.casefold()).strip()
