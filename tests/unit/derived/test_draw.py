"""What one unit draws, from each kind of statement."""

import pytest

from spreadload.derived.draw import draw_of, line_to_line_v
from spreadload.job.kit import Ballast, Draw, LoadKind


def worst_a(planning_v: float, poles: int = 1, phases: int = 1, **stated: object) -> float:
    """Return the worst amps per pole of a load with some statements."""
    drawn = draw_of(Draw.model_validate(stated), planning_v)
    return drawn.current_a(poles, planning_v, line_to_line_v(planning_v, phases)).worst


def test_plate_watts_divide_by_power_factor_and_volts() -> None:
    """3 kW at 230 V and power factor 0.9 draws 14.49 A.

    Source: published single-phase example, samikshyachapagai.com.np, "Engineering Example".
    """
    amps = worst_a(230, plate_w=3000.0, power_factor=0.9)
    assert amps == pytest.approx(14.4928, abs=0.001)


def test_uncorrected_head_draws_what_a_trade_magazine_measured() -> None:
    """An 800 W discharge head at power factor 0.58 on 110 V draws 12.5 A, not 7.2 A.

    Source: film-production magazine article on sizing portable generators, imaginenews.com.
    """
    amps = worst_a(110, plate_w=800.0, power_factor=0.58)
    assert amps == pytest.approx(12.54, abs=0.01)


def test_measured_amps_win_over_everything_else() -> None:
    """A measurement beats plate amps, which beat plate watts."""
    assert worst_a(230, plate_a=9.5, plate_w=2000.0, power_factor=0.9) == 9.5
    assert worst_a(230, measured_a=8.1, plate_a=9.5, plate_w=2000.0) == 8.1


def test_plate_volt_amps_need_no_power_factor() -> None:
    """1,200 W at power factor 0.9 is 1,333 VA: 11.1 A on 120 V.

    Source: electoolshq.com, single-phase examples, step 2.
    """
    assert worst_a(120, plate_va=1333.3333) == pytest.approx(11.111, abs=0.001)


def test_unknown_ballast_is_a_fifth_on_watts_and_power_factor_apart() -> None:
    """Lamp watts get 20 % for the ballast, and a poor power factor when nobody stated one.

    Source: common practice, no source (20 %); power factor 0.6 for an uncorrected ballast from a
    trade magazine's measurement of 0.58 and memory.
    """
    amps = worst_a(230, kind=LoadKind.DISCHARGE, lamp_w=1200.0, ballast=Ballast.ELECTRONIC)
    assert amps == pytest.approx(1.2 * 1200 / (0.6 * 230), rel=0.01)


def test_an_unknown_ballast_is_a_range_and_said_to_be_assumed() -> None:
    """Best, likely and worst differ, and the source says what was assumed."""
    drawn = draw_of(Draw(kind=LoadKind.DISCHARGE, lamp_w=1200.0), 230)
    amps = drawn.current_a(1, 230, 400)
    assert amps.best < amps.likely < amps.worst
    assert drawn.is_assumed
    assert "assumed" in drawn.source


def test_a_stated_plate_is_no_range() -> None:
    """With plate watts and power factor all three figures agree and nothing is assumed."""
    drawn = draw_of(Draw(kind=LoadKind.LED, plate_w=720.0, power_factor=0.96), 230)
    amps = drawn.current_a(1, 230, 400)
    assert amps.best == amps.likely == amps.worst
    assert not drawn.is_assumed


def test_led_named_by_class_is_taken_a_quarter_higher() -> None:
    """A 600 W class head is planned at 750 W.

    Source: common practice, no source (plates run 10 to 25 % above the name).
    """
    amps = worst_a(230, kind=LoadKind.LED, class_w=600.0, power_factor=0.95)
    assert amps == pytest.approx(600 * 1.25 / (0.95 * 230))


def test_doubling_volts_halves_amps_of_watts() -> None:
    """Watts stated at twice the volts draw half the amps; stated amps do not change."""
    assert worst_a(240, plate_w=1000.0) == pytest.approx(worst_a(120, plate_w=1000.0) / 2)
    assert worst_a(240, plate_a=5.0) == worst_a(120, plate_a=5.0)


def test_between_two_legs_a_load_sees_twice_the_volts() -> None:
    """A 4,800 W heater on 240 V draws 20 A.

    Source: tradelicenseprep.com, Ohm's law and power.
    """
    amps = worst_a(120, poles=2, phases=2, kind=LoadKind.HEATER, plate_w=4800.0)
    assert amps == pytest.approx(20.0)


def test_three_phases_share_the_power() -> None:
    """16 kW of balanced star load at 400 V line draws 23.09 A a phase.

    Source: Basic Electrical Installation Work, chapter 11, example 1 (p. 227).
    """
    volts = 400 / 3**0.5
    amps = worst_a(volts, poles=3, phases=3, kind=LoadKind.HEATER, plate_w=16000.0)
    assert amps == pytest.approx(23.094, abs=0.001)


def test_power_follows_stated_amps() -> None:
    """A stated current of a resistive load gives its watts for contracts and generators."""
    drawn = draw_of(Draw(kind=LoadKind.HEATER, plate_a=10.0), 230)
    assert drawn.power_w.worst == pytest.approx(2300.0)
