"""From counts back to plugs: which unit, which socket, which power board, which lead."""

from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, field, replace

from spreadload.derived.asked import Demand
from spreadload.plan import LeftOut, Placement, Plan, Search, SwitchedOff
from spreadload.solver.variables import Linear, Variables

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
    """Return the plan that the values of the decisions describe."""
    numbers = _Numbering()
    placements: list[Placement] = []
    left_out: list[LeftOut] = []
    for setup_id in v.setups():
        plugs = [plug for demand in v.plugged(setup_id) for plug in _straight(v, value, demand)]
        plugs += _boarded(v, value, setup_id) + _remote(v, value, setup_id)
        seated = _seat(plugs)
        leads = _LeadPool(v, value, setup_id)
        placements += numbers.number(setup_id, seated, leads)
        for demand in v.plugged(setup_id):
            missing = value(v.left_out[demand]) if demand in v.left_out else 0
            left_out += numbers.leave_out(demand, missing)
    off = [SwitchedOff(setup=s, load=load) for (s, load), var in v.off.items() if value(var)]
    return Plan(
        placements=tuple(placements),
        left_out=tuple(left_out),
        switched_off=tuple(sorted(off, key=lambda o: (o.setup, o.load))),
        search=search,
    )


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


def _remote(v: Variables, value: Value, setup_id: str) -> list[_Plug]:
    standing = [key for key, kind in v.remote_of.items() if key.setup == setup_id and value(kind)]
    found: list[_Plug] = []
    for board, key in enumerate(standing):
        for demand in v.plugged(setup_id):
            units = v.remote.get((demand, key.point, key.nth))
            if demand.place != key.place or units is None or not value(units):
                continue
            option = next(o for o in v.options[demand] if o.point.id == key.point)
            leads = next(run.leads for run in option.remote if run.board == key.kind)
            plug = _Plug(demand, key.point, _REMOTE + board, key.kind, (), leads)
            found += [plug] * value(units)
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
                if self._claim(setup_id, load, unit)
            ),
            None,
        )

    def _claim(self, setup_id: str, load: str, unit: int) -> bool:
        self.used[setup_id, load].add(unit)
        return True

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
