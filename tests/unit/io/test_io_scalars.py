"""What bare words mean; the traps are those of YAML 1.1, section 10 of its type repository."""

import pytest

from spreadload.io.scalars import meaning


@pytest.mark.parametrize(
    "word",
    ["on", "off", "On", "OFF", "yes", "no", "y", "n", "1:30", "13:30", "0755", "00", "007", "-01",
     "0x1F", "0o17", "0b1", "1_000", "1,5", "1 000", "2024-01-31", "tRue", "nULL", "none", "inf",
     "nan", "1e", "e3", ".", "-", "+", "1.2.3", "10-12", "16A", "9" * 41, "\u0661"],
)  # fmt: skip
def test_traps_stay_text(word: str) -> None:
    """A word that only looks like a truth value, a number or a date stays text as written."""
    assert meaning(word) == word


@pytest.mark.parametrize("word", ["true", "True", "TRUE"])
def test_three_words_are_true(word: str) -> None:
    """Only the word true, in three spellings, is true."""
    assert meaning(word) is True


@pytest.mark.parametrize("word", ["false", "False", "FALSE"])
def test_three_words_are_false(word: str) -> None:
    """Only the word false, in three spellings, is false."""
    assert meaning(word) is False


@pytest.mark.parametrize("word", ["", "~", "null", "Null", "NULL"])
def test_five_ways_to_write_nothing(word: str) -> None:
    """Nothing written, a tilde and null are nothing."""
    assert meaning(word) is None


@pytest.mark.parametrize(
    ("word", "number"),
    [("0", 0), ("16", 16), ("-3", -3), ("+7", 7), ("1.5", 1.5), (".5", 0.5), ("2.", 2.0),
     ("1e3", 1000.0), ("1.5E-3", 0.0015), ("0.0", 0.0)],
)  # fmt: skip
def test_numbers_are_read_as_written(word: str, number: float) -> None:
    """Decimal numbers are numbers, whole ones whole."""
    assert meaning(word) == number
    assert type(meaning(word)) is type(number)


@pytest.mark.parametrize("word", [".nan", ".NaN", ".inf", "-.inf", "+.Inf", "1e999", "-1e999"])
def test_nothing_becomes_infinite_or_no_number(word: str) -> None:
    """Nothing in a file becomes infinite or "not a number"."""
    with pytest.raises(ValueError, match=word.replace("+", r"\+").replace(".", r"\.")):
        meaning(word)
