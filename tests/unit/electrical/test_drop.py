"""Drops, chains of leads and the smallest size that works."""

import pytest

from spreadload.electrical.conductors import loop_ohm
from spreadload.electrical.cords import CordFamily
from spreadload.electrical.drop import (
    LeadRun,
    annex_g_drop_v,
    chain_impedance_ohm,
    chain_rating_a,
    impedance_drop_v,
    smallest_size_that_works,
    voltage_drop_v,
)
from spreadload.errors import InputError


def test_drop_is_current_through_the_loop() -> None:
    """10 A through 50 m of 1.5 mm² at 20 °C drops 13.3 V."""
    assert voltage_drop_v(10, "1.5", 50, temp_c=20) == pytest.approx(13.3)
    assert voltage_drop_v(10, "1.5", 50) > 15


def test_power_factor_trades_resistance_for_reactance() -> None:
    """I·(R·cosφ + X·sinφ): 10 A through 3 + j4 ohm at 0.6 drops 50 V."""
    assert impedance_drop_v(10, 3 + 4j, 0.6) == pytest.approx(50)
    assert impedance_drop_v(10, 3 + 4j) == 30


def test_three_phases_return_nothing_in_the_neutral() -> None:
    """Annex G counts one way for a balanced three-phase run."""
    one_way = annex_g_drop_v(20, 2.5, 20, three_phase=True)
    assert one_way == pytest.approx(annex_g_drop_v(20, 2.5, 20) / 2)


def test_joined_leads_add_up_and_the_weakest_rules() -> None:
    """Two leads in a row add their impedance; the thinner or the wound one limits the current."""
    runs = [LeadRun("2.5", 20), LeadRun("1.5", 10)]
    joined = chain_impedance_ohm(runs)
    assert joined.real == pytest.approx(loop_ohm("2.5", 20) + loop_ohm("1.5", 10))
    assert chain_rating_a(runs) == 15
    wound = [LeadRun("2.5", 20, wound=True), LeadRun("1.5", 10)]
    assert chain_rating_a(wound) == pytest.approx(7)
    assert chain_rating_a([]) == float("inf")
    assert chain_impedance_ohm([]) == 0


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


def test_volts_lost_upstream_count() -> None:
    """What the house has already lost leaves less for the lead."""
    sizes = ["1.5", "2.5"]
    alone = smallest_size_that_works(10, 30, sizes, voltage_v=230, max_drop_pct=5)
    behind = smallest_size_that_works(
        10, 30, sizes, voltage_v=230, max_drop_pct=5, upstream_drop_v=5
    )
    assert alone.chosen is not None
    assert behind.chosen is not None
    assert (alone.chosen.size, behind.chosen.size) == ("1.5 mm²", "2.5 mm²")


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
