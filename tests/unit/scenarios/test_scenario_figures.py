"""The shipped houses add up to the figures worked out by hand when they were invented.

Source: sums by hand of plate watts over power factor and planning volts; the bungalow's, family
house's, ranch house's and hall's tables were made before the program.
"""

from functools import cache
from pathlib import Path

import pytest

from spreadload.derived.facts import Facts
from spreadload.io.job_file import load_job
from spreadload.job.kit import Head

SCENARIOS = Path(__file__).parents[3] / "scenarios"
TOTALS_A = {
    "bungalow": (24.1, 40.8, 38.5, 32.0),
    "family_house": (28.9, 56.4, 28.8, 34.4),
    "ranch_house": (38.5, 91.2, 41.3, 36.9),
    "community_hall": (115.6, 262.5, 118.7),
    "first_job": (10.2, 13.8),
}
TOTALS_W = {
    "bungalow": (5145, 7930, 7460, 6780),
    "family_house": (6065, 12105, 5965, 7090),
    "ranch_house": (4225, 9690, 3775, 3885),
    "community_hall": (25120, 57470, 25570),
    "first_job": (2200, 3050),
}
CASES = [(house, index) for house, totals in TOTALS_A.items() for index in range(len(totals))]


@cache
def facts_of(house: str) -> Facts:
    """Return a shipped house worked out once for all tests."""
    return Facts.of(load_job(SCENARIOS / house))


def units_on(facts: Facts, index: int) -> list[tuple[str, int]]:
    """Return load and count of everything on but what may be off and is hard-wired."""
    setup = facts.job.setups[index].id
    asked = facts.demands[setup]
    return [(d.load, d.count) for d in asked if not (d.circuit and d.may_be_off)]


def total_a(facts: Facts, index: int) -> float:
    """Return the amps of a set-up added up as if on one pole [A]."""
    return sum(facts.unit_ma(load, 1) * count for load, count in units_on(facts, index)) / 1000


@pytest.mark.parametrize(("house", "index"), CASES)
def test_a_set_up_adds_up_to_the_amps_of_its_table(house: str, index: int) -> None:
    """Rounding every unit up to a milliamp adds less than a twentieth of an amp."""
    assert total_a(facts_of(house), index) == pytest.approx(TOTALS_A[house][index], abs=0.07)


@pytest.mark.parametrize(("house", "index"), CASES)
def test_a_set_up_adds_up_to_the_watts_of_its_table(house: str, index: int) -> None:
    """Plate watts are whole, so their sum is exact."""
    facts = facts_of(house)
    total_w = sum(facts.loads[load].power_w * count for load, count in units_on(facts, index))
    assert total_w == TOTALS_W[house][index]


def test_the_bungalow_needs_more_than_its_two_circuits_give() -> None:
    """40.8 A in the main set-up against two breakers of 20 A."""
    facts = facts_of("bungalow")
    given_a = sum(c.cap_ma for c in facts.circuits.values() if c.can_feed_outlets) / 1000
    assert given_a == 40.0
    assert total_a(facts, 1) > given_a


def test_hot_water_does_not_fill_the_bungalows_service_fuse() -> None:
    """40.8 A and 13.0 A of hot water are 53.8 A under a fuse of 60 A."""
    facts = facts_of("bungalow")
    with_water_a = total_a(facts, 1) + facts.unit_ma("hot water", 1) / 1000
    assert with_water_a == pytest.approx(53.8, abs=0.07)
    assert with_water_a < facts.supply.cap_ma / 1000


@pytest.mark.parametrize(
    ("house", "head", "spare", "saved_a"),
    [
        ("bungalow", "DH1200", "DH1200 corrected", 40.79 - 37.46),
        ("bungalow", "DH1200", "LED600 spare", 40.79 - 34.73),
        ("ranch_house", "DH800", "DH800 corrected", 12.64 - 7.74),
        ("ranch_house", "LED1200", "LED600 spare", 12.46 - 6.25),
    ],
)
def test_a_swap_saves_what_the_tables_say(
    house: str, head: str, spare: str, saved_a: float
) -> None:
    """The corrected ballast and the LED are in stock, named as swaps, and save these amps."""
    job = facts_of(house).job
    assert spare in job.heads[head].swaps
    volts = facts_of(house).supply.planning_v
    drawn = [_unit_a(job.heads[head], volts), _unit_a(job.stock[spare], volts)]
    assert drawn[0] - drawn[1] == pytest.approx(saved_a, abs=0.02)


def _unit_a(head: Head, planning_v: float) -> float:
    assert head.plate_w is not None
    assert head.power_factor is not None
    return head.plate_w / head.power_factor / planning_v


def test_uncorrected_eight_hundred_draws_more_than_corrected_twelve_hundred() -> None:
    """12.6 A against 11.5 A at 120 V: the ballast matters more than the lamp."""
    facts = facts_of("ranch_house")
    assert facts.unit_ma("DH800", 1) > facts.unit_ma("DH1200", 1)


def test_air_conditioning_and_hot_water_overfill_the_family_house() -> None:
    """56.4 A with 19.9 A of air conditioning and 15.7 A of hot water pass the 80 A fuse."""
    facts = facts_of("family_house")
    fixed_a = (facts.unit_ma("air-con", 1) + facts.unit_ma("hot water", 1)) / 1000
    assert total_a(facts, 1) + fixed_a == pytest.approx(91.9, abs=0.15)
    assert total_a(facts, 1) + fixed_a > facts.supply.cap_ma / 1000


def test_the_family_house_knows_five_outlets_and_guesses_nothing_of_the_rest() -> None:
    """Five of 22 outlets have a circuit, none has a list of possible ones."""
    outlets = facts_of("family_house").job.outlets
    known = {outlet_id for outlet_id, outlet in outlets.items() if outlet.circuit}
    assert known == {"B5", "B8", "B11", "B12", "B15"}
    assert not any(outlet.maybe_on for outlet in outlets.values())
    assert len(outlets) == 22


def test_the_ranch_houses_two_pole_loads_draw_the_same_on_each_leg() -> None:
    """4200 W at 0.92 and 4500 W take 19.0 A and 18.75 A on each leg of 240 V."""
    facts = facts_of("ranch_house")
    assert facts.unit_ma("air-con", 2) / 1000 == pytest.approx(19.0, abs=0.05)
    assert facts.unit_ma("hot water", 2) / 1000 == pytest.approx(18.75, abs=0.01)


def test_the_hall_has_sixty_four_heads_all_on_in_the_wide_shot() -> None:
    """20 + 16 + 8 + 4 + 6 + 10 heads, and the wide shot lights every one."""
    facts = facts_of("community_hall")
    assert sum(head.count for head in facts.job.heads.values()) == 64
    lit = [(load, count) for load, count in units_on(facts, 1) if load in facts.job.heads]
    assert sum(count for _, count in lit) == 64
    lit_a = sum(facts.unit_ma(load, 1) * count for load, count in lit) / 1000
    assert lit_a == pytest.approx(184.8, abs=0.07)


def test_the_halls_phases_give_more_than_it_needs_only_when_balanced() -> None:
    """262.5 A is under 300 A, so 87.5 A a phase, but over two phases."""
    facts = facts_of("community_hall")
    cap_a = facts.supply.cap_ma / 1000
    assert total_a(facts, 1) / 3 == pytest.approx(87.5, abs=0.05)
    assert 2 * cap_a < total_a(facts, 1) < 3 * cap_a


def test_a_2500_w_head_enters_no_ordinary_outlet_of_the_hall() -> None:
    """12.2 A on a 16 A plug: only the boxes on stage take it."""
    facts = facts_of("community_hall")
    takes = [p.box for p in facts.points.values() if p.plug == facts.loads["DH2500"].plug]
    assert facts.unit_ma("DH2500", 1) / 1000 == pytest.approx(12.2, abs=0.05)
    assert takes
    assert all(box == "stage box" for box in takes)


def test_the_second_lounge_window_is_one_twenty_metre_lead_from_bedroom_two() -> None:
    """The story of the bungalow: its big head runs off the back bedroom's circuit."""
    facts = facts_of("bungalow")
    needed_m = facts.route_m("lounge window E", facts.points["A12"])
    own_m = facts.loads["DH1800"].cord_m
    assert 10.0 + own_m < needed_m <= 20.0 + own_m


@pytest.mark.parametrize("house", TOTALS_A)
def test_every_place_a_head_stands_at_is_within_reach_of_some_lead(house: str) -> None:
    """No set-up asks for a head where no outlet can be reached with what is on the van."""
    facts = facts_of(house)
    longest_m = max(lead.length_m for lead in facts.leads)
    for setup in facts.job.setups:
        for demand in facts.demands[setup.id]:
            if demand.place is not None:
                reach_m = longest_m + facts.loads[demand.load].cord_m
                nearest_m = min(facts.route_m(demand.place, p) for p in facts.points.values())
                assert nearest_m <= reach_m, (setup.id, demand.load, demand.place)
