"""Plain text that fits a terminal: wrapping, bars, and emphasis that never carries the meaning."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from textwrap import fill
from unicodedata import category, east_asian_width

from spreadload.units import FULL_PCT

WIDTH = 80
BAR_CELLS = 10
# A number is never parted from its unit at the end of a line.
_TIE = "\u00a0"
_AMOUNT = re.compile(r"(?<=\d) (?=(?:mA|A|W|V|m|min|ft|mm²|AWG)\b|%)")
_FULL, _EMPTY = "█", "·"
_BOLD, _FAINT, _RESET = "\x1b[1m", "\x1b[2m", "\x1b[0m"


@dataclass(frozen=True)
class Style:
    """How to set text.

    Attributes:
        width: Columns.
        colour: Whether to emphasise with escape codes; the words are the same either way.
    """

    width: int = WIDTH
    colour: bool = False

    def strong(self, text: str) -> str:
        """Return text emphasised."""
        return f"{_BOLD}{text}{_RESET}" if self.colour and text else text

    def faint(self, text: str) -> str:
        """Return text set back."""
        return f"{_FAINT}{text}{_RESET}" if self.colour and text else text

    def wrap(self, text: str, *, first: str = "", rest: str = "") -> str:
        """Return text wrapped, the first line and the others each with their own indent."""
        return fill(
            _AMOUNT.sub(_TIE, text),
            width=self.width,
            initial_indent=first,
            subsequent_indent=rest,
            break_long_words=False,
            break_on_hyphens=False,
        ).replace(_TIE, " ")

    def entry(self, text: str) -> str:
        """Return one entry of a section, wrapped and indented under its title."""
        return self.wrap(text, first="  ", rest="    ")

    def entries(self, texts: Iterable[str]) -> list[str]:
        """Return entries of a section, each wrapped and indented under its title."""
        return [self.entry(text) for text in texts]

    def section(self, title: str, lines: list[str]) -> list[str]:
        """Return a titled block after an empty line, or nothing when it has no lines."""
        return ["", self.strong(title), *lines] if lines else []


def bar(used_pct: int) -> str:
    """Return a small load bar; what is over its limit ends in an exclamation mark."""
    cells = max(min(BAR_CELLS, used_pct * BAR_CELLS // FULL_PCT), 1 if used_pct > 0 else 0)
    over = "!" if used_pct > FULL_PCT else ""
    return _FULL * cells + _EMPTY * (BAR_CELLS - cells) + over


def clip(text: str, width: int) -> str:
    """Return text cut to a width, the cut marked."""
    if shown_width(text) <= width:
        return text
    kept = ""
    for letter in text:
        if shown_width(kept + letter) > width - 1:
            break
        kept += letter
    return kept + "…"


def pad(text: str, width: int) -> str:
    """Return text filled up to so many columns."""
    return text + " " * max(width - shown_width(text), 0)


def shown_width(text: str) -> int:
    """Return how many columns a terminal gives a text.

    Source:
        Unicode Standard Annex 11: wide and full-width letters take two columns; marks take none.
    """
    return sum(_letter_width(letter) for letter in text)


def _letter_width(letter: str) -> int:
    if letter.isascii():
        return 1
    if category(letter) in ("Mn", "Me", "Cf"):
        return 0
    return 2 if east_asian_width(letter) in ("W", "F") else 1
