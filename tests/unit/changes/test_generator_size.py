"""Generators for named loads, worked by hand."""

from builders import amps, setup, small_job
from spreadload.changes.generator import size_generator
from spreadload.derived.facts import Facts


def facts() -> Facts:
    """Return loads of 2 kW and 1 kW at 230 V, a 1 kW load at 0.5, and a pump of 230 W."""
    return Facts.of(
        small_job(
            heads={
                "big": {"kind": "tungsten", "plate_w": 2000.0},
                "small": {"kind": "tungsten", "plate_w": 1000.0},
                "poor": {"kind": "led", "plate_w": 1000.0, "power_factor": 0.5},
            },
            house={"pump": amps(1.0, kind="motor", power_factor=1.0)},
            setups=[setup(big="lounge")],
        )
    )


def test_apparent_power_and_margin_decide_the_plate() -> None:
    """2000 W and 1000 W at 0.5 are 4000 VA; a fifth kept free makes 4800, so a 5 kVA set."""
    size = size_generator(facts(), [("big", 1), ("poor", 1)])
    assert round(size.need.running_va) == 4000
    assert round(size.need.plate_va) == 4800
    assert size.plate_va == 5000


def test_heat_and_height_take_from_the_plate() -> None:
    """3 % a step (portable-generator manuals): 2000 m and 50 °C leave 0.94 x 0.94 of it."""
    size = size_generator(facts(), [("big", 1)], altitude_m=2000, ambient_c=50)
    assert round(size.need.derating, 4) == round(0.94 * 0.94, 4)
    assert size.plate_va == 3000


def test_the_largest_start_comes_on_top() -> None:
    """A pump of 230 W starts with seven times its current: six times 230 W on top of all."""
    size = size_generator(facts(), [("big", 1), ("pump", 1)])
    assert round(size.need.peak_w) == 2000 + 230 + 6 * 230


def test_phases_are_evened_out_and_the_fullest_decides() -> None:
    """2, 1, 1 and 1 kVA on three phases: 2 / 2 / 1 at best, 20 % above the mean."""
    size = size_generator(facts(), [("big", 1), ("small", 3)], phases=3)
    assert sorted(round(va) for va in size.phase_va) == [1000, 2000, 2000]
    assert round(size.imbalance_pct) == 20
    assert size.plate_va >= 3 * 2000 * 1.2
