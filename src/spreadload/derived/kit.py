"""The kit worked out: what each load counts as, what each lead and power board may carry."""

from dataclasses import replace
from math import ceil, floor

from spreadload import practice
from spreadload.derived.draw import Band, LoadDraw, draw_of
from spreadload.derived.records import BoardFacts, BoxFacts, LeadFacts, LoadFacts, SupplyFacts
from spreadload.derived.supply import rcd_limits
from spreadload.electrical import conductors, cords
from spreadload.electrical.cords import CordFamily
from spreadload.job.job import Job
from spreadload.job.kit import Draw, Head, Lead, Load, LoadKind, PowerBoard
from spreadload.units import (
    MILLI,
    capacity_milliamps,
    demand_microamps,
    demand_milliamps,
    demand_watts,
)

PRIORITY_STEP = 4
LOWEST_PRIORITY = 9
_HUNDRED_W = 100


def load_facts(job: Job, supply: SupplyFacts) -> dict[str, LoadFacts]:
    """Return every head, department's load and house load of the job by id."""
    loads: dict[str, Head | Load] = {**job.heads, **job.departments, **job.house}
    return {
        load_id: facts_of(job, supply, load_id, load, is_department=load_id in job.departments)
        for load_id, load in loads.items()
    }


def facts_of(
    job: Job, supply: SupplyFacts, load_id: str, load: Head | Load, *, is_department: bool
) -> LoadFacts:
    """Return one kind of load ready to be counted."""
    drawn = _held_to_its_plug(job, load, draw_of(load, supply.planning_v), supply.planning_v)
    drawn = _held_to_its_way(job, load, drawn, supply)
    per_pole = tuple(
        demand_milliamps(drawn.current_a(poles, supply.planning_v, supply.line_to_line_v).worst)
        for poles in (1, 2, 3)
    )
    plug = load.plug or usual_plug(job.region, per_pole[0])
    leakage_ma, leakage_source = _leakage(load)
    return LoadFacts(
        id=load_id,
        what=load.what or load_id,
        is_head=isinstance(load, Head),
        count=load.count,
        draw=drawn,
        unit_ma=(0, per_pole[0], per_pole[1], per_pole[2]),
        power_w=demand_watts(drawn.power_w.worst),
        leakage_ua=demand_microamps(leakage_ma),
        leakage_source=leakage_source,
        plug=plug,
        plug_ma=plug_ma(plug),
        plug_is_assumed=load.plug is None,
        cord_m=_cord_m(load),
        is_big_discharge=isinstance(load, Head) and _is_big(load, drawn, job),
        is_heat=_is_heat(load),
        is_department_heat=is_department and _is_heat(load),
        is_intermittent=isinstance(load, Load) and load.intermittent,
        may_fill_socket=_may_fill_socket(job, load, plug),
        replug_cost=1 + _cool_down_min(load),
        left_out_cost=_left_out_cost(load, drawn),
        priority=load.priority if isinstance(load, Head) else 0,
    )


def _held_to_its_plug(job: Job, load: Head | Load, drawn: LoadDraw, planning_v: float) -> LoadDraw:
    """Return what a heat-maker on an ordinary plug draws: no more than that is made for.

    Its plate watts over planning volts come out a little above the everyday plug's rating, because
    plates state the watts at the top of a range of volts.
    """
    region = practice.region(job.region)
    is_plugged = load.plug in (None, region.ordinary_plug) and not _is_wired(load)
    if region.ordinary_plug_w is None or load.plate_w is None or not is_plugged:
        return drawn
    rated_a = practice.plug(region.ordinary_plug).rated_a
    is_sold_with_it = _is_resistive(drawn) and load.plate_w <= region.ordinary_plug_w.value
    if not is_sold_with_it or load.plate_w / planning_v <= rated_a:
        return drawn
    return replace(
        drawn,
        apparent_va=None,
        stated_a=Band(rated_a, rated_a, rated_a),
        source=f"{drawn.source}, taken to come with an ordinary plug and to keep to its "
        f"{rated_a:g} A",
        is_assumed=True,
    )


def _may_fill_socket(job: Job, load: Head | Load, plug: str) -> bool:
    """Whether a load is a heat-maker on the everyday plug that runs for minutes.

    A share of the socket is kept free for what burns for hours. Kettles and hair dryers are sold
    with a plug that they fill, and are used so in every kitchen and bathroom.
    """
    is_brief = isinstance(load, Load) and load.intermittent and not _is_wired(load)
    return is_brief and _is_heat(load) and plug == practice.region(job.region).ordinary_plug


def _held_to_its_way(job: Job, load: Head | Load, drawn: LoadDraw, supply: SupplyFacts) -> LoadDraw:
    """Return what is wired to a way draws: no more than its breaker, where only habit says more.

    Whoever wired a charger of 7,200 W to a breaker of 32 A knew its power factor; we assume one.
    """
    way = job.circuits.get(load.circuit or "") if isinstance(load, Load) else None
    rated_a = None if way is None else way.breaker_a or way.fuse_a
    if way is None or rated_a is None or not drawn.is_assumed or drawn.apparent_va is None:
        return drawn
    poles = len(way.phase) if isinstance(way.phase, tuple) else 1
    here = drawn.current_a(poles, supply.planning_v, supply.line_to_line_v)
    least_a = here.worst * drawn.power_w.worst / drawn.apparent_va.worst
    if not least_a <= rated_a < here.worst:
        return drawn
    return replace(
        drawn,
        apparent_va=None,
        stated_a=Band(min(here.best, rated_a), min(here.likely, rated_a), rated_a),
        source=f"{drawn.source}, taken to keep to the {rated_a:g} A of its way",
    )


def _is_wired(load: Head | Load) -> bool:
    return isinstance(load, Load) and load.circuit is not None


def _is_resistive(drawn: LoadDraw) -> bool:
    return drawn.apparent_va == drawn.power_w


def usual_plug(region: str, unit_ma: int) -> str:
    """Return the smallest usual plug of a region that carries a unit's current."""
    family = practice.plug_family(region)
    fitting = [plug.id for plug in family if capacity_milliamps(plug.rated_a) >= unit_ma]
    return fitting[0] if fitting else family[-1].id


def plug_ma(plug_id: str) -> int:
    """Return what a plug carries [mA]: its rating, or the fuse in it if that is smaller."""
    plug = practice.plug(plug_id)
    return capacity_milliamps(min(plug.rated_a, plug.fuse_a or plug.rated_a))


def cord_family(region: str) -> CordFamily:
    """Return whose table the cords of a region are rated by."""
    return CordFamily(practice.region(region).cord_table)


def lead_facts(job: Job) -> tuple[LeadFacts, ...]:
    """Return every kind of lead in stock, in the order of the job."""
    return tuple(_lead(job, index, lead) for index, lead in enumerate(job.leads))


def board_facts(job: Job) -> tuple[BoardFacts, ...]:
    """Return every kind of power board in stock, in the order of the job."""
    return tuple(_board(job, index, board) for index, board in enumerate(job.power_boards))


def box_facts(job: Job) -> dict[str, BoxFacts]:
    """Return every kind of distribution box in stock by id."""
    return {
        box_id: BoxFacts(
            box_id,
            box.inlet,
            capacity_milliamps(box.inlet_a or practice.plug(box.inlet).rated_a),
            box.outlet,
            box.count,
        )
        for box_id, box in job.boxes.items()
    }


def _leakage(load: Draw) -> tuple[float, str]:
    if load.leakage_ma is not None:
        return load.leakage_ma, "stated"
    watts = load.plate_w or load.class_w or load.lamp_w or load.plate_va
    row = practice.leakage_row(load.kind.value, watts)
    return row.value, f"assumed {row.value:g} mA ({row.source})"


def _cord_m(load: Draw) -> float:
    if load.cord_in_m is not None:
        return load.cord_in_m
    return practice.cord_m(is_head=isinstance(load, Head)).value


def _is_big(head: Head, drawn: LoadDraw, job: Job) -> bool:
    if head.kind is not LoadKind.DISCHARGE:
        return False
    if head.big is not None:
        return head.big
    watts = head.lamp_w or head.class_w or drawn.power_w.likely
    return watts >= job.rules.big_discharge_w


def _is_heat(load: Draw) -> bool:
    stated = load.heat if isinstance(load, Load) else None
    return load.kind is LoadKind.HEATER if stated is None else stated


def _cool_down_min(load: Draw) -> int:
    if not isinstance(load, Head) or load.kind is not LoadKind.DISCHARGE:
        return 0
    stated = load.cool_down_min
    return floor(practice.cool_down_min(load.kind.value).value if stated is None else stated)


def _left_out_cost(load: Draw, drawn: LoadDraw) -> int:
    """Return the light lost with one head: its hundreds of watts, times four per priority."""
    if not isinstance(load, Head):
        return 0
    hundreds = max(1, ceil(drawn.power_w.likely / _HUNDRED_W))
    worth: int = PRIORITY_STEP ** (LOWEST_PRIORITY - load.priority)
    return hundreds * worth


def _lead(job: Job, index: int, lead: Lead) -> LeadFacts:
    region = practice.region(job.region)
    length_m = lead.length_in_m or 0.0
    stated_size = _size(lead)
    size = stated_size or region.assumed_lead_size.replace("mm2", "mm²")
    plug = lead.plug or region.ordinary_plug
    socket = lead.socket or plug
    cord_a = cords.cord_rating_a(size, cord_family(job.region))
    if stated_size is None:
        cord_a = min(cord_a, region.lead_a.value)
    rated_a = min(lead.rating_a or cord_a, practice.plug(plug).rated_a)
    factor = cords.drum_factor(lead.layers) if lead.wound else 1.0
    resistance_ohm = conductors.loop_ohm(size, length_m)
    written = f"{lead.length_ft:g} ft" if lead.length_m is None else f"{length_m:g} m"
    return LeadFacts(
        index=index,
        name=f"{written} {size}{' wound' * lead.wound}",
        written=written,
        length_m=length_m,
        size=size,
        plug=plug,
        socket=socket,
        rating_ma=capacity_milliamps(rated_a * factor),
        loop_ohm=resistance_ohm,
        count=lead.count,
        source=f"{rated_a:g} A lead" + (f" wound, x {factor:g}" if lead.wound else ""),
    )


def _size(lead: Lead) -> str | None:
    if lead.size_mm2 is not None:
        return f"{lead.size_mm2:g} mm²"
    return None if lead.size_awg is None else f"{lead.size_awg} AWG"


def _board(job: Job, index: int, board: PowerBoard) -> BoardFacts:
    region = practice.region(job.region)
    plug = board.plug or region.ordinary_plug
    rating_a = board.rating_a or region.board_rating_a.value
    through_plug_ma = plug_ma(plug)
    return BoardFacts(
        index,
        f"{board.ways}-way board",
        board.ways,
        min(capacity_milliamps(rating_a), through_plug_ma),
        None if board.rcd_ma is None else rcd_limits(job, "", board.rcd_ma, None).may_trip_ua,
        plug,
        board.count,
        f"{min(rating_a, through_plug_ma / MILLI):g} A power board",
    )
