"""Guesses for mistyped words."""

import pytest

from spreadload.suggest import closest, suggest


@pytest.mark.parametrize(
    ("word", "known", "meant"),
    [("B1O", ["B10", "C7"], "B10"), ("b10", ["B10", "B1"], "B10"),
     ("breaker a", ["breaker_a", "fuse_a"], "breaker_a"),
     ("kichen", ["kitchen", "hall"], "kitchen"),
     ("O19", ["O9", "P2"], "O9")],
)  # fmt: skip
def test_nearest_word_comes_first(word: str, known: list[str], meant: str) -> None:
    """Slips of a letter, capitals, blanks and hyphens still find the word."""
    assert closest(word, known)[0] == meant
    assert suggest(word, known).startswith(f"did you mean {meant}")


def test_nothing_alike_offers_nothing() -> None:
    """An offer that is not alike would mislead, so there is none."""
    assert suggest("garage", ["B10", "C7"]) == ""
    assert suggest("x", []) == ""


def test_two_equally_near_are_both_offered() -> None:
    """Where two ids are near, both are named."""
    assert suggest("P1", ["P10", "P12", "Q"]) in (
        "did you mean P10 or P12?",
        "did you mean P12 or P10?",
    )
