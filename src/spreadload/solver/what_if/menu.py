"""Everything that could be done differently, as one wide job that the priced model chooses from.

The wide job adds what is not there today under ids of its own: heads from stock in place of
others, departments' loads that may stand elsewhere, what is off limits, leads to hire, an outlet to
fit. Nothing here is decided, and nothing here solves.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field

from spreadload import practice
from spreadload.changes import add_boards, add_leads, add_outlet, allow
from spreadload.derived.asked import counts_by_place
from spreadload.derived.draw import draw_of
from spreadload.derived.facts import Facts
from spreadload.derived.kit import usual_plug
from spreadload.derived.reach import spot
from spreadload.job.job import Job
from spreadload.job.kit import Ballast, Head, Lead, Load, LoadKind, Policy, PowerBoard
from spreadload.job.site import Circuit, Outlet, Permission

INSTEAD = " → "
_ELSEWHERE = "elsewhere"
_ORDERED = 6
_LEADS_M = ((20.0, 2.5), (40.0, 2.5))
_LEADS_FT = ((50.0, 10), (100.0, 10))
_MAX_ROOMS = 3


@dataclass(frozen=True)
class Instead:
    """A head that could stand in for another.

    Attributes:
        head: Head on the list.
        stock: Entry of the stock, or None for a corrected ballast to be hired.
        entry: What would be lit.
        is_same_light: Whether nothing but the ballast changes.
    """

    head: str
    stock: str | None
    entry: Head
    is_same_light: bool

    @property
    def name(self) -> str:
        """Id in the wide job."""
        return f"{self.head}{INSTEAD}{self.stock or 'corrected ballast'}"


@dataclass(frozen=True)
class Menu:
    """The wide job and what each addition stands for.

    Attributes:
        base: Facts of the job as asked.
        wide: Facts of the wide job.
        setups: Set-ups in trouble.
        instead: Heads that could stand in, by id in the wide job.
        moved: Departments' loads that may stand anywhere: id in the wide job to load id.
        gated: Points that only the owner's leave opens, with what leave is asked for.
        new_outlets: Outlets to be fitted, each on a way of its own.
        extra_leads: Leads that would have to be hired, after those on the van.
        extra_board: The power board to be hired where sockets are short and none is listed.
        times: The set-up that a load could run in instead, by set-up in trouble and load.
        unasked: Wired loads of the house that run although nobody asked whether they have to.
    """

    base: Facts
    wide: Facts
    setups: tuple[str, ...]
    instead: dict[str, Instead] = field(default_factory=dict)
    moved: dict[str, str] = field(default_factory=dict)
    gated: dict[str, tuple[str, str]] = field(default_factory=dict)
    new_outlets: dict[str, tuple[Outlet, Circuit]] = field(default_factory=dict)
    extra_leads: tuple[Lead, ...] = ()
    extra_board: PowerBoard | None = None
    times: dict[tuple[str, str], str] = field(default_factory=dict)
    unasked: frozenset[str] = frozenset()

    @property
    def first_extra_lead(self) -> int:
        """Index of the first lead that would have to be hired."""
        return len(self.base.leads)

    @classmethod
    def of(cls, base: Facts, setups: tuple[str, ...], *, with_works: bool) -> "Menu":
        """Lay out the choices for the set-ups in trouble.

        Args:
            base: Facts of the job as asked.
            setups: Set-ups in trouble.
            with_works: Whether to add outlets that an electrician would have to fit.
        """
        job = base.job
        gated = dict(_gated(base))
        instead = {i.name: i for i in _instead(base, setups)}
        moved = {f"{load}{INSTEAD}{_ELSEWHERE}": load for load in _movable(base, setups)}
        leads = tuple(_leads_to_hire(base))
        outlets = dict(_outlets_to_fit(base, setups)) if with_works else {}
        unasked = frozenset(_unasked(base, setups))
        wide = _widened(job, setups, instead, moved)
        wide = wide.model_copy(update={"house": _may_be_off(wide, unasked)})
        wide = allow(
            wide,
            circuits=tuple(n for n, c in job.circuits.items() if c.use is Permission.OFF_LIMITS),
            outlets=tuple(n for n, o in job.outlets.items() if o.use is Permission.OFF_LIMITS),
        )
        wide = add_leads(wide, leads)
        board = _board_to_hire(base, setups)
        wide = wide if board is None else add_boards(wide, board)
        for name, (outlet, circuit) in outlets.items():
            wide = add_outlet(wide, name, outlet, circuit)
        return cls(
            base,
            Facts.of(wide).only(setups),
            setups,
            instead=instead,
            moved=moved,
            gated=gated,
            new_outlets=outlets,
            extra_leads=leads,
            extra_board=board,
            unasked=unasked,
        )


def corrected(head: Head, region: str) -> Head:
    """Return a head on a corrected ballast, which comes with the usual plug for what it draws.

    A plug that is not usual in the region stays: who brought it knows why.
    """
    is_usual = head.plug in {plug.id for plug in practice.plug_family(region)}
    plug = None if is_usual else head.plug
    return head.model_copy(update={"corrected": True, "power_factor": None, "plug": plug})


def _instead(base: Facts, setups: tuple[str, ...]) -> Iterator[Instead]:
    job = base.job
    lit = {d.load for s in setups for d in base.demands[s] if base.loads[d.load].is_head}
    # Once the job says what may stand in for some heads, the others are not to be touched.
    anything = () if any(head.swaps for head in job.heads.values()) else tuple(job.stock)
    for head_id in sorted(lit):
        head = job.heads[head_id]
        has_ballast = False
        for stock_id in head.swaps or anything:
            stocked = job.stock.get(stock_id)
            if stocked is None or not _draws_less(base, head, stocked):
                continue
            same = _is_same_light(head, stocked)
            has_ballast = has_ballast or same
            yield Instead(head_id, stock_id, _in_place_of(head, stocked), same)
        if not has_ballast and _could_be_corrected(head):
            better = corrected(head, job.region)
            if _draws_less(base, head, better):
                yield Instead(head_id, None, _in_place_of(head, better), is_same_light=True)


def _in_place_of(head: Head, entry: Head) -> Head:
    return entry.model_copy(
        update={"priority": head.priority, "swaps": (), "count": max(entry.count, 1)}
    )


def _draws_less(base: Facts, head: Head, other: Head) -> bool:
    volts = base.supply.planning_v
    here, there = (
        draw_of(h, volts).current_a(1, volts, base.supply.line_to_line_v).worst
        for h in (head, other)
    )
    return there < here


def _is_same_light(head: Head, other: Head) -> bool:
    sizes = [(h.kind, h.lamp_w or h.class_w or h.plate_w) for h in (head, other)]
    return sizes[0] == sizes[1] and other.corrected is True and head.corrected is not True


def _could_be_corrected(head: Head) -> bool:
    stated = head.measured_a or head.plate_a or head.plate_va
    electronic = head.ballast is not Ballast.MAGNETIC
    discharge = head.kind is LoadKind.DISCHARGE
    return discharge and electronic and head.corrected is not True and not stated


def _movable(base: Facts, setups: tuple[str, ...]) -> Iterator[str]:
    on = {d.load for s in setups for d in base.demands[s] if d.circuit is None}
    for name, load in base.job.departments.items():
        bound = load.outlet or load.room or load.place
        if name in on and bound and load.policy is not Policy.MUST_BE_OFF:
            yield name


def _unasked(base: Facts, setups: tuple[str, ...]) -> Iterator[str]:
    """Yield wired loads of the house that are on, of which nobody said what was agreed."""
    wired = {d.load for s in setups for d in base.demands[s] if d.circuit is not None}
    for name, load in base.job.house.items():
        if name in wired and load.policy is None:
            yield name


def _may_be_off(job: Job, loads: frozenset[str]) -> dict[str, Load]:
    free = {"policy": Policy.MAY_BE_OFF}
    return {
        name: load.model_copy(update=free) if name in loads else load
        for name, load in job.house.items()
    }


def _gated(base: Facts) -> Iterator[tuple[str, tuple[str, str]]]:
    """Yield points the crew may not use, with whose leave would open them."""
    job = base.job
    for point in base.points.values():
        if not point.is_off_limits:
            continue
        if job.outlets[point.outlet].use is Permission.OFF_LIMITS:
            yield point.id, ("outlet", point.outlet)
            continue
        asked = sorted(
            c
            for c in point.exposure.might_be_on
            if job.circuits[c].use is Permission.OFF_LIMITS and base.circuits[c].can_feed_outlets
        )
        if asked:
            yield point.id, ("circuit", asked[0])


def _leads_to_hire(base: Facts) -> Iterator[Lead]:
    region = practice.region(base.job.region)
    plugs = {lead.plug for lead in base.leads} or {region.ordinary_plug}
    used = {base.loads[d.load].plug for asked in base.demands.values() for d in asked if d.place}
    for plug in sorted(plugs | (used & set(practice.plug_ids()))):
        if practice.plug(plug).phases != 1:
            continue
        if region.units_of_length == "ft":
            for length, gauge in _LEADS_FT:
                yield Lead(length_ft=length, size_awg=gauge, plug=plug, count=_ORDERED)
        else:
            for length, size in _LEADS_M:
                yield Lead(length_m=length, size_mm2=size, plug=plug, count=_ORDERED)


def _board_to_hire(base: Facts, setups: tuple[str, ...]) -> PowerBoard | None:
    """Return a power board of the usual ways, where there are more plugs than sockets and none."""
    sockets = sum(point.sockets for point in base.points.values())
    plugs = max(sum(d.count for d in base.demands[s] if d.circuit is None) for s in setups)
    if base.boards or plugs <= sockets:
        return None
    ways = int(practice.region(base.job.region).board_ways.value)
    return PowerBoard(ways=ways, count=_ORDERED)


def _outlets_to_fit(
    base: Facts, setups: tuple[str, ...]
) -> Iterator[tuple[str, tuple[Outlet, Circuit]]]:
    """Yield one outlet on a way of its own per room that has the largest heads, at most three."""
    region = practice.region(base.job.region)
    lit = [d for s in setups for d in base.demands[s] if base.loads[d.load].is_head]
    lit.sort(key=lambda d: -base.unit_ma(d.load, 1))
    rooms: dict[str, int] = {}
    for demand in lit:
        room = spot(base.job, demand.place).room if demand.place else None
        if room is not None and room not in rooms and len(rooms) < _MAX_ROOMS:
            rooms[room] = base.unit_ma(demand.load, 1)
    rated_a = float(max(region.usual_outlet_breakers_a))
    for room, unit_ma in rooms.items():
        name = f"new outlet in {room}"
        if name in base.job.outlets or name in base.job.circuits:
            continue
        at = spot(base.job, room).at
        outlet = Outlet(room=room, sockets=1, plug=usual_plug(region.id, unit_ma), at=at)
        yield name, (outlet, Circuit(label="new", breaker_a=rated_a))


def _widened(
    job: Job, setups: tuple[str, ...], instead: dict[str, Instead], moved: dict[str, str]
) -> Job:
    heads = job.heads | {
        name: i.entry.model_copy(update={"count": job.heads[i.head].count})
        for name, i in instead.items()
    }
    free = {"outlet": None, "room": None, "place": None}
    departments = job.departments | {
        name: job.departments[load].model_copy(update={**free, "policy": None})
        for name, load in moved.items()
    }
    days = []
    for setup in job.setups:
        if setup.id not in setups:
            days.append(setup)
            continue
        also = {
            name: counts_by_place(setup.heads[i.head])
            for name, i in instead.items()
            if i.head in setup.heads
        }
        named = setup.on if isinstance(setup.on, dict) else dict.fromkeys(setup.on, 0)
        loads = job.loads
        on = {load: count or loads[load].count for load, count in named.items()}
        on |= {name: on.get(load, loads[load].count) for name, load in moved.items() if load in on}
        days.append(setup.model_copy(update={"heads": {**setup.heads, **also}, "on": on}))
    return job.model_copy(
        update={"heads": heads, "departments": departments, "setups": tuple(days)}
    )
