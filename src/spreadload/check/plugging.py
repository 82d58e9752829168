"""Turning one placement of a plan into amps, route and gear, each looked up once.

Thousands of what-ifs share most of their placements, so what one comes to is kept.
"""

from collections.abc import Mapping, Sequence
from typing import TypeVar

from spreadload.check.state import Plugged
from spreadload.check.wiring import Wiring
from spreadload.derived.asked import Demand
from spreadload.derived.facts import Facts
from spreadload.derived.records import BoardFacts, LeadFacts, Point
from spreadload.plan import Placement
from spreadload.words import in_setup

KEPT_PLACEMENTS = 50_000

Gear = TypeVar("Gear", LeadFacts, BoardFacts)
Key = tuple[Placement, str | None, str | None]


class Plugging:
    """Looks up what placements come to."""

    def __init__(self, facts: Facts, wiring: Wiring) -> None:
        """Start with nothing looked up."""
        self._facts = facts
        self._wiring = wiring
        self._kept: dict[Key, tuple[Plugged, tuple[str, ...]]] = {}

    def plug_in(
        self,
        demand: Demand,
        placement: Placement,
        point: Point,
        circuits_of_outlets: Mapping[str, str] | None,
    ) -> tuple[Plugged, tuple[str, ...]]:
        """Return what a placement comes to, and in words what it names that is not on the van."""
        mapped = circuits_of_outlets.get(point.outlet) if circuits_of_outlets else None
        key = (placement, demand.place, mapped)
        if key not in self._kept:
            if len(self._kept) >= KEPT_PLACEMENTS:
                self._kept.clear()
            self._kept[key] = self._worked_out(demand, placement, point, circuits_of_outlets)
        return self._kept[key]

    def _worked_out(
        self,
        demand: Demand,
        placement: Placement,
        point: Point,
        circuits_of_outlets: Mapping[str, str] | None,
    ) -> tuple[Plugged, tuple[str, ...]]:
        facts = self._facts
        poles = facts.poles_at(placement.load, point)
        strays = _strays(placement, len(facts.leads), len(facts.boards))
        plugged = Plugged(
            load=facts.loads[placement.load],
            demand=demand,
            unit=placement.unit,
            point=point,
            socket=placement.socket,
            board=_in_stock(placement.board, facts.boards),
            board_lead=_in_stock(placement.board_lead, facts.leads),
            lead=_in_stock(placement.lead, facts.leads),
            behind=self._wiring.of_point(point, circuits_of_outlets),
            route_m=0.0 if demand.place is None else facts.route_m(demand.place, point),
            poles=poles,
            unit_ma=facts.unit_ma(placement.load, poles),
            counted_ma=facts.counted_ma(demand.setup, placement.load, poles),
            has_stray_lead="lead" in strays or "board lead" in strays,
            has_stray_board="board" in strays,
        )
        return plugged, tuple(strays.values())


def _in_stock(index: int | None, stock: Sequence[Gear]) -> Gear | None:
    """Return what an index names, or None for none and for one that does not exist."""
    return None if index is None or not 0 <= index < len(stock) else stock[index]


def _strays(placement: Placement, leads: int, boards: int) -> dict[str, str]:
    """Return what a placement names that is not on the van, in words."""
    named = (
        ("lead", placement.lead, leads, "lead"),
        ("board lead", placement.board_lead, leads, "lead"),
        ("board", placement.board, boards, "power board"),
    )
    return {
        key: f"{placement.load} {placement.unit} uses {what} {index}{in_setup(placement.setup)}, "
        "which is not on the van"
        for key, index, stock, what in named
        if index is not None and not 0 <= index < stock
    }
