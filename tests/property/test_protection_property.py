"""What holds of every protective device at every load."""

from hypothesis import given
from hypothesis import strategies as st

from spreadload.electrical.protection import (
    Device,
    Outcome,
    earliest_s,
    latest_s,
    ratio_band_for_delay,
    verdict,
)
from spreadload.electrical.trip_gates import Curve, DeviceKind

DEVICES = st.builds(
    Device,
    kind=st.sampled_from(DeviceKind),
    rated_a=st.sampled_from([3.0, 6.0, 10.0, 13.0, 16.0, 20.0, 32.0, 40.0, 63.0, 100.0]),
    curve=st.sampled_from(Curve),
)
RATIOS = st.floats(1.001, 40)


@given(DEVICES, RATIOS, RATIOS)
def test_more_current_never_opens_later(device: Device, one: float, other: float) -> None:
    """Both sides of the band fall as the current rises, and outcomes only get worse."""
    small, large = sorted((one, other))
    assert earliest_s(device, small) >= earliest_s(device, large)
    assert latest_s(device, small) >= latest_s(device, large)
    steps = list(Outcome)
    milder = verdict(small * device.rated_a, device).outcome
    worse = verdict(large * device.rated_a, device).outcome
    assert steps.index(milder) <= steps.index(worse)


@given(DEVICES, RATIOS, st.floats(0, 1))
def test_reading_a_trip_backwards_contains_the_load(
    device: Device, ratio: float, share: float
) -> None:
    """Whatever delay the band allows for a load, that load is among the answers for the delay."""
    early, late = earliest_s(device, ratio), min(latest_s(device, ratio), 10 * 3600)
    low, high = ratio_band_for_delay(early + share * max(0, late - early), device)
    assert low <= ratio * (1 + 1e-9)
    assert ratio <= high * (1 + 1e-9)
