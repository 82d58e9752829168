"""Breakers and fuses in time."""

from math import inf

import pytest

from spreadload.electrical.protection import (
    Device,
    Outcome,
    earliest_s,
    gates,
    hold_ratio,
    instant_band,
    latest_s,
    ratio_band_for_delay,
    verdict,
)
from spreadload.electrical.trip_gates import Curve, DeviceKind

B16 = Device(DeviceKind.MCB, 16, Curve.B)
C20 = Device(DeviceKind.MCB, 20, Curve.C)
C80 = Device(DeviceKind.MCB, 80, Curve.C)
UL20 = Device(DeviceKind.UL_BREAKER, 20)
PLUG13 = Device(DeviceKind.PLUG_FUSE, 13)


@pytest.mark.parametrize(
    ("load_a", "outcome", "phrase"),
    [
        (20.0, Outcome.HOLDS, "holds"),
        (21.6, Outcome.MAY_HOLD_FOR_HOURS, "108 % of its rating: may hold for hours"),
        (22.6, Outcome.MAY_HOLD_FOR_HOURS, "may hold for hours"),
        (26.8, Outcome.MINUTES_TO_AN_HOUR, "134 % of its rating: expect minutes to an hour"),
        (29.0, Outcome.MINUTES_TO_AN_HOUR, "open within 1 h"),
        (51.0, Outcome.WITHIN_A_MINUTE, "open within 1 min"),
        (100.0, Outcome.MAY_OPEN_AT_ONCE, "may open at once"),
        (200.0, Outcome.AT_ONCE, "opens at once"),
    ],
)
def test_a_load_is_judged_in_steps(load_a: float, outcome: Outcome, phrase: str) -> None:
    """A 20 A type C breaker follows the steps of IEC 60898-1, in words."""
    said = verdict(load_a, C20)
    assert said.outcome is outcome
    assert phrase in said.words


@pytest.mark.parametrize(
    ("device", "load_a", "words"),
    [
        (UL20, 20.6, "may hold for hours, or open: hardly before 1.8 h from cold"),
        (UL20, 39.0, "expect minutes, hardly before 11 s from cold, open within 3 min"),
        (C20, 32.0, "expect minutes, hardly before 1 min from cold, open within 30 min"),
        (C80, 116.0, "expect minutes to hours, hardly before 7 min from cold, open within 2 h"),
    ],
)
def test_the_words_do_not_contradict_the_times(device: Device, load_a: float, words: str) -> None:
    """No hour is spoken of where it opens in minutes, nor minutes where it holds for an hour.

    The gates are those of the standards: UL 489, 15 to 30 A: 1 h at 135 %, 2 min at 200 %; IEC
    60898-1: 1 h (2 h above 63 A) at 145 %, 1 min at 255 %. A last moment is rounded up, a first
    one down: between the gates of the type C breaker 1,763 s lie at 160 %.
    """
    assert verdict(load_a, device).words.endswith(f"of its rating: {words}")


def test_large_breakers_are_given_two_hours() -> None:
    """Above 63 A the test time of IEC 60898-1 doubles, above 32 A so does the 2.55 gate."""
    assert earliest_s(C20, 1.13) == latest_s(C20, 1.45) == 3600
    assert earliest_s(C80, 1.13) == latest_s(C80, 1.45) == 7200
    assert latest_s(C20, 2.55) == pytest.approx(60)
    assert latest_s(Device(DeviceKind.MCB, 40), 2.55) == pytest.approx(120)
    assert earliest_s(C20, 2.55) == pytest.approx(1)


@pytest.mark.parametrize(("curve", "low", "high"), [("B", 3, 5), ("C", 5, 10), ("D", 10, 20)])
def test_instantaneous_bands(curve: str, low: float, high: float) -> None:
    """IEC 60898-1 table 2."""
    band = instant_band(Device(DeviceKind.MCB, 10, Curve(curve)))
    assert band is not None
    assert (band.low, band.high) == (low, high)


def test_an_unknown_curve_is_taken_as_the_most_sensitive() -> None:
    """Without a letter a breaker is judged as type B, and its trip may come from any curve."""
    assert verdict(60, Device(DeviceKind.MCB, 20)).outcome is Outcome.MAY_OPEN_AT_ONCE
    low, _ = ratio_band_for_delay(0, Device(DeviceKind.MCB, 20))
    assert low == 3


def test_a_ul_489_breaker_opens_within_its_times() -> None:
    """135 % opens within an hour up to 50 A, 200 % within two minutes up to 30 A."""
    assert latest_s(UL20, 1.35) == 3600
    assert latest_s(Device(DeviceKind.UL_BREAKER, 100), 1.35) == 7200
    assert latest_s(UL20, 2.0) == pytest.approx(120)
    assert verdict(20, UL20).outcome is Outcome.HOLDS


def test_a_plug_fuse_blows_within_its_times() -> None:
    """A 13 A plug fuse carries 20.8 A for 30 min and opens within 30 min at 24.7 A (BS 1362)."""
    assert verdict(20.8, PLUG13).outcome is Outcome.MAY_HOLD_FOR_HOURS
    assert "running hot" in verdict(20.8, PLUG13).words
    assert hold_ratio(PLUG13) * 13 == pytest.approx(20.8)
    assert latest_s(PLUG13, 24.7 / 13) <= 1800
    assert latest_s(PLUG13, 24.6 / 13) == inf
    assert latest_s(PLUG13, 30 / 13) == pytest.approx(400, rel=0.02)
    assert latest_s(PLUG13, 50 / 13) == pytest.approx(20, rel=0.02)
    assert earliest_s(Device(DeviceKind.PLUG_FUSE, 3), 3) == pytest.approx(0.02)


@pytest.mark.parametrize("kind", DeviceKind)
@pytest.mark.parametrize("rated_a", [3, 6, 16, 32, 40, 63, 100])
def test_every_device_has_both_sides_of_its_band(kind: DeviceKind, rated_a: float) -> None:
    """Every family at every rating has gates on both sides, and the late side is never early."""
    device = Device(kind, rated_a)
    assert gates(device)
    for ratio in (1.01, 1.2, 1.5, 2, 3, 5, 8, 15, 30):
        assert earliest_s(device, ratio) <= latest_s(device, ratio)
    assert latest_s(device, 1.0) == inf
    assert hold_ratio(device) >= 1
    assert latest_s(device, hold_ratio(device)) == inf


@pytest.mark.parametrize(
    ("delay_s", "low", "high"),
    [(0.01, 5, inf), (30, 1.82, 3.57), (1800, 1.21, 1.60), (7200, 1.0, 1.45)],
)
def test_a_trip_is_read_backwards(delay_s: float, low: float, high: float) -> None:
    """The sooner a breaker opened, the higher the load it saw."""
    assert ratio_band_for_delay(delay_s, C20) == pytest.approx((low, high), rel=0.01)


def test_a_warm_breaker_may_have_opened_on_little() -> None:
    """A breaker that had been loaded may open on any overload, except at once."""
    assert ratio_band_for_delay(30, C20, warm=True)[0] == 1
    assert ratio_band_for_delay(0.01, C20, warm=True)[0] == 5
