"""The load flow on networks small enough to work by hand."""

from math import sqrt

import pytest

from spreadload.electrical.behaviour import LoadClass
from spreadload.electrical.loadflow import (
    Collapse,
    Flow,
    FlowLoad,
    load_flow,
)
from spreadload.electrical.tree import Branch, Tree, Wiring, build_tree

RESISTIVE = LoadClass.CONSTANT_RESISTANCE


def two_bus(ohm: complex) -> Tree:
    """Return a source and one node behind an impedance."""
    return build_tree(Wiring.SINGLE_PHASE, [Branch("end", "source", ohm)])


def solved(flow: Flow | Collapse) -> Flow:
    """Return a flow that found its volts."""
    assert isinstance(flow, Flow)
    return flow


def test_constant_power_is_the_larger_root_of_a_quadratic() -> None:
    """3 kW at 0.9 behind 0.5 + j0.02 ohm on 230 V: 223.128 V, 111.589 W lost, 14.939 A.

    With P and Q of the load, V² is the larger root of V⁴ + (2(RP + XQ) - E²)V² + |Z|²|S|² = 0.
    """
    flow = solved(load_flow(two_bus(0.5 + 0.02j), 230, [FlowLoad("l", "end", 3000, 230, pf=0.9)]))
    reactive = 3000 * sqrt(1 / 0.81 - 1)
    half = (230**2 - 2 * (0.5 * 3000 + 0.02 * reactive)) / 2
    product_va = abs(0.5 + 0.02j) ** 2 * (3000**2 + reactive**2)
    assert flow.volts("end") == pytest.approx(sqrt(half + sqrt(half**2 - product_va)), abs=1e-7)
    assert flow.volts("end") == pytest.approx(223.128, abs=5e-4)
    assert flow.losses_w == pytest.approx(111.589, abs=5e-4)
    assert flow.amps("end") == pytest.approx(14.939, abs=5e-4)


def test_constant_resistance_divides_the_volts() -> None:
    """A heater of 23 ohm behind 1 ohm takes 23/24 of the volts."""
    flow = solved(load_flow(two_bus(1), 240, [FlowLoad("l", "end", 2300, 230, (0,), RESISTIVE)]))
    assert flow.volts("end") == pytest.approx(230)
    assert flow.load_w[0] == pytest.approx(2300)
    assert flow.load_v[0] == pytest.approx(230)


@pytest.mark.parametrize("load_class", LoadClass)
def test_a_load_at_its_rated_volts_takes_its_rated_watts(load_class: LoadClass) -> None:
    """Without impedance every class draws its plate."""
    flow = solved(load_flow(two_bus(0), 230, [FlowLoad("l", "end", 1000, 230, (0,), load_class)]))
    assert flow.load_w[0] == pytest.approx(1000)
    assert flow.losses_w == 0


def test_more_than_the_line_can_carry_is_a_finding() -> None:
    """Behind 1 ohm no more than E²/4R = 13.2 kW can be had; past it the volts collapse."""
    most_w = 230**2 / 4
    loads = [FlowLoad("small", "end", 1, 230), FlowLoad("big", "end", 0.999 * most_w, 230)]
    assert isinstance(load_flow(two_bus(1), 230, loads), Flow)
    over = [FlowLoad("big", "end", 1.001 * most_w, 230)]
    finding = load_flow(two_bus(1), 230, over)
    assert isinstance(finding, Collapse)
    assert finding.weakest.name == "big"
    assert "collapse" in finding.words


def test_a_load_near_a_short_still_settles() -> None:
    """A resistance below that of its cable is solved by smaller steps, not called a collapse."""
    flow = load_flow(two_bus(2), 230, [FlowLoad("l", "end", 230**2, 230, (0,), RESISTIVE)])
    assert solved(flow).volts("end") == pytest.approx(230 / 3)


def test_a_dead_short_is_a_finding_too() -> None:
    """A resistance of a twentieth of its cable leaves no useful volts and is called a collapse."""
    flow = load_flow(two_bus(20), 230, [FlowLoad("l", "end", 230**2, 230, (0,), RESISTIVE)])
    assert isinstance(flow, Collapse)


def test_nothing_on_leaves_the_volts_alone() -> None:
    """No loads, and loads of nothing, leave every node at the source's volts."""
    for loads in ([], [FlowLoad("off", "end", 0, 230)]):
        flow = solved(load_flow(two_bus(1), 231, loads))
        assert flow.volts("end") == 231
        assert flow.losses_w == 0


def four_wire(wiring: Wiring) -> Tree:
    """Return a service, a board and two circuits with a neutral of their own."""
    branches = [
        Branch("far", "board", 0.4, 0.4),
        Branch("near", "board", 0.2, 0.2),
        Branch("board", "source", 0.1, 0.1),
    ]
    return build_tree(wiring, branches)


def test_equal_phases_leave_the_neutral_empty() -> None:
    """Three equal loads on three phases give no neutral current and a third of the loop drop."""
    loads = [FlowLoad(str(line), "far", 1000, 230, (line,), pf=0.8) for line in range(3)]
    flow = solved(load_flow(four_wire(Wiring.THREE_PHASE), 230, loads))
    assert flow.neutral_amps("board") == pytest.approx(0, abs=1e-6)
    assert flow.volts("far", 0) == pytest.approx(flow.volts("far", 2))


def test_one_loaded_phase_returns_in_the_neutral() -> None:
    """The neutral of one loaded phase carries the phase current, and the idle phases rise."""
    flow = solved(
        load_flow(four_wire(Wiring.THREE_PHASE), 230, [FlowLoad("l", "far", 2000, 230, (1,))])
    )
    assert flow.neutral_amps("far") == pytest.approx(flow.amps("far", 1))
    assert flow.amps("far", 0) == 0
    assert flow.volts("far", 0) > 230 > flow.volts("far", 1)


def test_equal_legs_share_no_neutral() -> None:
    """Equal loads on two legs leave the neutral empty; a load between lines never uses it."""
    tree = four_wire(Wiring.SPLIT_PHASE)
    legs = [FlowLoad("a", "far", 900, 120, (0,)), FlowLoad("b", "far", 900, 120, (1,))]
    flow = solved(load_flow(tree, 120, legs))
    assert flow.neutral_amps("board") == pytest.approx(0, abs=1e-6)
    between = FlowLoad("range", "near", 4800, 240, (0, 1), RESISTIVE)
    flow = solved(load_flow(tree, 120, [between]))
    assert flow.neutral_amps("near") == 0
    assert flow.load_v[0] == pytest.approx(240 * 12 / 12.6)


def test_a_three_phase_motor_takes_a_third_from_each_pair() -> None:
    """A balanced three-phase load draws P/(√3·V·pf) in each line and leaves the neutral empty."""
    tree = build_tree(Wiring.THREE_PHASE, [Branch("m", "source", 0, 0)])
    flow = solved(
        load_flow(tree, 230, [FlowLoad("m", "m", 4000, 230 * sqrt(3), (0, 1, 2), pf=0.8)])
    )
    for line in range(3):
        assert flow.amps("m", line) == pytest.approx(4000 / (3 * 230 * 0.8))
    assert flow.neutral_amps("m") == pytest.approx(0, abs=1e-9)


def test_a_load_must_name_a_node_and_lines_that_exist() -> None:
    """A wrong node or line is refused, never read as another."""
    with pytest.raises(KeyError, match="nowhere"):
        load_flow(two_bus(1), 230, [FlowLoad("l", "nowhere", 1, 230)])
    with pytest.raises(IndexError, match="l is on a line"):
        load_flow(two_bus(1), 230, [FlowLoad("l", "end", 1, 230, (1,))])
    with pytest.raises(IndexError, match="l is on a line"):
        load_flow(four_wire(Wiring.SPLIT_PHASE), 230, [FlowLoad("l", "far", 1, 230, (0, 2))])
