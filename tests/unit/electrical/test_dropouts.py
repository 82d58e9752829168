"""Heads that drop out as the volts sag, and a broken neutral."""

import pytest

from spreadload.electrical.behaviour import LoadClass
from spreadload.electrical.dropouts import broken_neutral, settle
from spreadload.electrical.loadflow import Collapse, Flow, FlowLoad
from spreadload.electrical.tree import Branch, Wiring, build_tree

LINE = build_tree(Wiring.SINGLE_PHASE, [Branch("end", "source", 1.0)])


def head(name: str, power_w: float, min_v: float) -> FlowLoad:
    """Return a regulated head on the end of the line."""
    return FlowLoad(name, "end", power_w, 230, min_v=min_v)


def test_heads_above_their_least_volts_stay() -> None:
    """Nothing drops out while every load has its volts."""
    assert settle(LINE, 230, [head("a", 1000, 200)]).dropped == ()


def test_the_shortest_of_volts_goes_first_and_may_save_the_rest() -> None:
    """Once the fussiest head is off the others work again."""
    after = settle(LINE, 230, [head("easy", 2000, 190), head("fussy", 3000, 215)])
    assert after.dropped == ("fussy",)
    assert isinstance(after.flow, Flow)
    assert after.flow.volts("end") > 215


def test_a_collapse_is_escaped_by_dropping_out() -> None:
    """Loads with a least voltage leave a collapsing network; what is left settles."""
    after = settle(LINE, 230, [head("huge", 20000, 180), head("small", 500, 180)])
    assert "huge" in after.dropped
    assert isinstance(after.flow, Flow)


def test_a_collapse_nothing_can_leave_stays_one() -> None:
    """Loads that never let go leave a collapse."""
    assert isinstance(settle(LINE, 230, [head("huge", 20000, 0)]).flow, Collapse)


def test_resistive_loads_drop_out_only_when_told() -> None:
    """A heater without a least voltage stays at any volts."""
    heater = FlowLoad("h", "end", 9000, 230, (0,), LoadClass.CONSTANT_RESISTANCE)
    assert settle(LINE, 230, [heater]).dropped == ()


def test_a_broken_neutral_puts_two_legs_in_series() -> None:
    """1800 W and 600 W on 120 V legs share 240 V as 60 and 180 V (Ohm's law)."""
    tree = build_tree(Wiring.SPLIT_PHASE, [])
    found = broken_neutral(tree, 120, [1800, 600])
    assert found.leg_v == pytest.approx((60, 180))
    assert found.worst_v == pytest.approx(180)
    assert found.worst_pct == pytest.approx(50)


def test_a_broken_neutral_harms_nothing_when_even_or_empty() -> None:
    """Equal loads keep their volts, and so does a supply with nothing on."""
    three = build_tree(Wiring.THREE_PHASE, [])
    assert broken_neutral(three, 230, [500, 500, 500]).leg_v == pytest.approx((230,) * 3)
    assert broken_neutral(three, 230, [0, 0, 0]).worst_pct == 0


def test_one_loaded_phase_sees_nothing_worse_than_no_volts() -> None:
    """A lone load on an open neutral is simply off; the unloaded legs' volts harm nobody."""
    found = broken_neutral(build_tree(Wiring.THREE_PHASE, []), 230, [800, 0, 0])
    assert found.leg_v[0] == pytest.approx(0, abs=1e-9)
    assert found.worst_v == pytest.approx(0, abs=1e-9)
