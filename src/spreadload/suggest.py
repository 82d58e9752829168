"""Guess which known word a mistyped one was meant to be. Imports only ``lookalikes``."""

import re
from collections.abc import Iterable, Sequence
from difflib import SequenceMatcher, get_close_matches

from spreadload.lookalikes import odd_signs, plain_signs

_CLOSE_ENOUGH = 0.6
_MAX_OFFERED = 2
_AS_NEAR = 0.1


def closest(word: str, known: Iterable[str]) -> tuple[str, ...]:
    """Return the known words most like ``word``, nearest first, at most two.

    Capitals, blanks, hyphens and underscores do not count as differences, nor do letters of other
    alphabets that look the same.
    """
    by_plain: dict[str, str] = {}
    for name in known:
        by_plain.setdefault(_plain(name), name)
    exact = by_plain.get(_plain(word))
    if exact is not None:
        return (exact,)
    near = get_close_matches(_plain(word), by_plain, _MAX_OFFERED, _CLOSE_ENOUGH)
    likeness = [SequenceMatcher(None, name, _plain(word)).ratio() for name in near]
    # A second is only worth a thought where it is nearly as near.
    return tuple(
        by_plain[name]
        for name, like in zip(near, likeness, strict=True)
        if like >= likeness[0] - _AS_NEAR
    )


def suggest(word: str, known: Iterable[str]) -> str:
    """Return a remedy such as ``did you mean B10?``, or "" when nothing known is like ``word``."""
    return did_you_mean(closest(word, known), word)


def did_you_mean(names: Sequence[str], word: str = "") -> str:
    """Return the question that offers some names, or "" when there are none.

    Args:
        names: What may have been meant.
        word: What was written instead: where the two look the same, the sign that differs is named.
    """
    question = f"did you mean {' or '.join(names)}?" if names else ""
    if len(names) != 1 or not _looks_like(word, names[0]):
        return question
    if odd := odd_signs(word):
        return f"{question} In what is written here, {odd}"
    odd = odd_signs(names[0])
    return f"{question} It looks the same, but there {odd}" if odd else question


def _looks_like(word: str, name: str) -> bool:
    plain = plain_signs(word)
    return plain_signs(name) in (plain, plain.strip(" \"'"))


def _plain(word: str) -> str:
    return re.sub(r"[\s_-]+", " ", plain_signs(word).casefold()).strip(" \"'")
