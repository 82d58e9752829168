"""Loads as pairs of terminals, and a network as those terminals see it.

Must not import anything of the project but this package; numpy is allowed.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import acos, tan

import numpy as np

from spreadload.electrical.behaviour import LoadClass, current_exponent
from spreadload.electrical.tree import Complexes, Floats, Places, Tree


@dataclass(frozen=True, slots=True)
class FlowLoad:
    """A load at a node.

    Attributes:
        name: Name for the reader.
        node: Node it hangs on.
        power_w: Watts at its rated voltage.
        rated_v: Rated volts across its own terminals [V].
        lines: Lines it is connected to, from 0: one, to neutral; two, between them; three, a
            balanced three-phase load without neutral.
        load_class: What it does when the voltage changes.
        pf: Power factor.
        leads: The power factor is leading.
        min_v: It drops out below so many volts at its terminals [V]; 0 where it does not.
    """

    name: str
    node: str
    power_w: float
    rated_v: float
    lines: tuple[int, ...] = (0,)
    load_class: LoadClass = LoadClass.CONSTANT_POWER
    pf: float = 1.0
    leads: bool = False
    min_v: float = 0.0


@dataclass(frozen=True, eq=False)
class Ports:
    """Pairs of terminals of a set of loads, and the network as seen from them.

    Attributes:
        owner: The load each pair belongs to; pairs of one load stand together.
        first: The first pair of each load.
        share: The share of its load each pair carries.
        incidence: Per conductor of each branch, the pairs whose current it carries, with sign.
        impedance_ohm: Volts lost at one pair (row) per amp drawn at another (column) [Ω].
        open_v: Volts at each pair with nothing on [V].
    """

    owner: Places
    first: Places
    share: Floats
    incidence: Complexes
    impedance_ohm: Complexes
    open_v: Complexes


def powers_va_of(loads: Sequence[FlowLoad]) -> Complexes:
    """Return the complex power of each load at its rated voltage."""
    signs = [-1 if load.leads else 1 for load in loads]
    return np.array(
        [
            complex(load.power_w, sign * load.power_w * tan(acos(min(1.0, load.pf))))
            for load, sign in zip(loads, signs, strict=True)
        ],
        dtype=complex,
    )


def rated(loads: Sequence[FlowLoad], ports: Ports) -> tuple[Floats, Floats]:
    """Return rated volts and the power of the voltage that watts follow, per port."""
    rated_v = np.array([load.rated_v for load in loads], dtype=float)
    exponents = np.array([current_exponent(load.load_class) + 1 for load in loads], dtype=float)
    return rated_v[ports.owner], exponents[ports.owner]


def ports_of(tree: Tree, source_v: float, loads: Sequence[FlowLoad]) -> Ports:
    """Return the pairs of terminals of the loads and the network as seen from them."""
    pairs = [(place, *pair) for place, load in enumerate(loads) for pair in _pairs(load.lines)]
    owner = np.array([place for place, _, _ in pairs], dtype=np.intp)
    nodes = [tree.index[loads[place].node] for place, _, _ in pairs]
    branches, conductors = tree.impedance_ohm.shape
    incidence = np.zeros((branches, conductors, len(pairs)), dtype=complex)
    source = tree.source_phasors_v(source_v)
    for port, ((_, out, back), node) in enumerate(zip(pairs, nodes, strict=True)):
        if max(out, back) >= conductors - 1:
            message = f"{loads[owner[port]].name} is on a line the supply does not have"
            raise IndexError(message)
        incidence[:, out, port] += tree.upstream[node]
        incidence[:, back, port] -= tree.upstream[node]
    flat = incidence.reshape(branches * conductors, len(pairs))
    ends = [(out, back) for _, out, back in pairs]
    return Ports(
        owner=owner,
        first=np.searchsorted(owner, np.arange(len(loads))),
        share=np.array([1 / len(_pairs(loads[place].lines)) for place in owner], dtype=float),
        incidence=flat,
        impedance_ohm=flat.T @ (tree.impedance_ohm.reshape(-1, 1) * flat),
        open_v=np.array([source[out] - source[back] for out, back in ends], dtype=complex),
    )


def _pairs(lines: tuple[int, ...]) -> tuple[tuple[int, int], ...]:
    """Return the pairs of conductors a load sits between; the neutral is the last conductor."""
    match lines:
        case (line,):
            return ((line, -1),)
        case (line, other):
            return ((line, other),)
        case _:
            return tuple(zip(lines, (*lines[1:], lines[0]), strict=True))
