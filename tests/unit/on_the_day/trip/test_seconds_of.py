"""How long it held, as people type it."""

import pytest

from spreadload.on_the_day.scene.delay import seconds_of


@pytest.mark.parametrize(("text", "seconds"), [("40s", 40), ("10 min", 600), ("2h", 7200)])
def test_a_delay_is_read_with_its_unit(text: str, seconds: float) -> None:
    """Seconds, minutes and hours are told apart."""
    assert seconds_of(text) == seconds


@pytest.mark.parametrize("text", ["", "soon", "5 parsecs"])
def test_a_delay_that_cannot_be_read_is_none(text: str) -> None:
    """Words that give no time are not guessed at."""
    assert seconds_of(text) is None
