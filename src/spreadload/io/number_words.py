"""Numbers in English words, as somebody in a hurry writes them: ``twenty``, ``three hundred``.

Imports nothing of the project.
"""

import re

_ONES = re.findall(
    r"\w+",
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen "
    "sixteen seventeen eighteen nineteen",
)
_TENS = re.findall(r"\w+", "twenty thirty forty fifty sixty seventy eighty ninety")
_SMALL = {word: n for n, word in enumerate(_ONES)} | {
    word: 10 * n for n, word in enumerate(_TENS, start=2)
}
_HUNDRED, _THOUSAND = 100, 1000


def number_in_words(text: str) -> int | None:
    """Return the whole number a text spells out, or None where it is no such text."""
    words = [word for word in re.split(r"[\s-]+", text.strip().casefold()) if word != "and"]
    total, below_thousand, is_open = 0, 0, True
    for word in words:
        if word in _SMALL and (is_open or _follows_tens(below_thousand, _SMALL[word])):
            below_thousand += _SMALL[word]
            is_open = False
        elif word == "hundred" and 0 < below_thousand < _HUNDRED:
            below_thousand *= _HUNDRED
            is_open = True
        elif word == "thousand" and below_thousand and not total:
            total, below_thousand, is_open = below_thousand * _THOUSAND, 0, True
        else:
            return None
    return total + below_thousand if words else None


def _follows_tens(before: int, more: int) -> bool:
    """Whether ``more`` may stand behind what came before, as seven behind twenty."""
    return before % _HUNDRED >= 20 and before % 10 == 0 and 0 < more < 10  # noqa: PLR2004 - decimal
