"""Switching on against the instantaneous band."""

from itertools import permutations
from random import Random

import pytest

from spreadload.electrical.inrush import (
    Ahead,
    StartKind,
    StartLoad,
    held_a,
    inrush_band_a,
    limited_a,
    start_row,
)
from spreadload.electrical.protection import Device
from spreadload.electrical.starting import (
    StrikeOutcome,
    safe_to_strike_together,
    striking_order,
)
from spreadload.electrical.trip_gates import Curve, DeviceKind

B16 = Device(DeviceKind.MCB, 16, Curve.B)
C20 = Device(DeviceKind.MCB, 20, Curve.C)
D20 = Device(DeviceKind.MCB, 20, Curve.D)
PLUG13 = Device(DeviceKind.PLUG_FUSE, 13)
TUNGSTEN_2K = StartLoad("2 kW tungsten", 8.7, StartKind.TUNGSTEN, ("c1",))


@pytest.mark.parametrize(
    ("kind", "low_a", "high_a"),
    [
        (StartKind.TUNGSTEN, 50, 80),
        (StartKind.MAGNETIC_DISCHARGE, 6.5, 10),
        (StartKind.MOTOR, 25, 35),
        (StartKind.STEADY, 5, 5),
        (StartKind.DRIVER, 25, 25),
    ],
)
def test_inrush_by_kind(kind: StartKind, low_a: float, high_a: float) -> None:
    """5 A running start as their rows say; a driver's pulse is capped and counts by a quarter."""
    assert inrush_band_a(StartLoad("l", 5, kind)) == pytest.approx((low_a, high_a))


def test_a_plate_inrush_wins() -> None:
    """A stated peak replaces the band of the kind."""
    assert inrush_band_a(StartLoad("l", 5, StartKind.MOTOR, inrush_a=22)) == (22, 22)
    assert inrush_band_a(StartLoad("l", 5, StartKind.DRIVER, inrush_a=60)) == (15, 15)
    assert inrush_band_a(StartLoad("l", 5, StartKind.DRIVER, inrush_a=8)) == (5, 5)


def test_cold_tungsten_reaches_the_band_of_a_small_breaker() -> None:
    """87 to 139 A cold: certain for a B16 (80 A), possible for a C20 (100 A), nothing to a D20."""
    assert safe_to_strike_together([TUNGSTEN_2K], B16).outcome is StrikeOutcome.EXPECT_TRIP
    assert safe_to_strike_together([TUNGSTEN_2K], C20).outcome is StrikeOutcome.MAY_TRIP
    assert safe_to_strike_together([TUNGSTEN_2K], D20).outcome is StrikeOutcome.SAFE


def test_what_runs_already_counts() -> None:
    """A moment that is safe alone is not safe on top of a running load."""
    small = StartLoad("300 W tungsten", 1.3, StartKind.TUNGSTEN)
    assert safe_to_strike_together([small] * 2, B16).outcome is StrikeOutcome.SAFE
    beside = safe_to_strike_together([small] * 2, B16, running_a=10)
    assert beside.outcome is StrikeOutcome.MAY_TRIP
    assert beside.limit_a == 48
    assert "48 A" in beside.words


def test_the_supply_holds_an_inrush_down() -> None:
    """100 A prospective behind 1 ohm on 230 V is 230/(1 + 2.3) A (Ohm's law)."""
    assert limited_a(100, 230, 1) == pytest.approx(230 / 3.3)
    assert limited_a(100, 230, 0) == 100
    behind = safe_to_strike_together([TUNGSTEN_2K], B16, ahead=Ahead(230, 0.8))
    assert behind.outcome is StrikeOutcome.MAY_TRIP


def test_run_up_is_told_apart_from_the_first_moment() -> None:
    """Two magnetic heads are safe to strike and overload a B16 for minutes while they run up."""
    heads = [StartLoad("1.2 kW", 5.8, StartKind.MAGNETIC_DISCHARGE)] * 2
    found = safe_to_strike_together(heads, B16)
    assert found.outcome is StrikeOutcome.SAFE
    assert found.run_up_a == pytest.approx(23.2)
    assert found.run_up.ratio == pytest.approx(1.45)
    assert found.run_up_s == 240


def test_a_fuse_carries_a_pulse_it_has_time_for() -> None:
    """A 13 A plug fuse stands 20 A of tungsten inrush and not 200 A for a tenth of a second."""
    assert safe_to_strike_together([StartLoad("l", 1.3, StartKind.TUNGSTEN)], PLUG13).outcome is (
        StrikeOutcome.SAFE
    )
    big = safe_to_strike_together([StartLoad("l", 13, StartKind.TUNGSTEN)], PLUG13)
    assert big.outcome is not StrikeOutcome.SAFE


def test_nothing_to_strike_is_safe() -> None:
    """An empty moment changes nothing."""
    assert safe_to_strike_together([], B16).outcome is StrikeOutcome.SAFE


def highest_a(order: tuple[StartLoad, ...]) -> float:
    """Return the highest moment of an order of switching on."""
    running_a, highest = 0.0, 0.0
    for load in order:
        highest = max(highest, running_a + held_a(inrush_band_a(load)[1], load.ahead))
        running_a += load.running_a
    return highest


@pytest.mark.parametrize("is_held", [False, True])
@pytest.mark.parametrize("seed", range(30))
def test_no_other_order_has_a_lower_highest_moment(seed: int, *, is_held: bool) -> None:
    """The order is the best of all orders, by trying them all; leads may hold an inrush down."""
    random = Random(seed)
    loads = tuple(
        StartLoad(
            str(i),
            random.uniform(0.2, 9),
            random.choice(list(StartKind)),
            ("c1",),
            ahead=Ahead(230, random.uniform(0.1, 2)) if is_held else None,
        )
        for i in range(5)
    )
    steps = striking_order(loads, {"c1": C20})
    ours = max(step.verdicts["c1"].high_a for step in steps)
    assert ours == pytest.approx(min(highest_a(order) for order in permutations(loads)))
    assert sorted(step.load.name for step in steps) == ["0", "1", "2", "3", "4"]


def test_an_order_counts_every_device_on_the_path() -> None:
    """A load adds to its circuit and to the main, others' circuits stay out of it."""
    loads = [
        StartLoad("a", 5, StartKind.STEADY, ("c1", "main")),
        StartLoad("b", 4, StartKind.TUNGSTEN, ("c2", "main")),
    ]
    steps = striking_order(loads, {"c1": B16, "c2": C20, "main": C20}, running_a={"main": 3})
    assert [step.load.name for step in steps] == ["b", "a"]
    assert steps[0].verdicts["main"].high_a == pytest.approx(67)
    assert steps[1].verdicts["c1"].high_a == pytest.approx(5)
    assert steps[1].verdicts["main"].high_a == pytest.approx(12)
    assert all(step.is_safe for step in steps)


def test_a_step_no_order_can_save_is_marked() -> None:
    """A head too big for its breaker stays unsafe wherever it stands."""
    (step,) = striking_order([TUNGSTEN_2K], {"c1": B16})
    assert not step.is_safe
    (held,) = striking_order([TUNGSTEN_2K], {"c1": D20}, ahead=Ahead(230, 1))
    assert held.verdicts["c1"].high_a < step.verdicts["c1"].high_a
    assert step.wait_s == start_row(StartKind.TUNGSTEN).run_up_s
