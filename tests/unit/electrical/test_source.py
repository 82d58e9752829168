"""Supply impedance from readings, joints and budgets."""

import pytest

from spreadload.electrical.behaviour import LoadClass
from spreadload.electrical.budget import budget
from spreadload.electrical.joints import circuit_ohm, joint_check
from spreadload.electrical.loadflow import Flow, FlowLoad, load_flow
from spreadload.electrical.source import (
    ReadingPair,
    Strength,
    assumed_loop_ohm,
    estimate_source,
)
from spreadload.electrical.tree import Branch, Wiring, build_tree


def test_one_good_pair_measures_a_supply() -> None:
    """238.0 V idle and 229.5 V with 10.2 A is 0.833 ohm, with a tenth of it in doubt."""
    found = estimate_source([ReadingPair(238.0, 229.5, 10.2)], 230)
    assert found.loop_ohm == pytest.approx(0.8333, abs=1e-4)
    assert found.low_ohm < 0.75
    assert found.high_ohm > 0.9
    assert found.strength is Strength.MEASURED
    assert found.notes == ()


def test_watts_stand_in_for_amps() -> None:
    """A 2400 W heater rated at 240 V draws 9 A at 216 V, and a regulated load more."""
    heater = ReadingPair(225, 216, load_w=2400, load_rated_v=240)
    assert heater.amps_a == pytest.approx(9)
    driver = ReadingPair(
        225, 216, load_w=2400, load_rated_v=240, load_class=LoadClass.CONSTANT_POWER
    )
    assert driver.amps_a == pytest.approx(2400 / 216)
    assert ReadingPair(225, 216, load_w=2160).amps_a == pytest.approx(10)


def test_idle_only_is_assumed_and_said_to_be() -> None:
    """An idle reading alone gives the reference impedance, wide doubt and a plain note."""
    found = estimate_source([ReadingPair(241)], 230)
    assert found.strength is Strength.ASSUMED
    assert found.idle_v == 241
    assert found.loop_ohm == assumed_loop_ohm(230) == 0.47
    assert assumed_loop_ohm(120) < 0.47
    assert "241 V idle only" in found.notes[0]


def test_no_reading_at_all_takes_nominal_volts() -> None:
    """Without readings the nominal voltage and the assumed impedance stand."""
    found = estimate_source([], 120)
    assert (found.idle_v, found.strength) == (120, Strength.ASSUMED)


def test_a_small_load_is_called_weak() -> None:
    """A lamp's worth of current cannot measure a service."""
    found = estimate_source([ReadingPair(231, 230.8, 0.5)], 230)
    assert found.strength is Strength.WEAK
    assert "too small" in found.notes[0]


def test_odd_readings_are_left_out_and_named() -> None:
    """Volts that rise under load and unknown loads become notes; the good pair still counts."""
    found = estimate_source(
        [
            ReadingPair(230, 235, 10),
            ReadingPair(230, 222),
            ReadingPair(232, 224, 10),
        ],
        230,
    )
    assert found.used == 1
    assert found.loop_ohm == pytest.approx(0.8)
    assert found.idle_v == 230
    assert any("supply moved" in note for note in found.notes)
    assert any("not known" in note for note in found.notes)


def test_pairs_that_disagree_widen_the_doubt() -> None:
    """The scatter of several pairs is believed over the assumed drift."""
    agreeing = estimate_source([ReadingPair(230, 222, 10), ReadingPair(231, 223, 10)], 230)
    scattered = estimate_source([ReadingPair(230, 226, 10), ReadingPair(231, 219, 10)], 230)
    assert agreeing.loop_ohm == pytest.approx(scattered.loop_ohm)
    assert scattered.high_ohm > agreeing.high_ohm


def test_the_circuit_is_what_the_outlet_has_over_the_board() -> None:
    """Two points give the wiring between them, never below nothing."""
    board = estimate_source([ReadingPair(230, 225, 10)], 230)
    outlet = estimate_source([ReadingPair(230, 221, 10)], 230)
    likely, low, high = circuit_ohm(outlet, board)
    assert likely == pytest.approx(0.4)
    assert low < likely < high
    assert circuit_ohm(board, outlet)[:2] == (0, 0)


def test_a_joint_that_reads_like_a_long_cable_is_flagged() -> None:
    """0.9 ohm on 15 m of 2.5 mm² reads like 50 m or more; 0.27 ohm is the cable itself."""
    bad = joint_check(0.9, 0.1, "2.5", 15)
    assert bad.is_suspect
    assert bad.reads_like_m == pytest.approx(50.8, abs=0.1)
    assert "licensed electrician" in bad.words
    good = joint_check(0.27, 0.1, "2.5", 15)
    assert not good.is_suspect
    assert good.words == ""
    assert not joint_check(0.9, 0.7, "2.5", 15).is_suspect


def test_the_budget_is_the_current_that_leaves_the_chosen_volts() -> None:
    """Behind 0.8 ohm, 232 V idle leaves 207 V at 31.25 A, whatever the fuse says."""
    found = budget(232, 0.8, 207)
    assert found.current_a == pytest.approx(31.25)
    assert found.power_w == pytest.approx(31.25 * 207)


def test_the_budget_on_plates_depends_on_the_class() -> None:
    """At sagging volts regulated loads draw above their plate and heaters below it."""
    drivers = budget(232, 0.8, 207, rated_v=230)
    heaters = budget(232, 0.8, 207, rated_v=230, load_class=LoadClass.CONSTANT_RESISTANCE)
    assert drivers.plate_a == pytest.approx(31.25 * 207 / 230)
    assert heaters.plate_a == pytest.approx(31.25 * 230 / 207)


@pytest.mark.parametrize("pf", [1.0, 0.9, 0.6])
def test_the_budget_is_the_load_flow_read_backwards(pf: float) -> None:
    """A load of the budget's watts brings the volts to the chosen figure exactly."""
    loop = 0.6 + 0.3j
    found = budget(235, loop, 210, pf=pf)
    tree = build_tree(Wiring.SINGLE_PHASE, [Branch("end", "source", loop)])
    flow = load_flow(tree, 235, [FlowLoad("l", "end", found.power_w, 230, pf=pf)])
    assert isinstance(flow, Flow)
    assert flow.volts("end") == pytest.approx(210, abs=1e-6)


def test_no_room_no_budget() -> None:
    """Idle volts at or below the chosen figure leave nothing; no impedance leaves no limit."""
    assert budget(205, 0.5, 207).current_a == 0
    assert budget(230, 0, 207).current_a == float("inf")
