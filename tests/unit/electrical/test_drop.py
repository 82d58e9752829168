"""The smallest size of lead that works."""

import pytest

from spreadload.electrical.cords import CordFamily
from spreadload.electrical.drop import smallest_size_that_works
from spreadload.errors import InputError


def test_the_smallest_size_is_found_by_both_tests() -> None:
    """15 A over 40 m: 1.0 mm² fails on amps, 1.5 on volts, 2.5 works; each is reported."""
    found = smallest_size_that_works(
        15, 40, ["2.5", 4, "1.5", "1.0", "2.5 mm²"], voltage_v=230, max_drop_pct=5
    )
    assert found.chosen is not None
    assert found.chosen.size == "2.5 mm²"
    assert [(tried.size, tried.carries, tried.reaches) for tried in found.tried] == [
        ("1 mm²", False, False),
        ("1.5 mm²", True, False),
        ("2.5 mm²", True, True),
        ("4 mm²", True, True),
    ]


def test_no_size_on_the_van_may_do() -> None:
    """Nothing works, nothing is chosen; a cord its family does not know carries nothing."""
    found = smallest_size_that_works(
        5, 500, ["0.5", "1.5"], voltage_v=230, max_drop_pct=5, family=CordFamily.AS_NZS
    )
    assert found.chosen is None
    assert found.tried[0].rated_a == 0


def test_gauges_are_sized_by_their_own_table() -> None:
    """16 A over 100 ft on 120 V at 5 %: 12 AWG carries it but drops too much, 10 AWG works."""
    found = smallest_size_that_works(
        16,
        30.48,
        ["16 AWG", "14 AWG", "12 AWG", "10 AWG"],
        voltage_v=120,
        max_drop_pct=5,
        family=CordFamily.NEC_TWO_LOADED,
    )
    assert found.chosen is not None
    assert found.chosen.size == "10 AWG"
    assert [tried.carries for tried in found.tried] == [False, True, True, True]


def test_a_wrong_size_is_an_input_fault() -> None:
    """A typo among the sizes is named."""
    with pytest.raises(InputError, match=r"1\.5x"):
        smallest_size_that_works(5, 5, ["1.5x"], voltage_v=230, max_drop_pct=5)
