"""Readings made from an impedance give that impedance back."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from spreadload.electrical.behaviour import LoadClass
from spreadload.electrical.budget import budget
from spreadload.electrical.loadflow import Flow, FlowLoad, load_flow
from spreadload.electrical.source import ReadingPair, estimate_source
from spreadload.electrical.tree import Branch, Wiring, build_tree


@given(
    st.floats(0.02, 2),
    st.lists(st.floats(2, 25), min_size=1, max_size=5),
    st.floats(220, 250),
)
def test_synthetic_readings_give_their_impedance_back(
    ohm: float, currents_a: list[float], idle_v: float
) -> None:
    """Exact pairs recover the resistance that made them, inside their own doubt."""
    pairs = [ReadingPair(idle_v, idle_v - ohm * amps_a, amps_a) for amps_a in currents_a]
    found = estimate_source(pairs, 230)
    assert found.loop_ohm == pytest.approx(ohm, rel=1e-6)
    assert found.low_ohm <= ohm <= found.high_ohm


@given(
    st.floats(0.05, 1.5),
    st.lists(st.floats(2, 25), min_size=1, max_size=5),
    st.integers(0, 2**32 - 1),
)
def test_rounded_readings_stay_inside_the_doubt(
    ohm: float, currents_a: list[float], seed: int
) -> None:
    """A meter that rounds to a tenth and a supply that wanders a little are covered."""
    wander_v = (seed % 100 - 50) / 200
    pairs = [
        ReadingPair(235.0, round(235 - ohm * amps_a + wander_v, 1), amps_a) for amps_a in currents_a
    ]
    found = estimate_source(pairs, 230)
    assert found.low_ohm - 0.001 <= ohm <= found.high_ohm + 0.001


@given(st.floats(0.05, 1.5), st.floats(2, 12))
def test_a_heater_on_a_supply_reveals_it_by_its_plate(ohm: float, plate_a: float) -> None:
    """Volts from the load flow of a heater, given only its plate watts, recover the impedance."""
    tree = build_tree(Wiring.SINGLE_PHASE, [Branch("board", "source", ohm)])
    heater = FlowLoad("h", "board", 230 * plate_a, 230, (0,), LoadClass.CONSTANT_RESISTANCE)
    flow = load_flow(tree, 237, [heater])
    assert isinstance(flow, Flow)
    pair = ReadingPair(237, flow.volts("board"), load_w=230 * plate_a, load_rated_v=230)
    assert estimate_source([pair], 230).loop_ohm == pytest.approx(ohm, rel=1e-6)


@given(st.floats(0.05, 2), st.floats(190, 229), st.floats(190, 229))
def test_a_stricter_voltage_never_allows_more(ohm: float, one: float, other: float) -> None:
    """The higher the volts to keep, the less current there is to give."""
    low_v, high_v = sorted((one, other))
    assert budget(230, ohm, low_v).current_a >= budget(230, ohm, high_v).current_a
