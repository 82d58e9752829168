"""A radial network of conductors, checked once and kept as arrays for the load flow.

Must not import anything of the project but ``errors`` and this package; numpy is allowed.
"""

from cmath import rect
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import pi
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from spreadload.errors import Fault, InputError

Complexes: TypeAlias = NDArray[np.complex128]
Floats: TypeAlias = NDArray[np.float64]
Places: TypeAlias = NDArray[np.intp]


class Wiring(StrEnum):
    """Lines of a supply besides its neutral."""

    SINGLE_PHASE = "single-phase"
    SPLIT_PHASE = "split-phase"
    THREE_PHASE = "three-phase"

    @property
    def lines(self) -> int:
        """Number of line conductors."""
        return list(Wiring).index(self) + 1

    @classmethod
    def of_lines(cls, lines: int) -> "Wiring":
        """Return the wiring of a supply of one, two or three lines."""
        return list(cls)[lines - 1]


@dataclass(frozen=True, slots=True)
class Branch:
    """A piece of cable and the node at its far end.

    Attributes:
        node: Name of the far end.
        parent: Name of the near end, or the name of the source.
        line_ohm: Impedance of each line conductor [Ω].
        neutral_ohm: Impedance of the neutral [Ω]; 0 puts a single-phase loop wholly in the line.
    """

    node: str
    parent: str
    line_ohm: complex
    neutral_ohm: complex = 0j


@dataclass(frozen=True, eq=False)
class Tree:
    """A radial network ready for the load flow; make it with ``build_tree``.

    Attributes:
        wiring: Lines of the supply.
        branches: Branches, each after the one that feeds it.
        index: Place of each node in ``branches``.
        upstream: 1 where a branch (column) lies between a node (row) and the source.
        impedance_ohm: Per branch, impedance of each line and of the neutral [Ω].
    """

    wiring: Wiring
    branches: tuple[Branch, ...]
    index: dict[str, int]
    upstream: Floats
    impedance_ohm: Complexes

    def source_phasors_v(self, source_v: float) -> Complexes:
        """Return the volts of each line and of the neutral at the source [V]."""
        lines = self.wiring.lines
        phasors = [rect(source_v, -2 * pi * line / lines) for line in range(lines)]
        return np.array([*phasors, 0], dtype=complex)


def build_tree(wiring: Wiring, branches: Sequence[Branch], source: str = "source") -> Tree:
    """Return a checked tree.

    Args:
        wiring: Lines of the supply.
        branches: Branches in any order.
        source: Name of the ideal voltage source at the root.

    Raises:
        InputError: Names repeat, a parent is unknown, a ring is closed, or a resistance is
            negative; every fault found is in it.
    """
    faults = _branch_faults(branches, source)
    if faults:
        raise InputError(faults)
    ordered = _from_source(branches, source)
    reached = {branch.node for branch in ordered}
    cut_off = [branch for branch in branches if branch.node not in reached]
    if cut_off:
        raise InputError(_fault(branch, "closes a ring, so nothing feeds it") for branch in cut_off)
    index = {branch.node: place for place, branch in enumerate(ordered)}
    upstream = np.zeros((len(ordered), len(ordered)))
    for place, branch in enumerate(ordered):
        if branch.parent != source:
            upstream[place] = upstream[index[branch.parent]]
        upstream[place, place] = 1
    impedance = [[b.line_ohm] * wiring.lines + [b.neutral_ohm] for b in ordered]
    shaped = np.array(impedance, dtype=complex).reshape(len(ordered), wiring.lines + 1)
    return Tree(wiring, tuple(ordered), index, upstream, shaped)


def _branch_faults(branches: Sequence[Branch], source: str) -> list[Fault]:
    names = [source, *(branch.node for branch in branches)]
    faults = []
    for place, branch in enumerate(branches, start=1):
        if branch.node in names[:place]:
            faults.append(_fault(branch, "is given twice"))
        if branch.parent not in names:
            faults.append(_fault(branch, f"is fed from {branch.parent}, which is not given"))
        if min(branch.line_ohm.real, branch.neutral_ohm.real) < 0:
            faults.append(_fault(branch, "has a negative resistance"))
    return faults


def _fault(branch: Branch, problem: str) -> Fault:
    return Fault(file="", line=0, key=branch.node, problem=problem)


def _from_source(branches: Sequence[Branch], source: str) -> list[Branch]:
    """Return the branches the source reaches, each after its parent."""
    fed_from: dict[str, list[Branch]] = {}
    for branch in branches:
        fed_from.setdefault(branch.parent, []).append(branch)
    ordered: list[Branch] = []
    waiting = list(fed_from.get(source, ()))
    while waiting:
        branch = waiting.pop()
        ordered.append(branch)
        waiting.extend(fed_from.get(branch.node, ()))
    return ordered
