"""What a label means by a floor, read from package data; the ground floor is level 0.

Data and look-ups only. Imports nothing of the project but its neighbours and errors.
"""

from functools import cache
from typing import Annotated, Literal

from pydantic import Field

from spreadload.practice.load import build, check_regions, read_data
from spreadload.practice.records import Record, Sourced, Text


class FloorWords(Sourced):
    """Words that name a floor.

    Attributes:
        floor: Its level; or any above the ground, or any below.
        regions: Regions it is for; empty for all.
        language: ISO 639-1 code.
        words: Lower case, as they stand on labels.
    """

    floor: int | Literal["upper", "lower"]
    regions: tuple[Text, ...]
    language: Text
    words: Annotated[tuple[Text, ...], Field(min_length=1)]

    def is_of(self, level: int) -> bool:
        """Whether a floor of that level is meant."""
        if self.floor == "upper":
            return level > 0
        return level < 0 if self.floor == "lower" else level == self.floor


class _FloorBook(Record):
    floors: tuple[FloorWords, ...]


@cache
def floor_words(region_id: str) -> tuple[FloorWords, ...]:
    """Return the words for floors on the labels of a region."""
    rows = build(_FloorBook, read_data("floors.yaml"), "floors.yaml").floors
    for row in rows:
        check_regions(row.regions, "floors.yaml")
    return tuple(row for row in rows if not row.regions or region_id in row.regions)
