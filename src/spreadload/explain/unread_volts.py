"""What the volts might do where nobody read them: told with the plan, never held against it."""

from dataclasses import dataclass

from spreadload.check.volts import under_load
from spreadload.explain.judged import JudgedPlan
from spreadload.network.records import HouseVolts, UnitVolts
from spreadload.units import tenths_down, tenths_up
from spreadload.words import count_of, in_setup, setup_name

_HOW = "read the board idle and with a kettle on"


@dataclass(frozen=True, slots=True)
class Unread:
    """What nobody knows of the volts.

    Attributes:
        text: The whole of it, without a full stop.
        brief: The same in a few words for paper.
        is_short: Whether a head would get too little on the supply that is assumed.
    """

    text: str
    brief: str
    is_short: bool


def unread_volts(judged: JudgedPlan) -> Unread | None:
    """Return what the volts might do on the supply that is assumed.

    None where they were read under a known load, or nothing is lit.
    """
    house = judged.judge.house
    if house.has_readings:
        return None
    loads = [under_load(house, state) for state in judged.judge.states(judged.plan)]
    lit = [(load, load.lowest) for load in loads if any(unit.is_head for unit in load.units)]
    if not lit:
        return None
    supposed = f"were the supply the {house.service.ohm:.2g} Ω that is assumed"
    likelier = ""
    if judged.facts.is_left_to_maps:
        supposed += ", and the wiring as good as it may be"
        likelier = "; on the likeliest wiring, which `sag` goes by, it may be worse"
    lost = [load for load in loads if load.collapse or load.short]
    if lost:
        worst = next((load for load in lost if load.collapse), lost[0])
        worst = worst if worst.collapse else min(lost, key=_shortfall_v)
        text = f"volts under load, not read: {supposed}, {_short(worst)}{likelier}; {_HOW}"
        return Unread(text, f"volts not read, may be too few for heads; {_HOW}", is_short=True)
    load, lowest = min(lit, key=lambda each: each[1].volts if each[1] else each[0].board_v)
    at = "" if lowest is None else f" at {_named(lowest)}"
    least_v = load.board_v if lowest is None else lowest.volts
    least = f"{tenths_down(least_v)} V{at}{in_setup(load.setup)}"
    text = f"not read under load: {supposed}, the least would be {least}{likelier}; {_HOW}"
    return Unread(text, "not read under load", is_short=False)


def _shortfall_v(load: HouseVolts) -> float:
    return min(unit.volts - unit.min_v for unit in load.short)


def _short(load: HouseVolts) -> str:
    if load.collapse:
        return f"in {setup_name(load.setup)} {load.collapse}"
    worst = min(load.short, key=lambda unit: unit.volts - unit.min_v)
    rest = len(load.short) - 1
    more = f", and {count_of(rest, 'more head')} too little as well" if rest else ""
    return (
        f"{_named(worst)} would get {tenths_down(worst.volts)} V{in_setup(load.setup)} of "
        f"the {tenths_up(worst.min_v)} V it works from{more}"
    )


def _named(unit: UnitVolts) -> str:
    return f"{unit.load} at {unit.place}" if unit.place else unit.load
