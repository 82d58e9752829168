"""How a physical number is written down: in a frozen row, with where it comes from.

A source is one line of text: document, edition or date where it matters, table or clause, and last,
after a semicolon, how far it can be trusted. This module must not import anything of the project.
"""

from dataclasses import dataclass
from enum import StrEnum


class Status(StrEnum):
    """How far a number can be trusted; the words that end every source."""

    VERIFIED = "verified in public text"
    SECONDARY = "verified in a secondary text only"
    MEMORY = "from memory"
    DERIVED = "derived"
    PRACTICE = "common practice, no source"
    CHOICE = "our own choice"


@dataclass(frozen=True, slots=True)
class Figure:
    """One number that stands alone.

    Attributes:
        value: The number, in the unit its name carries.
        source: Document, table and status.
    """

    value: float
    source: str


@dataclass(frozen=True, slots=True)
class Band:
    """A lower and an upper figure for one quantity.

    Attributes:
        low: Lower figure, in the unit the name carries.
        high: Upper figure, in the same unit.
        source: Document, table and status.
    """

    low: float
    high: float
    source: str


def status_of(source: str) -> Status:
    """Return the status a source ends with.

    Raises:
        ValueError: The source does not end with one of the agreed words.
    """
    return Status(source.rpartition("; ")[2])
