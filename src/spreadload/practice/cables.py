"""What a row of a table of cables looks like: the wiring of a house, the length of a lead.

Holds data only. Imports nothing of the project but the records it is made of.
"""

from itertools import pairwise
from typing import Annotated

from pydantic import Field, model_validator

from spreadload.practice.records import Positive, Record, Sourced, Text


class HouseCable(Record):
    """Copper to expect behind a breaker.

    Attributes:
        up_to_a: Holds for ratings up to this [A].
        size: Conductor size as printed.
    """

    up_to_a: Positive
    size: Text


class HouseCables(Sourced):
    """Usual fixed wiring by rating, smallest first; beyond the last row the last one holds."""

    rows: Annotated[tuple[HouseCable, ...], Field(min_length=1)]

    @model_validator(mode="after")
    def _ascends(self) -> "HouseCables":
        if any(row.up_to_a >= after.up_to_a for row, after in pairwise(self.rows)):
            raise ValueError("house cables must ascend by rating")
        return self

    def behind(self, rating_a: float) -> HouseCable:
        """Return the cable to expect behind a breaker of a rating [A]."""
        return next((row for row in self.rows if rating_a <= row.up_to_a), self.rows[-1])


class LeadLength(Record):
    """Longest lead advised for a size at a current.

    Attributes:
        up_to_a: Current up to which it holds [A].
        size: Conductor size as printed.
        longest_m: Longest lead [m], where the table is in metres.
        longest_ft: The same in feet [ft], where it is in feet.
    """

    up_to_a: Positive
    size: Text
    longest_m: Positive | None = None
    longest_ft: Positive | None = None

    @model_validator(mode="after")
    def _has_one_length(self) -> "LeadLength":
        if (self.longest_m is None) == (self.longest_ft is None):
            raise ValueError("state either longest_m or longest_ft")
        return self

    @property
    def longest(self) -> str:
        """The length in words, in the unit of its table."""
        return f"{self.longest_m:g} m" if self.longest_m is not None else f"{self.longest_ft:g} ft"


class LeadLengths(Sourced):
    """Lengths of lead a region advises not to pass."""

    rows: Annotated[tuple[LeadLength, ...], Field(min_length=1)]

    def longest(self, rated_a: float, size: str) -> LeadLength | None:
        """Return the row that covers a lead, or None where the table has no figure for it.

        Args:
            rated_a: Current the lead must serve [A]; the row of the next higher current applies.
            size: Conductor size as printed.
        """
        covering = [row for row in self.rows if row.size == size and row.up_to_a >= rated_a]
        return min(covering, key=lambda row: row.up_to_a, default=None)
