"""What a terminal may be given: signs it has, no hidden codes, and lines no longer than it is wide.

Imports nothing of ours, so that help answers at once.
"""

import codecs
import re
from shutil import get_terminal_size
from typing import TextIO
from unicodedata import category, normalize

LEAST_COLUMNS = 56
MOST_COLUMNS = 100

# The same in signs that every terminal has; one for one where columns depend on it.
_PLAIN = {
    "█": "#", "·": ".", "…": "~", "→": ">", "←": "<", "\u2013": "-", "\u2014": "-",
    "“": '"', "”": '"', "\u2018": "'", "\u2019": "'", "\u00d7": "x", "²": "2", "³": "3",
    "Ω": "ohm", "µ": "u", "≤": "<=", "≥": ">=", "±": "+-", "°": "deg", "▪": "*",
}  # fmt: skip
_PLAIN_SIGNS = "plain signs"

# Our own emphasis (see style.py) may pass; whatever else a name hides may not.
_OURS = re.compile(r"(\x1b\[[0-2]m)")
# Marks that turn the reading direction around: Unicode Standard Annex 9.
_TURNS = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
_KEPT = frozenset("\n\t")


def with_plain_signs(stream: TextIO) -> None:
    """Let a stream that lacks a sign print one that stands for it, instead of failing."""
    codecs.register_error(_PLAIN_SIGNS, _stand_in)
    if hasattr(stream, "reconfigure"):
        stream.reconfigure(errors=_PLAIN_SIGNS)


def _stand_in(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    missing = error.object[error.start : error.end]
    return "".join(_PLAIN.get(each, _unmarked(each)) for each in missing), error.end


def _unmarked(letter: str) -> str:
    """Return a letter without its marks, or a question mark."""
    bare = normalize("NFKD", letter).encode("ascii", "ignore").decode()
    return bare or "?"


def cleaned(text: str) -> str:
    """Return text without control codes and turned writing that a name may hide in it."""
    parts = _OURS.split(text)
    return "".join(part if _OURS.fullmatch(part) else _visible(part) for part in parts)


def _visible(text: str) -> str:
    return "".join(
        letter
        for letter in text
        if letter in _KEPT or not (letter in _TURNS or category(letter) == "Cc")
    )


def columns_of(stream: TextIO, usual: int) -> int:
    """Return how wide to set text: as the terminal is, within reason; the usual for a file."""
    if not stream.isatty():
        return usual
    return max(LEAST_COLUMNS, min(get_terminal_size((usual, 24)).columns, MOST_COLUMNS))
