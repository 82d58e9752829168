"""What units take of devices above single circuits: feeds, phases and RCD amps.

Where an outlet may be on several devices, or outlets of one circuit differ, the least counts, so
that nothing proved asks too much.
"""

from collections import defaultdict
from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from spreadload.derived.asked import Demand
from spreadload.derived.facts import Facts
from spreadload.derived.points import exposure
from spreadload.solver.engine.excerpt import Ints
from spreadload.solver.large.shares import Bin, bin_of
from spreadload.solver.model import devices
from spreadload.solver.model.candidates import Options
from spreadload.solver.model.goals import BALANCE_STEP_A
from spreadload.units import FULL_PCT, MILLI

_PHASE = "phase"


@dataclass(frozen=True)
class Above:
    """One device with what it may carry and what is wired to it [mA].

    Attributes:
        setup: The set-up that it is looked at in.
        name: Its kind and name.
        limit_ma: What it may carry at all.
        wired_ma: What hard-wired loads take.
        even_ma: What it may carry when phases are even; None where that does not count.
        level_ma: What each phase may carry so that phases are sure to be even.
        takes: Per bin, what a unit of each demand takes.
    """

    setup: str
    name: Hashable
    limit_ma: int
    wired_ma: int
    even_ma: int | None
    level_ma: int | None
    takes: Mapping[Bin, Ints]

    def room_ma(self, percent: int) -> int:
        """Return what may be plugged in when it may be so full."""
        most_ma = self.limit_ma * percent // FULL_PCT
        return (most_ma if self.even_ma is None else min(most_ma, self.even_ma)) - self.wired_ma


def devices_above(
    facts: Facts, options: Options, demands: Sequence[Demand], uneven_a: int | None
) -> list[Above]:
    """Return every device above single circuits, in every set-up.

    Args:
        facts: The job, worked out.
        options: Everything each plugged-in demand may use.
        demands: What is dealt out.
        uneven_a: Amps that phases may be apart in all set-ups, beyond what counts as even; None
            where that is not held.
    """
    numbers = {demand: n for n, demand in enumerate(demands)}
    limits: dict[tuple[str, Hashable], int] = {}
    takes: dict[tuple[str, Hashable], dict[Bin, dict[int, list[int]]]] = defaultdict(
        lambda: defaultdict(lambda: defaultdict(list))
    )
    ways: dict[tuple[Bin, int], int] = defaultdict(int)
    for demand, each in options.items():
        for option in each if demand in numbers else ():
            where, n = bin_of(option), numbers[demand]
            ways[where, n] += 1
            for name, limit_ma, amount_ma in devices.taken(
                facts, option.point.exposure, option.unit_ma, option.counted_ma
            ):
                if name[0] != "circuit":  # type: ignore[index]  # a kind and a name
                    limits[demand.setup, name] = limit_ma
                    takes[demand.setup, name][where][n].append(amount_ma)
    found: list[Above] = []
    for (setup_id, name), by_bin in sorted(takes.items(), key=str):
        least: dict[Bin, Ints] = {}
        for where, by_demand in by_bin.items():
            least[where] = np.zeros(len(demands), dtype=np.int64)
            for n, amounts in by_demand.items():
                least[where][n] = min(amounts) if len(amounts) == ways[where, n] else 0
        even_ma, level_ma = _even(facts, options, setup_id, name, uneven_a)
        found.append(
            Above(
                setup_id,
                name,
                limits[setup_id, name],
                _wired_ma(facts, setup_id, name),
                even_ma,
                level_ma,
                least,
            )
        )
    return found


def _even(
    facts: Facts, options: Options, setup_id: str, name: Hashable, uneven_a: int | None
) -> tuple[int | None, int | None]:
    """Return what a phase may carry when phases are even, and so that they are sure to be."""
    lines = len(facts.supply.phases)
    if uneven_a is None or lines == 1 or name[0] != _PHASE:  # type: ignore[index]
        return None, None
    all_ma = 0
    for demand in facts.demands[setup_id]:
        if demand.circuit is None:
            each_ma = [o.unit_ma * len(o.point.exposure.phases) for o in options[demand]]
            all_ma += demand.count * max(each_ma, default=0)
        else:
            circuit = facts.circuits[demand.circuit]
            on = exposure([circuit], None, frozenset())
            all_ma += demand.count * facts.unit_ma(demand.load, circuit.poles) * len(on.phases)
    apart_ma = uneven_a * MILLI + BALANCE_STEP_A * MILLI - 1
    even_ma = (all_ma + (lines - 1) * apart_ma) // lines
    return even_ma, (all_ma + apart_ma) // lines


def _wired_ma(facts: Facts, setup_id: str, device: Hashable) -> int:
    """Return what hard-wired loads that stay on take of a device [mA]."""
    total_ma = 0
    for demand in facts.demands[setup_id]:
        if demand.circuit is None or demand.may_be_off:
            continue
        circuit = facts.circuits[demand.circuit]
        unit_ma = facts.unit_ma(demand.load, circuit.poles)
        counted_ma = facts.counted_ma(setup_id, demand.load, circuit.poles)
        on = exposure([circuit], None, frozenset())
        for name, _, amount_ma in devices.taken(facts, on, unit_ma, counted_ma):
            total_ma += demand.count * amount_ma if name == device else 0
    return total_ma
