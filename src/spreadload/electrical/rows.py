"""How a physical number is written down: in a frozen row, with where it comes from.

A source is one line of text: document, edition or date where it matters, table or clause, and last,
after a semicolon, how far it can be trusted: ``verified in public text``, ``verified in a secondary
text only``, ``from memory``, ``derived``, ``common practice, no source`` or ``our own choice``.
This module must not import anything of the project.
"""

from dataclasses import dataclass


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


@dataclass(frozen=True, slots=True)
class Steps:
    """The values something is made in.

    Attributes:
        values: Smallest first, in the unit the name carries.
        source: Document, table and status.
    """

    values: tuple[float, ...]
    source: str

    def at_least(self, value: float) -> float:
        """Return the smallest of them that is no less, or the value itself above the last."""
        return next((step for step in self.values if step >= value), value)
