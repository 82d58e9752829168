"""Which loads drop out as the volts sag, and what a broken neutral would do.

Must not import anything of the project but this package.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import isfinite

from spreadload.electrical.loadflow import Collapse, Flow, FlowLoad, load_flow
from spreadload.electrical.tree import Tree


@dataclass(frozen=True, eq=False)
class Settled:
    """A network after every load that cannot work has dropped out.

    Attributes:
        flow: The flow of what stays on, or a collapse that nothing can escape by dropping out.
        dropped: Names of the loads that dropped out, first to go first.
    """

    flow: Flow | Collapse
    dropped: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class BrokenNeutral:
    """Volts across each leg if the shared neutral came loose.

    Attributes:
        leg_v: Volts across each leg [V].
        worst_v: The highest of them [V].
        worst_pct: The highest over the ordinary volts [% above].
    """

    leg_v: tuple[float, ...]
    worst_v: float
    worst_pct: float


def settle(tree: Tree, source_v: float, loads: Sequence[FlowLoad]) -> Settled:
    """Return the network after loads below their least volts have gone, worst first, one by one.

    Real heads may come back as the volts recover and hunt on and off; the first to go is the one
    to watch.
    """
    staying = list(loads)
    dropped: list[str] = []
    while True:
        flow = load_flow(tree, source_v, staying)
        # The volts of a collapse are signs of trouble: whichever loads can go out, do.
        is_lost = isinstance(flow, Collapse)
        short = [
            (volts / load.min_v if isfinite(volts) else 0.0, place)
            for place, (load, volts) in enumerate(zip(staying, flow.load_v, strict=True))
            if load.min_v > 0 and load.power_w > 0 and (is_lost or not volts >= load.min_v)
        ]
        if not short:
            return Settled(flow, tuple(dropped))
        place = min(short)[1]
        dropped.append(staying[place].name)
        staying[place] = replace(staying[place], power_w=0.0)


def broken_neutral(tree: Tree, source_v: float, leg_powers_va: Sequence[complex]) -> BrokenNeutral:
    """Return an estimate of the volts across each leg with the neutral open.

    Args:
        tree: The network; only its wiring is used.
        source_v: Line-to-neutral volts [V].
        leg_powers_va: Load from each line to neutral, watts and reactive volt-amps as one number.

    Source:
        Millman's theorem with loads as fixed impedances at nominal volts.

    Assumes:
        Regulated loads would change their draw, so this is a warning figure, not a prediction.
    """
    source = tree.source_phasors_v(source_v)[:-1]
    admittances = [power.conjugate() / source_v**2 for power in leg_powers_va]
    total = sum(admittances, start=0j)
    if not abs(total):
        return BrokenNeutral((source_v,) * len(source), source_v, 0.0)
    star_v = sum((e * y for e, y in zip(source, admittances, strict=True)), start=0j) / total
    leg_v = tuple(float(abs(volts - star_v)) for volts in source)
    loaded = [volts for volts, load in zip(leg_v, leg_powers_va, strict=True) if abs(load)]
    worst_v = max(loaded)
    return BrokenNeutral(leg_v, worst_v, 100 * (worst_v / source_v - 1))
