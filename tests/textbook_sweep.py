"""A plain textbook sweep, and random networks to run it on; slow, small and written separately.

It walks the tree branch by branch with Python complex numbers and shares no code with the package
but the data classes, so it can judge the folded sweep on every wiring and every class of load.
"""

from cmath import exp, pi
from dataclasses import replace
from math import acos, tan
from random import Random

from spreadload.electrical.behaviour import LoadClass
from spreadload.electrical.loadflow import FlowLoad
from spreadload.electrical.tree import Branch, Wiring

EXPONENTS = {
    LoadClass.CONSTANT_POWER: -1.0,
    LoadClass.CONSTANT_RESISTANCE: 1.0,
    LoadClass.TUNGSTEN: 0.55,
    LoadClass.MAGNETIC_BALLAST: 1.0,
    LoadClass.MOTOR: -1.0,
}
Volts = dict[str, list[complex]]


def load_currents(load: FlowLoad, at_node: list[complex]) -> list[complex]:
    """Return the current a load draws from each conductor at its node."""
    drawn = [0j] * len(at_node)
    ends = (*load.lines, -1) if len(load.lines) == 1 else load.lines
    pairs = (
        [(ends[0], ends[1])]
        if len(ends) == 2
        else [(ends[0], ends[1]), (ends[1], ends[2]), (ends[2], ends[0])]
    )
    for out, back in pairs:
        across = at_node[out] - at_node[back]
        reactive = (-1 if load.leads else 1) * load.power_w * tan(acos(load.pf))
        rated = complex(load.power_w, reactive) / len(pairs)
        ratio = abs(across) / load.rated_v
        current = (rated * ratio ** (EXPONENTS[load.load_class] + 1) / across).conjugate()
        drawn[out] += current
        drawn[back] -= current
    return drawn


def textbook_sweep(
    wiring: Wiring, branches: list[Branch], source_v: float, loads: list[FlowLoad]
) -> tuple[Volts, float]:
    """Return the volts of every conductor at every node, and the losses [W].

    Branches must come in order, each after its parent; the source is called ``source``.
    """
    lines = list(Wiring).index(wiring) + 1
    root = [source_v * exp(-2j * pi * line / lines) for line in range(lines)] + [0j]
    volts: Volts = {"source": root} | {branch.node: list(root) for branch in branches}
    currents: Volts = {}
    for _ in range(500):
        currents = {name: [0j] * (lines + 1) for name in volts}
        for load in loads:
            drawn = load_currents(load, volts[load.node])
            currents[load.node] = [a + b for a, b in zip(currents[load.node], drawn, strict=True)]
        for branch in reversed(branches):
            through = zip(currents[branch.parent], currents[branch.node], strict=True)
            currents[branch.parent] = [a + b for a, b in through]
        furthest = 0.0
        for branch in branches:
            ohms = [branch.line_ohm] * lines + [branch.neutral_ohm]
            steps = zip(volts[branch.parent], ohms, currents[branch.node], strict=True)
            fresh = [v - z * i for v, z, i in steps]
            moved = zip(fresh, volts[branch.node], strict=True)
            furthest = max(furthest, *(abs(a - b) for a, b in moved))
            volts[branch.node] = fresh
        if furthest < 1e-10:
            break
    losses_w = sum(
        abs(current) ** 2 * ohm.real
        for branch in branches
        for ohm, current in zip(
            [branch.line_ohm] * lines + [branch.neutral_ohm], currents[branch.node], strict=True
        )
    )
    return volts, losses_w


def random_branches(random: Random, nodes: int, *, neutral: bool) -> list[Branch]:
    """Return a random radial network behind a service of a tenth to a third of an ohm."""
    branches = [Branch("n0", "source", complex(random.uniform(0.05, 0.3), 0.03), 0j)]
    for node in range(1, nodes):
        parent = f"n{random.randrange(max(0, node - 6), node)}"
        ohm = complex(random.uniform(0.01, 0.2), random.uniform(0, 0.01))
        branches.append(Branch(f"n{node}", parent, ohm))
    if not neutral:
        return branches
    scales = [random.uniform(0.8, 1.5) for _ in branches]
    return [
        replace(branch, neutral_ohm=branch.line_ohm * scale)
        for branch, scale in zip(branches, scales, strict=True)
    ]


def random_loads(
    random: Random,
    nodes: int,
    count: int,
    classes: list[LoadClass],
    lines: list[tuple[int, ...]],
    *,
    source_v: float = 230.0,
) -> list[FlowLoad]:
    """Return random loads of a house, rated at the source's volts or between its lines."""
    loads = []
    for place in range(count):
        between = random.choice(lines)
        loads.append(
            FlowLoad(
                name=f"load {place}",
                node=f"n{random.randrange(nodes)}",
                power_w=random.uniform(20, 900),
                rated_v=source_v if len(between) == 1 else source_v * 3**0.5,
                lines=between,
                load_class=random.choice(classes),
                pf=random.choice([1.0, 0.98, 0.9, 0.6]),
                leads=random.random() < 0.1,
            )
        )
    return loads
