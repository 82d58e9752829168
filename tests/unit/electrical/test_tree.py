"""Networks are checked before anything flows in them."""

import pytest

from spreadload.electrical.tree import Branch, Wiring, build_tree
from spreadload.errors import InputError


def test_every_fault_of_a_network_is_named_at_once() -> None:
    """A repeated name, an unknown parent and a negative resistance come in one error."""
    branches = [
        Branch("a", "source", 0.1),
        Branch("a", "source", 0.1),
        Branch("b", "elsewhere", 0.1),
        Branch("c", "a", -0.1),
        Branch("source", "a", 0.1),
    ]
    with pytest.raises(InputError) as caught:
        build_tree(Wiring.SINGLE_PHASE, branches)
    problems = {(fault.key, fault.problem) for fault in caught.value.faults}
    assert problems == {
        ("a", "is given twice"),
        ("b", "is fed from elsewhere, which is not given"),
        ("c", "has a negative resistance"),
        ("source", "is given twice"),
    }


def test_a_ring_is_refused() -> None:
    """Branches that feed each other are fed by nothing, and each is named."""
    branches = [Branch("a", "source", 1), Branch("b", "c", 1), Branch("c", "b", 1)]
    with pytest.raises(InputError) as caught:
        build_tree(Wiring.SINGLE_PHASE, branches)
    assert [fault.key for fault in caught.value.faults] == ["b", "c"]


def test_branches_may_come_in_any_order() -> None:
    """A branch given before its parent is still placed after it."""
    tree = build_tree(Wiring.SINGLE_PHASE, [Branch("b", "a", 1), Branch("a", "root", 1)], "root")
    assert [branch.node for branch in tree.branches] == ["a", "b"]
    assert tree.upstream.tolist() == [[1, 0], [1, 1]]


def test_an_empty_network_is_a_network() -> None:
    """No branches are no fault."""
    assert build_tree(Wiring.THREE_PHASE, []).branches == ()
