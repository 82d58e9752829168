"""What is counted already is no decision of its own."""

from builders import amps, outlet, small_job
from spreadload.derived.facts import Facts
from spreadload.solver.model.devices import stakes
from spreadload.solver.model.rules import RULES
from spreadload.solver.model.variables import Variables


def decided(**changes: object) -> Variables:
    """Return the decisions and rules of the small flat with some entries replaced."""
    v = Variables.of(Facts.of(small_job(**changes)), told_apart=None)
    for rule in RULES:
        rule(v)
    return v


def test_units_on_a_circuit_with_one_outlet_are_those_at_the_outlet() -> None:
    """Each circuit of the flat has one outlet, so how many units are on it is told there."""
    v = decided()
    assert {x.index for x in v.spread.values()} == {x.index for x in v.at.values()}


def test_units_on_a_circuit_with_two_outlets_are_added_up_once() -> None:
    """P1 feeds two outlets and P2 one: three counts at outlets, and one more for P1."""
    outlets = {"O1": outlet("P1"), "O2": outlet("P2"), "O3": outlet("P1")}
    v = decided(outlets=outlets)
    added = {x.index for x in v.spread.values()} - {x.index for x in v.at.values()}
    assert (len(v.at), len(v.spread), len(added)) == (3, 2, 1)


def test_where_units_can_only_be_straight_that_is_no_decision() -> None:
    """Without power boards there is one way in; then no rule is needed to say so either."""
    v = decided()
    assert {where: x.index for where, x in v.straight.items()} == {
        where: x.index for where, x in v.at.items()
    }
    assert (v.boarded, v.remote) == ({}, {})


def test_where_units_may_be_on_a_board_those_in_a_socket_are_counted_apart() -> None:
    """With a board that may lie at the outlet, straight is one way of two."""
    v = decided(power_boards=[{"ways": 4, "count": 1}], heads={"lamp": amps(1.0)})
    assert v.boarded
    assert not {x.index for x in v.straight.values()} & {x.index for x in v.at.values()}


def test_what_is_on_in_a_set_up_is_worked_out_once() -> None:
    """Rules and goals ask for it a dozen times in each model."""
    v = decided()
    assert [stake.demand.load for stake in stakes(v, "SU1")] == ["lamp", "lamp"]
    assert stakes(v, "SU1") is stakes(v, "SU1")
