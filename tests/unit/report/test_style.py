"""Wrapping, bars and emphasis."""

import pytest

from spreadload.report.style import Style, bar, clip


@pytest.mark.parametrize(
    ("used_pct", "shown"),
    [
        (0, "··········"),
        (1, "█·········"),
        (55, "█████·····"),
        (99, "█████████·"),
        (100, "██████████"),
        (130, "██████████!"),
    ],
)
def test_bar_is_full_only_at_the_limit(used_pct: int, shown: str) -> None:
    """99 % is not full, 100 % is, and beyond it the mark needs no colour."""
    assert bar(used_pct) == shown


def test_a_number_is_never_parted_from_its_unit() -> None:
    """The line breaks before ``20.0 A``, never inside it."""
    lines = Style(width=22).wrap("would carry some 20.0 A of it").split("\n")
    assert lines == ["would carry some", "20.0 A of it"]
    assert "\u00a0" not in "".join(lines)


def test_colour_only_adds_escapes() -> None:
    """Without the escape codes the words are the same."""
    plain, loud = Style(), Style(colour=True)
    assert plain.strong("FITS") == "FITS"
    assert loud.strong("FITS").replace("\x1b[1m", "").replace("\x1b[0m", "") == "FITS"


def test_clipping_is_marked() -> None:
    """What does not fit ends in an ellipsis and keeps the width."""
    assert clip("HOT WATER", 6) == "HOT W…"
    assert clip("HOT", 6) == "HOT"
