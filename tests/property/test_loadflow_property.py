"""What holds of every load flow, and agreement with a separate textbook sweep."""

from math import sqrt
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spreadload.electrical.behaviour import LoadClass
from spreadload.electrical.loadflow import Collapse, Flow, FlowLoad, load_flow
from spreadload.electrical.tree import Branch, Wiring, build_tree
from textbook_sweep import random_branches, random_loads, textbook_sweep

LINES: dict[Wiring, list[tuple[int, ...]]] = {
    Wiring.SINGLE_PHASE: [(0,)],
    Wiring.SPLIT_PHASE: [(0,), (1,), (0, 1)],
    Wiring.THREE_PHASE: [(0,), (1,), (2,), (0, 1), (1, 2), (2, 0), (0, 1, 2)],
}
WIRINGS = st.sampled_from(Wiring)
SEEDS = st.integers(0, 10**9)


def network(wiring: Wiring, seed: int) -> tuple[list[Branch], list[FlowLoad]]:
    """Return a random network of a house and its loads, of every class and connection."""
    random = Random(seed)
    nodes = random.randint(1, 25)
    branches = random_branches(random, nodes, neutral=random.random() < 0.8)
    count = random.randint(1, 12)
    return branches, random_loads(random, nodes, count, list(LoadClass), LINES[wiring])


def flow_of(wiring: Wiring, branches: list[Branch], loads: list[FlowLoad]) -> Flow | Collapse:
    """Return our flow at 230 V."""
    return load_flow(build_tree(wiring, branches), 230, loads)


@settings(max_examples=150)
@given(WIRINGS, SEEDS)
def test_volts_and_losses_are_those_of_the_textbook(wiring: Wiring, seed: int) -> None:
    """The folded sweep and a branch-by-branch one find the same volts, losses and neutrals."""
    branches, loads = network(wiring, seed)
    flow = flow_of(wiring, branches, loads)
    assert isinstance(flow, Flow)
    volts, losses_w = textbook_sweep(wiring, branches, 230, loads)
    for branch in branches:
        at_node = volts[branch.node]
        for line in range(wiring.lines):
            theirs_v = abs(at_node[line] - at_node[-1])
            assert flow.volts(branch.node, line) == pytest.approx(theirs_v, abs=1e-6)
    assert flow.losses_w == pytest.approx(losses_w, rel=1e-8, abs=1e-8)


@settings(max_examples=100)
@given(WIRINGS, SEEDS)
def test_power_in_is_loads_and_losses(wiring: Wiring, seed: int) -> None:
    """The source gives what the loads take and the cables lose, and no more."""
    branches, loads = network(wiring, seed)
    flow = flow_of(wiring, branches, loads)
    assert isinstance(flow, Flow)
    leaving_a = sum(
        flow.branch_a[flow.tree.index[b.node]] for b in branches if b.parent == "source"
    )
    source_w = float((flow.tree.source_phasors_v(230) * leaving_a.conjugate()).sum().real)
    assert source_w == pytest.approx(float(flow.load_w.sum()) + flow.losses_w, rel=1e-7)
    assert flow.losses_w >= 0


@settings(max_examples=100)
@given(SEEDS, st.floats(1, 2000))
def test_another_load_never_raises_single_phase_volts(seed: int, power_w: float) -> None:
    """On one phase a further load lowers every other, or at best leaves it."""
    branches, loads = network(Wiring.SINGLE_PHASE, seed)
    plain = [FlowLoad(x.name, x.node, x.power_w, 230, (0,), x.load_class) for x in loads]
    before = flow_of(Wiring.SINGLE_PHASE, branches, plain)
    more = [*plain, FlowLoad("more", branches[-1].node, power_w, 230)]
    after = flow_of(Wiring.SINGLE_PHASE, branches, more)
    assert isinstance(before, Flow)
    if isinstance(after, Flow):
        assert all(after.load_v[:-1] <= before.load_v + 1e-6)


@settings(max_examples=200)
@given(st.floats(0.01, 3), st.floats(0, 1), st.floats(0.01, 1.5), st.floats(0.5, 1))
def test_two_bus_constant_power_is_its_quadratic(
    resistance: float, reactance: float, share: float, pf: float
) -> None:
    """At any share of the most a line can carry the volts are the larger root, or collapse."""
    reactive_share = sqrt(1 / pf**2 - 1)
    along = resistance + reactance * reactive_share
    size = sqrt((resistance**2 + reactance**2) * (1 + reactive_share**2))
    most_w = 230**2 / (2 * (along + size))
    power_w = share * most_w
    tree = build_tree(
        Wiring.SINGLE_PHASE, [Branch("end", "source", complex(resistance, reactance))]
    )
    flow = load_flow(tree, 230, [FlowLoad("l", "end", power_w, 230, pf=pf)])
    if share > 1.001:
        assert isinstance(flow, Collapse)
    elif share < 0.999:
        assert isinstance(flow, Flow)
        half = (230**2 - 2 * power_w * along) / 2
        root = sqrt(max(0, half**2 - (power_w * size) ** 2))
        assert flow.volts("end") == pytest.approx(sqrt(half + root), abs=1e-5)
