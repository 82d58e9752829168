"""Which lead on the van would bring a head its volts."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from spreadload.check import Judge
from spreadload.check.state import Plugged, SetupState
from spreadload.check.volts import fixed, hung
from spreadload.derived.reach import REACH_NOISE_M
from spreadload.derived.records import LeadFacts
from spreadload.network.records import HouseVolts, UnitVolts


@dataclass(frozen=True, slots=True)
class LeadAdvice:
    """What a lead could do for a head that is short of volts.

    Attributes:
        name: The head in crew words.
        volts: What it gets now [V].
        min_v: What it works at [V].
        now: The lead it hangs on, or "".
        better: Smallest lead on the van that brings it there, or "".
        better_v: Volts with that lead, or with the best on the van where none is enough [V].
        outlet_v: Volts at its outlet: no lead brings more [V].
    """

    name: str
    volts: float
    min_v: float
    now: str
    better: str
    better_v: float
    outlet_v: float


def lead_advice(judge: Judge, state: SetupState, load: HouseVolts) -> Iterator[LeadAdvice]:
    """Yield what other leads would do, for every head short of volts that hangs on one."""
    if load.collapse:
        return
    for place, (unit, got) in enumerate(zip(state.plugged, load.units, strict=False)):
        if got.is_head and got.is_short and unit.lead is not None:
            yield _advice(judge, state, (place, unit, got), load)


def _advice(
    judge: Judge, state: SetupState, which: tuple[int, Plugged, UnitVolts], load: HouseVolts
) -> LeadAdvice:
    place, unit, got = which
    tried = {
        lead.index: (lead, _with_lead(judge, state, place, lead))
        for lead in judge.facts.leads
        if _would_do(unit, lead)
    }
    enough = [(lead, volts) for lead, volts in tried.values() if volts >= got.min_v]
    best = min(enough, key=lambda each: -each[0].loop_ohm, default=None)
    return LeadAdvice(
        name=f"{got.name} at {got.place}" if got.place else got.name,
        volts=got.volts,
        min_v=got.min_v,
        now=unit.lead.name if unit.lead else "",
        better=best[0].name if best else "",
        better_v=best[1] if best else max((v for _, v in tried.values()), default=got.volts),
        outlet_v=load.outlets_v.get(unit.point.outlet, got.volts),
    )


def _would_do(unit: Plugged, lead: LeadFacts) -> bool:
    """Whether a lead has the ends, the reach and the rating of the one in use."""
    now = unit.lead
    if now is None or (lead.plug, lead.socket) != (now.plug, now.socket):
        return False
    board_m = unit.board_lead.length_m if unit.board_lead else 0.0
    reach_m = unit.load.cord_m + board_m + lead.length_m
    return reach_m + REACH_NOISE_M >= unit.route_m and lead.rating_ma >= unit.unit_ma


def _with_lead(judge: Judge, state: SetupState, place: int, lead: LeadFacts) -> float:
    units = [hung(unit) for unit in state.plugged]
    units[place] = replace(units[place], lead=lead.index)
    load = judge.house.solve(state.setup, units, [fixed(w) for w in state.wired])
    return load.units[place].volts
