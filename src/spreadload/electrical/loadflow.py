"""Volts, currents and losses of a radial network under load.

The method is the backward and forward sweep: currents from volts, summed towards the source; drops
from currents, taken off towards the ends; until the volts stand still. Both sweeps of one round are
linear, so they are folded once per set of loads into one matrix between the loads' own terminals,
and each round is one product with it. Rounds and answers are those of the sweep.

Must not import anything of the project but this package; numpy is allowed.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from spreadload.electrical.sweep import lowest, settle_volts, sums
from spreadload.electrical.terminals import FlowLoad, ports_of, powers_va_of, rated
from spreadload.electrical.tree import Complexes, Floats, Tree

__all__ = ["Collapse", "Flow", "FlowLoad", "load_flow"]


@dataclass(frozen=True, eq=False)
class Flow:
    """A network that found its volts.

    Attributes:
        tree: The network.
        source_v: Line-to-neutral volts of the source [V].
        node_v: Volts of each line and the neutral at each node, against the source's neutral.
        branch_a: Current in each line and the neutral of each branch, towards the loads [A].
        load_v: Lowest volts across the terminals of each load [V].
        load_w: Watts each load takes.
        loads: The loads, in that order.
        losses_w: Watts lost in the branches.
        rounds: Rounds of the sweep it took.
    """

    tree: Tree
    source_v: float
    node_v: Complexes
    branch_a: Complexes
    load_v: Floats
    load_w: Floats
    loads: tuple[FlowLoad, ...]
    losses_w: float
    rounds: int

    def volts(self, node: str, line: int = 0) -> float:
        """Return line-to-neutral volts at a node [V]."""
        at_node = self.node_v[self.tree.index[node]]
        return float(abs(at_node[line] - at_node[-1]))

    def amps(self, node: str, line: int = 0) -> float:
        """Return the current in a line of the branch that ends at a node [A]."""
        return float(abs(self.branch_a[self.tree.index[node], line]))

    def neutral_amps(self, node: str) -> float:
        """Return the current in the neutral of the branch that ends at a node [A]."""
        return float(abs(self.branch_a[self.tree.index[node], -1]))


@dataclass(frozen=True, eq=False)
class Collapse:
    """A network whose loads ask more than it can carry: a finding, not an error.

    Attributes:
        weakest: The load whose volts fell furthest.
        load_v: Volts across each load when the flow was given up; signs of trouble, no answer.
        words: The finding in plain words.
    """

    weakest: FlowLoad
    load_v: Floats
    words: str


def load_flow(tree: Tree, source_v: float, loads: Sequence[FlowLoad]) -> Flow | Collapse:
    """Return the volts, currents and losses of a network under its loads.

    Args:
        tree: The network.
        source_v: Line-to-neutral volts of the source with nothing on [V].
        loads: Loads; a load of 0 W draws nothing.

    Raises:
        KeyError: A load names a node that is not in the tree.
        IndexError: A load names a line the supply does not have.
    """
    ports = ports_of(tree, source_v, loads)
    powers_va = ports.share * powers_va_of(loads)[ports.owner]
    rated_v, exponents = rated(loads, ports)
    with np.errstate(all="ignore"):  # a collapsing flow runs through any number on its way out
        volts, amps, rounds = settle_volts(ports, powers_va, rated_v, exponents)
    if rounds < 0:
        return _collapse(loads, lowest(np.abs(volts), ports))
    branch_a = (ports.incidence @ amps).reshape(tree.impedance_ohm.shape)
    drops_v = tree.impedance_ohm * branch_a
    source = tree.source_phasors_v(source_v)
    load_va = volts * np.conj(amps)
    return Flow(
        tree=tree,
        source_v=source_v,
        node_v=source - tree.upstream @ drops_v,
        branch_a=branch_a,
        load_v=lowest(np.abs(volts), ports),
        load_w=sums(load_va.real, ports),
        loads=tuple(loads),
        losses_w=float(np.sum(drops_v * np.conj(branch_a)).real),
        rounds=rounds,
    )


def _collapse(loads: Sequence[FlowLoad], load_v: Floats) -> Collapse:
    shares = [
        volts / load.rated_v if np.isfinite(volts) else 0.0
        for volts, load in zip(load_v, loads, strict=True)
    ]
    weakest = loads[int(np.argmin(shares))]
    return Collapse(
        weakest=weakest,
        load_v=load_v,
        words="the volts collapse: these loads ask more than the cables and the supply can carry, "
        f"worst at {weakest.name}",
    )
