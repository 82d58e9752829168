"""Which unit can be plugged in where, and by which run, before anything is decided.

Whatever one unit can never do is left out here, so that the model holds only real choices.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TypeAlias
from weakref import WeakKeyDictionary

from spreadload import practice
from spreadload.derived.asked import Demand
from spreadload.derived.facts import Facts
from spreadload.derived.reach import REACH_NOISE_M
from spreadload.derived.records import BoardFacts, LeadFacts, Point
from spreadload.units import MILLI

_WORTH_A_BOARD = 2


@dataclass(frozen=True)
class Run:
    """How a unit gets from its place to a socket.

    Attributes:
        board: Kind of power board it goes through, or None when plugged in straight.
        leads: Kinds of lead that would do; empty when its own cord reaches.
        tier: Which length of cord a board at the place is laid for, 0 for the shortest there.
    """

    board: int | None
    leads: tuple[int, ...]
    tier: int = 0


@dataclass(frozen=True)
class Candidate:
    """A demand at a point with every run that gets it there.

    Attributes:
        unit_ma: Actual amps of one unit per pole [mA].
        share_ma: What one unit counts against a socket [mA].
        counted_ma: What one unit counts against breakers [mA].
        poles: Poles it uses there.
        runs: Ways in with each unit on a lead of its own, if it needs one.
        remote: Ways in through a power board that stands at the demand's place on one lead.
    """

    demand: Demand
    point: Point
    unit_ma: int
    share_ma: int
    counted_ma: int
    poles: int
    runs: tuple[Run, ...]
    remote: tuple[Run, ...]

    def run(self, board: int | None) -> Run | None:
        """Return the run through one kind of power board, or the straight one."""
        return next((run for run in self.runs if run.board == board), None)

    @cached_property
    def straight(self) -> Run | None:
        """The run without a power board, or None."""
        return self.run(None)

    @cached_property
    def board_leads(self) -> tuple[int, ...]:
        """Kinds of lead that do whichever kind of power board is used.

        Kinds of power board differ here only in exotic plugs, so what does for all is enough.
        """
        boarded = [set(run.leads) for run in self.runs if run.board is not None]
        return tuple(sorted(set.intersection(*boarded))) if boarded else ()

    @cached_property
    def can_board(self) -> bool:
        """Whether a unit can sit on a power board here."""
        boarded = [run for run in self.runs if run.board is not None]
        return bool(boarded) and (bool(self.board_leads) or not any(r.leads for r in boarded))


Options: TypeAlias = Mapping[Demand, tuple[Candidate, ...]]


def all_candidates(facts: Facts) -> dict[Demand, tuple[Candidate, ...]]:
    """Return what every plugged-in demand of the day can use."""
    return {
        demand: candidates(facts, demand)
        for asked in facts.demands.values()
        for demand in asked
        if demand.circuit is None
    }


# One search builds several models of the same facts.
_FOUND: WeakKeyDictionary[Facts, dict[Demand, tuple[Candidate, ...]]] = WeakKeyDictionary()


def candidates(facts: Facts, demand: Demand) -> tuple[Candidate, ...]:
    """Return every point a plugged-in demand can use, in a fixed order; looked for once."""
    known = _FOUND.setdefault(facts, {})
    if demand not in known:
        cords_m = _cords_beside(facts, demand)
        points = sorted(facts.points.items())
        found = (_candidate(facts, demand, point, cords_m) for _, point in points)
        known[demand] = tuple(candidate for candidate in found if candidate is not None)
    return known[demand]


def _cords_beside(facts: Facts, demand: Demand) -> tuple[float, ...]:
    """Return the lengths of cord at a place where a power board may be worth while, in order."""
    beside = [d for d in facts.demands[demand.setup] if d.place == demand.place]
    if demand.place is None or sum(d.count for d in beside) < _WORTH_A_BOARD:
        return ()
    return tuple(sorted({facts.loads[d.load].cord_m for d in beside}))


def _candidate(
    facts: Facts, demand: Demand, point: Point, cords_m: tuple[float, ...]
) -> Candidate | None:
    load = facts.loads[demand.load]
    if not _is_open_to(facts, demand, point) or _is_too_far(facts, demand, point):
        return None
    poles = facts.poles_at(demand.load, point)
    unit_ma = facts.unit_ma(demand.load, poles)
    counted_ma = facts.counted_ma(demand.setup, demand.load, poles)
    share_ma = facts.socket_share_ma(demand.load, point, unit_ma)
    is_carried = share_ma <= point.socket_ma and unit_ma <= min(load.plug_ma, point.plate_ma)
    if not is_carried or _is_too_much_for_one(facts, demand, point, unit_ma):
        return None
    runs = tuple(_runs(facts, demand, point, unit_ma))
    remote = tuple(_remote_runs(facts, demand, point, unit_ma, cords_m))
    if not runs and not remote:
        return None
    if practice.plug(load.plug).is_three_phase != point.is_three_phase:
        return None
    return Candidate(demand, point, unit_ma, share_ma, counted_ma, poles, runs, remote)


def _is_open_to(facts: Facts, demand: Demand, point: Point) -> bool:
    allowed = facts.outlets_allowed(demand.load)
    if allowed is not None and point.outlet not in allowed:
        return False
    return not point.is_off_limits or facts.is_fixed_at(demand.load, point.outlet)


def _is_too_much_for_one(facts: Facts, demand: Demand, point: Point, unit_ma: int) -> bool:
    """Whether one plug takes more of a circuit than the region lets one load take."""
    circuits = {circuit for circuit, _ in point.exposure.circuits}
    limits_ma = (facts.single_load_ma(circuit, demand.load) for circuit in circuits)
    return any(limit_ma is not None and unit_ma > limit_ma for limit_ma in limits_ma)


def _runs(facts: Facts, demand: Demand, point: Point, unit_ma: int) -> Iterator[Run]:
    """Yield the straight run and one run per kind of power board, where they reach and fit."""
    load = facts.loads[demand.load]
    need_m = 0.0
    if demand.place is not None:
        need_m = facts.route_m(demand.place, point) - load.cord_m
    long_enough = [lead for lead in facts.leads if _serves(facts, lead, need_m, unit_ma)]
    for board in (None, *facts.boards):
        if board is not None and (
            unit_ma > min(board.rating_ma, point.socket_ma)
            or not practice.plug(board.plug).enters_outlet(point.plug)
        ):
            continue
        yield from _run(load.plug, long_enough, point, board, need_m)


def _run(
    plug: str, leads: list[LeadFacts], point: Point, board: BoardFacts | None, need_m: float
) -> Iterator[Run]:
    socket = point.plug if board is None else board.plug
    index = None if board is None else board.index
    if need_m <= REACH_NOISE_M and practice.plug(plug).enters_outlet(socket):
        yield Run(index, ())
        return
    # Even where the cord reaches, a short adaptor lead may be what makes the plug fit.
    fitting = tuple(
        lead.index
        for lead in leads
        if practice.plug(lead.plug).enters_outlet(socket)
        and practice.plug(plug).enters_outlet(lead.socket)
    )
    if fitting:
        yield Run(index, fitting)


def _is_too_far(facts: Facts, demand: Demand, point: Point) -> bool:
    if demand.place is None:
        return False
    need_m = facts.route_m(demand.place, point) - facts.loads[demand.load].cord_m
    longest_m = max((lead.length_m for lead in facts.leads), default=0.0)
    return need_m > longest_m + REACH_NOISE_M


def _remote_runs(
    facts: Facts, demand: Demand, point: Point, unit_ma: int, cords_m: tuple[float, ...]
) -> Iterator[Run]:
    """Yield the runs through power boards that can stand at the demand's place on one lead.

    How long the lead must be depends on the shortest cord on the board: each length of cord at the
    place makes a tier of its own, unless the same leads would do. The lead is held to the most
    that units of the place can put on the board, so that it carries whatever is plugged in.
    """
    if demand.place is None:
        return
    load = facts.loads[demand.load]
    before: list[tuple[int, ...]] = []
    for tier, cord_m in enumerate(cords_m):
        need_m = facts.route_m(demand.place, point) - cord_m
        by_board = [
            _board_leads(facts, point, board, need_m, most_on_board_ma(facts, demand, point, board))
            for board in facts.boards
        ]
        if cord_m > load.cord_m or need_m <= REACH_NOISE_M or by_board == before:
            continue
        before = by_board
        for board, leads in zip(facts.boards, by_board, strict=True):
            fits = unit_ma <= min(board.rating_ma, point.socket_ma)
            if leads and fits and practice.plug(load.plug).enters_outlet(board.plug):
                yield Run(board.index, leads, tier)


def most_on_board_ma(facts: Facts, demand: Demand, point: Point, board: BoardFacts) -> int:
    """Return the most that a power board at a demand's place can come to carry [mA].

    Only units of that place are on it, so that is its largest ones, one for each way.
    """
    beside = [d for d in facts.demands[demand.setup] if d.place == demand.place]
    units_ma = sorted(
        unit_ma
        for d in beside
        for unit_ma in [facts.unit_ma(d.load, facts.poles_at(d.load, point))] * d.count
    )
    return min(board.rating_ma, point.socket_ma, sum(units_ma[-board.ways :]))


def _board_leads(
    facts: Facts, point: Point, board: BoardFacts, need_m: float, most_ma: int
) -> tuple[int, ...]:
    return tuple(
        lead.index
        for lead in facts.leads
        if _serves(facts, lead, need_m, most_ma)
        and practice.plug(lead.plug).enters_outlet(point.plug)
        and practice.plug(board.plug).enters_outlet(lead.socket)
    )


def _serves(facts: Facts, lead: LeadFacts, need_m: float, unit_ma: int) -> bool:
    allowed_v = facts.supply.planning_v * facts.lead_drop_pct / 100
    return (
        lead.length_m + REACH_NOISE_M >= need_m
        and unit_ma <= lead.rating_ma
        and unit_ma * lead.loop_ohm <= allowed_v * MILLI
    )
