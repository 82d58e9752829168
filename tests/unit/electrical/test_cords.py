"""Ratings of cords, drums and lengths of leads."""

from itertools import pairwise

import pytest

from spreadload.electrical.conductors import conductor
from spreadload.electrical.cords import (
    RATINGS,
    CordFamily,
    cord_rating,
    cord_rating_a,
    drum_factor,
)


@pytest.mark.parametrize(
    ("size", "family", "rated_a"),
    [
        ("1.5", CordFamily.APPLIANCE, 15),
        ("2.5", CordFamily.APPLIANCE, 20),
        ("0.75", CordFamily.AS_NZS, 7.5),
        ("1.25", CordFamily.JAPANESE, 12),
        ("2", CordFamily.JAPANESE, 17),
        ("12 AWG", CordFamily.NEC_TWO_LOADED, 25),
    ],
)
def test_ratings_come_from_the_family_asked(size: str, family: CordFamily, rated_a: float) -> None:
    """Each family gives its own figure for the same copper."""
    assert cord_rating_a(size, family) == rated_a


@pytest.mark.parametrize("family", CordFamily)
def test_more_copper_carries_more(family: CordFamily) -> None:
    """Inside a family the rating rises with the area, and by no wild step."""
    rows = sorted(
        (conductor(row.size).area_mm2, row.rated_a) for row in RATINGS if row.family is family
    )
    for (small, small_a), (large, large_a) in pairwise(rows):
        assert small_a < large_a <= small_a * (large / small) ** 1.8


def test_an_unlisted_size_takes_the_next_smaller_row() -> None:
    """1.5 mm² asked of the gauge table is rated as 16 AWG, which has less copper."""
    assert cord_rating("1.5", CordFamily.NEC_TWO_LOADED).size == "16 AWG"
    assert cord_rating("3.5", CordFamily.APPLIANCE).size == "2.5 mm²"


def test_a_size_below_the_family_has_no_rating() -> None:
    """Bell wire is refused rather than given a figure."""
    with pytest.raises(LookupError, match="smaller than any"):
        cord_rating("0.5", CordFamily.AS_NZS)


@pytest.mark.parametrize(
    ("layers", "factor"), [(1, 0.85), (2, 0.65), (3, 0.45), (4, 0.35), (9, 0.35), (None, 0.35)]
)
def test_a_drum_keeps_the_share_of_its_layers(layers: int | None, factor: float) -> None:
    """BS 7671 table 4F1A note 2; more layers than listed and unknown layers take the lowest."""
    assert drum_factor(layers) == factor
