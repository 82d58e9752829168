"""What is plugged in where in one set-up, a line for identical units; terminal and sheet set it."""

from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

from spreadload.explain.judged import JudgedPlan
from spreadload.explain.names import circuits_of, point_name, units_name
from spreadload.explain.sentences import run_words
from spreadload.units import MILLI, shown_amps

if TYPE_CHECKING:
    from spreadload.plan import Placement


@dataclass(frozen=True)
class PlugLine:
    """Identical units at one outlet.

    Attributes:
        outlet: Outlet, or a phase of a box with the outlet it stands at; ``wired`` without one.
        amps: All of them together [A], for a reader.
        run: Leads and boards on the way, or "".
    """

    outlet: str
    item: str
    place: str
    amps: str
    run: str


def lines_by_circuits(judged: JudgedPlan, setup: str) -> dict[tuple[str, ...], list[PlugLine]]:
    """Return what is on in a set-up by the circuits it might be on, outlet by outlet."""
    together: dict[tuple[str, str, str, str], list[Placement]] = defaultdict(list)
    for p in judged.by_setup[setup]:
        run = run_words(judged.facts, (p.board, p.board_lead, p.lead))
        together[p.point, p.load, p.place or "", run].append(p)
    order = {point: n for n, point in enumerate(judged.facts.points)}
    found: dict[tuple[str, ...], list[PlugLine]] = defaultdict(list)
    for key in sorted(together, key=lambda k: (order[k[0]], k)):
        point_id, load, place, run = key
        units = together[key]
        point = judged.facts.points[point_id]
        amps = shown_amps(sum(judged.unit_ma(p) for p in units) / MILLI)
        item = units_name(judged.facts, load, [p.unit for p in units])
        found[circuits_of(point)].append(PlugLine(point_name(point), item, place, amps, run))
    for demand in judged.wired(setup):
        circuit = judged.facts.circuits[demand.circuit or ""]
        unit_ma = judged.facts.unit_ma(demand.load, circuit.poles)
        amps = shown_amps(demand.count * unit_ma / MILLI)
        found[(circuit.id,)].append(PlugLine("wired", demand.load, "", amps, ""))
    return found
