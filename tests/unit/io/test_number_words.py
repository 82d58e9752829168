"""Numbers in words."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from spreadload.io.number_words import number_in_words

ONES = (
    "zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
    "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen",
)  # fmt: skip
TENS = ("", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")


def in_words(number: int) -> str:
    """Return a number below a million in English, as dictionaries write it."""
    if number < 20:
        return ONES[number]
    if number < 100:
        return TENS[number // 10] + (f"-{ONES[number % 10]}" if number % 10 else "")
    size, name = (1000, "thousand") if number >= 1000 else (100, "hundred")
    rest = number % size
    joined = " and " if 0 < rest < 100 else " "
    return f"{in_words(number // size)} {name}" + (joined + in_words(rest) if rest else "")


@given(st.integers(0, 999_999))
def test_every_number_comes_back_from_its_words(number: int) -> None:
    """Up to a million, with hyphens and the British "and"."""
    assert number_in_words(in_words(number)) == number
    assert number_in_words(in_words(number).upper().replace("-", " ")) == number


@pytest.mark.parametrize(
    "text",
    ["", "lots", "twenty amps", "one two", "ten five", "twenty twelve", "hundred", "and", "3"],
)
def test_other_text_is_no_number(text: str) -> None:
    """What nobody would read as one number is left for the crew to write anew."""
    assert number_in_words(text) is None
