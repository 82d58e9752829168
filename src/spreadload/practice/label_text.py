"""Words in what somebody wrote on a switchboard. Imports nothing of the project."""

import re
from functools import lru_cache
from unicodedata import east_asian_width

_WORD = re.compile(r"[^\W\d_]+|\d+")
# What a pen shortens on any board.
_SHORT_FOR = {"rm": "room", "rms": "rooms"}


@lru_cache(maxsize=4096)
def plain_words(text: str) -> str:
    """Return a text as lower-case words and numbers with single blanks between them."""
    return " ".join(_SHORT_FOR.get(word, word) for word in _WORD.findall(text.lower()))


def says(text: str, phrase: str) -> bool:
    """Whether a label holds a word or a phrase, whole words only.

    Scripts that set no blanks, as on Japanese boards, are searched within words.
    """
    if any(east_asian_width(letter) in "WF" for letter in phrase):
        return phrase.lower() in text.lower()
    wanted = plain_words(phrase)
    return bool(wanted) and f" {wanted} " in f" {plain_words(text)} "
