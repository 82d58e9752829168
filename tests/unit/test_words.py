"""English that every room speaks alike."""

import pytest

from spreadload.words import (
    called,
    count_of,
    first_down,
    first_up,
    in_setup,
    natural,
    row,
    setup_name,
    setup_names,
)


@pytest.mark.parametrize(
    ("names", "joint", "said"),
    [([], "and", ""), (["a"], "and", "a"), (["a", "b"], "or", "a or b"),
     (["a", "b", "c"], "and", "a, b and c")],
)  # fmt: skip
def test_names_stand_in_a_row(names: list[str], joint: str, said: str) -> None:
    """Commas, and a joint before the last."""
    assert row(names, joint) == said


@pytest.mark.parametrize(
    ("setup", "name"),
    [("SU1", "SU1"), ("2", "set-up 2"), ("2.1", "set-up 2.1"), ("#2", "set-up #2"), ("2A", "2A"),
     ("night", "night"), ("", "")],
)  # fmt: skip
def test_a_bare_number_says_what_it_is_the_number_of(setup: str, name: str) -> None:
    """An id without a letter means nothing in a sentence; any other stays as the crew has it."""
    assert setup_name(setup) == name
    assert in_setup(setup) == (f" in {name}" if setup else "")


def test_a_sentence_begins_with_a_capital_and_an_id_keeps_its_own() -> None:
    """The word is ours to write large, the id is not."""
    assert setup_name("2", starts=True) == "Set-up 2"
    assert setup_name("night", starts=True) == "night"


@pytest.mark.parametrize(
    ("setups", "said"),
    [((), ""), (("2",), "set-up 2"), (("1", "2", "4"), "set-ups 1, 2 and 4"),
     (("SU1", "2"), "SU1 and set-up 2"), (("SU1", "SU2"), "SU1 and SU2")],
)  # fmt: skip
def test_set_ups_in_a_row_are_called_so_once(setups: tuple[str, ...], said: str) -> None:
    """Numbers share one word; beside a name each needs its own."""
    assert setup_names(setups) == said


def test_other_ids_that_are_numbers_are_called_by_their_kind() -> None:
    """A circuit numbered 7 is circuit 7."""
    assert called("7", "circuit") == "circuit 7"
    assert called("P7", "circuit") == "P7"


def test_counts_take_a_plural() -> None:
    """One of a thing, several things."""
    assert [count_of(n, "lead") for n in (0, 1, 2)] == ["0 leads", "1 lead", "2 leads"]


def test_first_letters_change_and_the_rest_stays() -> None:
    """``RCD`` in the middle of a text is not touched."""
    assert first_up("the RCD") == "The RCD"
    assert first_down("The RCD") == "the RCD"
    assert first_up("") == first_down("") == ""


def test_names_sort_as_people_sort_them() -> None:
    """9 before 10, and plain numbers before words."""
    names = ["P10", "main", "P9", "12", "2", "P9a"]
    assert sorted(names, key=natural) == ["2", "12", "P9", "P9a", "P10", "main"]
