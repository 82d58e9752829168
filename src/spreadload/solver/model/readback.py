"""From counts back to plugs: which unit, which socket, which power board, which lead."""

from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, field, replace

from spreadload.derived.asked import Demand
from spreadload.derived.records import Point
from spreadload.plan import LeftOut, Placement, Plan, Search, SwitchedOff
from spreadload.solver.model.packing import Bin, CannotSeatError, pack
from spreadload.solver.model.variables import Linear, Variables

Value = Callable[[Linear], int]
# Until they get a real socket, boards on leads are numbered from here, apart from those at outlets.
_REMOTE = 1000


@dataclass(frozen=True)
class _Plug:
    """One unit's way in, before it has a number."""

    demand: Demand
    point: str
    socket: int
    board: int | None
    leads: tuple[int, ...]
    board_leads: tuple[int, ...] = ()


def read_plan(v: Variables, value: Value, search: Search) -> Plan:
    """Return the plan that the values of the decisions describe.

    Raises:
        CannotSeatError: Boards that were only counted have to be told apart.
    """
    seats = _seats(v, value)
    numbers = _Numbering()
    placements: list[Placement] = []
    left_out: list[LeftOut] = []
    for setup_id in v.setups():
        leads = _LeadPool(v, value, setup_id)
        placements += numbers.number(setup_id, seats[setup_id], leads)
        for demand in v.plugged(setup_id):
            missing = value(v.left_out[demand]) if demand in v.left_out else 0
            left_out += numbers.leave_out(demand, missing)
    switched = sorted(key for key, var in v.off.items() if value(var))
    off = [SwitchedOff(setup=s, load=load) for s in v.setups() for at, load in switched if at == s]
    return Plan(
        placements=tuple(placements),
        left_out=tuple(left_out),
        switched_off=tuple(off),
        search=search,
    )


def _seats(v: Variables, value: Value) -> dict[str, list[_Plug]]:
    """Return every unit with its socket and board, per set-up."""
    found: dict[str, list[_Plug]] = {}
    failed: set[str] = set()
    for setup_id in v.setups():
        plugs = [plug for demand in v.plugged(setup_id) for plug in _straight(v, value, demand)]
        try:
            plugs = _with_boards(v, value, setup_id, plugs)
            plugs += _boarded(v, value, setup_id) + _remote(v, value, setup_id)
        except CannotSeatError as error:
            failed |= error.points
        found[setup_id] = _seat(plugs)
    if failed:
        raise CannotSeatError(frozenset(failed))
    return found


def _straight(v: Variables, value: Value, demand: Demand) -> list[_Plug]:
    found: list[_Plug] = []
    for option in v.options[demand]:
        variable = v.straight.get((demand, option.point.id))
        run = option.run(None)
        if variable is not None and run is not None:
            found += [_Plug(demand, option.point.id, 0, None, run.leads)] * value(variable)
    return found


def _boarded(v: Variables, value: Value, setup_id: str) -> list[_Plug]:
    found: list[_Plug] = []
    for demand in v.plugged(setup_id):
        for option in v.options[demand]:
            for nth in range(v.board_count(option.point.id)):
                variable = v.boarded.get((demand, option.point.id, nth))
                if variable is None or not value(variable):
                    continue
                kind = next(
                    board.index
                    for board in v.facts.boards
                    if value(v.board_of[setup_id, option.point.id, nth, board.index])
                )
                plug = _Plug(demand, option.point.id, nth + 1, kind, option.board_leads)
                found += [plug] * value(variable)
    return found


def _with_boards(v: Variables, value: Value, setup_id: str, plugs: list[_Plug]) -> list[_Plug]:
    """Deal the units of every stacked point out over its sockets and power boards."""
    found = [plug for plug in plugs if plug.point not in v.stacked]
    here: dict[str, list[_Plug]] = defaultdict(list)
    for plug in plugs:
        if plug.point in v.stacked:
            here[plug.point].append(plug)
    for point_id, there in here.items():
        point = v.facts.points[point_id]
        kinds = {
            board.index: value(v.board_of[setup_id, point_id, 0, board.index])
            for board in v.facts.boards
            if (setup_id, point_id, 0, board.index) in v.board_of
        }
        boards = _bins(v, kinds, point.socket_ma)
        free = point.sockets - len(boards) - _fed(v, value, setup_id, point_id)
        alone = [Bin(None, 1, point.socket_ma)] * free
        found += _dealt(v, there, [*alone, *boards], point_id, 1)
    return found


def _fed(v: Variables, value: Value, setup_id: str, point_id: str) -> int:
    boards = sum(
        value(kind)
        for key, kind in v.remote_of.items()
        if (key.setup, key.point) == (setup_id, point_id)
    )
    boxes = sum(value(box) for (s, o, _), box in v.box_at.items() if (s, o) == (setup_id, point_id))
    return boards + boxes


def _bins(v: Variables, kinds: dict[int, int], socket_ma: int) -> list[Bin]:
    return [
        Bin(kind, v.facts.boards[kind].ways, min(v.facts.boards[kind].rating_ma, socket_ma))
        for kind, count in kinds.items()
        for _ in range(count)
    ]


def _dealt(
    v: Variables, plugs: list[_Plug], bins: list[Bin], point_id: str, first: int
) -> list[_Plug]:
    """Return the plugs with their boards, numbered from ``first``.

    Raises:
        CannotSeatError: No way of dealing them out holds; the point's boards must be told apart.
    """
    point = v.facts.points[point_id]
    sizes = [_share_ma(v, plug, point) for plug in plugs]
    # Heat-makers belong straight in an outlet: they choose first, and sockets come first.
    heat = {n for n, plug in enumerate(plugs) if v.facts.loads[plug.demand.load].is_heat}
    chosen = pack(sizes, bins, heat)
    if chosen is None:
        raise CannotSeatError(frozenset({point_id}))
    return [
        replace(plug, board=bins[n].board, socket=first + n if bins[n].board is not None else 0)
        for plug, n in zip(plugs, chosen, strict=True)
    ]


def _share_ma(v: Variables, plug: _Plug, point: Point) -> int:
    load = plug.demand.load
    unit_ma = v.facts.unit_ma(load, v.facts.poles_at(load, point))
    return v.facts.socket_share_ma(load, point, unit_ma)


def _remote(v: Variables, value: Value, setup_id: str) -> list[_Plug]:
    groups: dict[tuple[str, str, int], dict[int, int]] = defaultdict(dict)
    for key, kind in v.remote_of.items():
        if key.setup == setup_id and value(kind):
            groups[key.point, key.place, key.nth][key.kind] = value(kind)
    found: list[_Plug] = []
    first = _REMOTE
    for (point_id, place, nth), kinds in groups.items():
        plugs = [
            _Plug(demand, point_id, 0, None, ())
            for demand in v.plugged(setup_id)
            if demand.place == place and (demand, point_id, nth) in v.remote
            for _ in range(value(v.remote[demand, point_id, nth]))
        ]
        bins = _bins(v, kinds, v.facts.points[point_id].socket_ma)
        for plug in _dealt(v, plugs, bins, point_id, first):
            option = next(o for o in v.options[plug.demand] if o.point.id == point_id)
            tier = v.tier(point_id, nth)
            leads = next(r.leads for r in option.remote if (r.board, r.tier) == (plug.board, tier))
            found.append(replace(plug, board_leads=leads))
        first += len(bins)
    return found


def _seat(plugs: list[_Plug]) -> list[_Plug]:
    """Give every straight unit and every power board at a point a socket of its own."""
    by_point: dict[str, list[_Plug]] = defaultdict(list)
    for plug in plugs:
        by_point[plug.point].append(plug)
    seated: list[_Plug] = []
    for there in by_point.values():
        socket = 0
        boards: dict[int, int] = {}
        for plug in sorted(there, key=lambda p: (p.board is not None, p.socket, p.demand)):
            if plug.board is None or plug.socket not in boards:
                socket += 1
            if plug.board is not None:
                boards.setdefault(plug.socket, socket)
            at = socket if plug.board is None else boards[plug.socket]
            seated.append(replace(plug, socket=at))
    return seated


@dataclass
class _LeadPool:
    """Leads of each kind set aside for each class of runs."""

    v: Variables
    value: Value
    setup_id: str
    left: dict[tuple[tuple[int, ...], int], int] = field(default_factory=dict)
    to_boards: dict[tuple[str, int], int | None] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for (setup_id, leads, index), flow in self.v.lead_flow.items():
            if setup_id == self.setup_id:
                self.left[leads, index] = self.value(flow)

    def take(self, leads: tuple[int, ...]) -> int | None:
        """Return a lead for one run, or None when its own cord reaches."""
        for index in sorted(leads, key=lambda i: self.v.facts.leads[i].length_m):
            if self.left.get((leads, index), 0) > 0:
                self.left[leads, index] -= 1
                return index
        return None

    def to_board(self, plug: _Plug) -> int | None:
        """Return the lead that feeds a board at a place, the same for everything on it."""
        if not plug.board_leads:
            return None
        key = (plug.point, plug.socket)
        if key not in self.to_boards:
            self.to_boards[key] = self.take(plug.board_leads)
        return self.to_boards[key]


@dataclass
class _Numbering:
    """Gives identical units numbers that stay with a point from one set-up to the next."""

    last_point: dict[tuple[str, int], str] = field(default_factory=dict)
    used: dict[tuple[str, str], set[int]] = field(default_factory=lambda: defaultdict(set))

    def number(self, setup_id: str, plugs: list[_Plug], leads: _LeadPool) -> list[Placement]:
        """Return the placements of one set-up; a unit that stays keeps its number."""
        found: list[Placement] = []
        waiting: list[_Plug] = []
        ordered = sorted(plugs, key=lambda p: (p.demand, p.point, p.socket))
        for plug in ordered:
            unit = self._stayed(setup_id, plug)
            if unit is None:
                waiting.append(plug)
            else:
                found.append(self._place(setup_id, plug, unit, leads))
        for plug in waiting:
            unit = self._free(setup_id, plug.demand.load)
            found.append(self._place(setup_id, plug, unit, leads))
        return sorted(found, key=lambda p: (p.load, p.unit))

    def leave_out(self, demand: Demand, missing: int) -> list[LeftOut]:
        """Return the units of a demand that stay dark."""
        found = []
        for _ in range(missing):
            unit = self._free(demand.setup, demand.load)
            self.used[demand.setup, demand.load].add(unit)
            found.append(
                LeftOut(setup=demand.setup, load=demand.load, unit=unit, place=demand.place)
            )
        return found

    def _stayed(self, setup_id: str, plug: _Plug) -> int | None:
        load = plug.demand.load
        return next(
            (
                unit
                for (name, unit), point in sorted(self.last_point.items())
                if (name, point) == (load, plug.point) and unit not in self.used[setup_id, load]
            ),
            None,
        )

    def _free(self, setup_id: str, load: str) -> int:
        unit = 1
        while unit in self.used[setup_id, load]:
            unit += 1
        return unit

    def _place(self, setup_id: str, plug: _Plug, unit: int, leads: _LeadPool) -> Placement:
        load = plug.demand.load
        self.used[setup_id, load].add(unit)
        self.last_point[load, unit] = plug.point
        return Placement(
            setup=setup_id,
            load=load,
            unit=unit,
            place=plug.demand.place,
            point=plug.point,
            socket=plug.socket,
            board=plug.board,
            board_lead=leads.to_board(plug),
            lead=leads.take(plug.leads),
        )
