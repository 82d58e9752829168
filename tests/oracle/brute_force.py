"""Every plan of a tiny job, tried with the judge alone.

Nothing of the solver is used. A unit's ways in are tried one by one: any point, straight, on a
power board at the outlet, or on one at the unit's place on a lead; with every kind of lead.
Which socket number is used makes no difference, so sockets are handed out in order.
"""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations, combinations_with_replacement, product
from math import prod

from spreadload.check import Judge
from spreadload.derived.asked import Demand
from spreadload.derived.facts import Facts
from spreadload.plan import LeftOut, Placement, Plan, SwitchedOff, Verdict

MOST_DAYS = 1_000
LIT = ("keep heads", "keep house on")
MOST_PLANS = 600


@dataclass(frozen=True, order=True)
class Way:
    """How one unit is plugged in; ``heap`` tells boards of one point apart, -1 without a board."""

    point: str
    heap: int
    board: int
    board_lead: int
    lead: int


@dataclass(frozen=True)
class Best:
    """The best value of every goal in order, and how many days were judged."""

    values: tuple[int, ...]
    judged: int


DARK = Way("", -1, -1, -1, -1)


class TooLargeError(Exception):
    """More plans than a test can try."""


def best_day(facts: Facts, judge: Judge, *, may_be_dark: bool = False) -> Best | None:
    """Return the best goal values over every legal plan, or None when no plan is legal.

    Where heads may be left dark, what is lit counts first, whatever the job's own order.
    """
    days = [
        list(_setup_plans(facts, judge, setup_id, may_be_dark=may_be_dark))
        for setup_id in facts.demands
    ]
    if any(not plans for plans in days):
        return None
    if prod(len(plans) for plans in days) > MOST_DAYS:
        raise TooLargeError
    best: tuple[int, ...] | None = None
    judged = 0
    for parts in product(*days):
        verdict = judge.judge(_joined(parts))
        judged += 1
        if verdict.holds:
            values = ranked(verdict, may_be_dark=may_be_dark)
            best = values if best is None else min(best, values)
    return None if best is None else Best(best, judged)


def ranked(verdict: Verdict, *, may_be_dark: bool) -> tuple[int, ...]:
    """Return the values of the goals in the order they count."""
    goals = verdict.goals
    if may_be_dark:
        goals = tuple(sorted(goals, key=lambda goal: goal.goal not in LIT))
    return tuple(goal.value for goal in goals)


def _joined(parts: tuple[Plan, ...]) -> Plan:
    return Plan(
        placements=tuple(p for part in parts for p in part.placements),
        left_out=tuple(o for part in parts for o in part.left_out),
        switched_off=tuple(o for part in parts for o in part.switched_off),
    )


def _setup_plans(facts: Facts, judge: Judge, setup_id: str, *, may_be_dark: bool) -> Iterator[Plan]:
    """Yield, for every split of a set-up's units over the points, the one with the least cable."""
    cheapest: dict[tuple[object, ...], tuple[int, Plan]] = {}
    asked = facts.demands[setup_id]
    optional = sorted({d.load for d in asked if d.may_be_off})
    for choice in product((False, True), repeat=len(optional)):
        off = tuple(load for load, is_off in zip(optional, choice, strict=True) if is_off)
        plugged = [d for d in asked if d.circuit is None and d.load not in off]
        ways = [list(_ways(facts, judge, demand, off)) for demand in plugged]
        if may_be_dark:
            for own, demand in zip(ways, plugged, strict=True):
                own.extend([DARK] * facts.loads[demand.load].is_head)
        many = [
            list(combinations_with_replacement(own, demand.count))
            for own, demand in zip(ways, plugged, strict=True)
        ]
        if prod(len(own) for own in many) > MOST_PLANS:
            raise TooLargeError
        for chosen in product(*many):
            plan = _plan(setup_id, plugged, chosen, off)
            if not _holds_here(judge, plan, setup_id):
                continue
            split = tuple(tuple(sorted(way.point for way in ways)) for ways in chosen)
            cable = _cable(facts, plan)
            if (off, split) not in cheapest or cable < cheapest[off, split][0]:
                cheapest[off, split] = (cable, plan)
    return iter([plan for _, plan in cheapest.values()])


def _ways(facts: Facts, judge: Judge, demand: Demand, off: tuple[str, ...]) -> Iterator[Way]:
    """Yield the ways in that break no rule for one unit alone."""
    leads = range(len(facts.leads)) if demand.place is not None else range(0)
    for point in sorted(facts.points):
        sockets = range(facts.points[point].sockets)
        tried = [Way(point, -1, -1, -1, lead) for lead in (-1, *leads)]
        for board, heap in product(range(len(facts.boards)), sockets):
            tried += [Way(point, heap, board, -1, lead) for lead in (-1, *leads)]
            tried += [
                Way(point, heap, board, lead, -1)
                for lead in leads
                if facts.leads[lead].rating_ma >= _most_on_board_ma(facts, demand, point, board)
            ]
        for way in tried:
            plan = _plan(demand.setup, [demand], ((way,),), off)
            if _holds_here(judge, plan, demand.setup):
                yield way


def _most_on_board_ma(facts: Facts, demand: Demand, point_id: str, board: int) -> int:
    """Return the most that the units of a place can put on a board there [mA]."""
    point = facts.points[point_id]
    heap = [
        facts.unit_ma(other.load, facts.poles_at(other.load, point))
        for other in facts.demands[demand.setup]
        if other.place == demand.place
        for _ in range(other.count)
    ]
    ways = facts.boards[board].ways
    fullest_ma = max(sum(units) for units in combinations([*heap, *[0] * ways], ways))
    return min(facts.boards[board].rating_ma, point.socket_ma, fullest_ma)


def _plan(
    setup_id: str, demands: list[Demand], chosen: tuple[tuple[Way, ...], ...], off: tuple[str, ...]
) -> Plan:
    sockets: dict[str, dict[object, int]] = defaultdict(dict)
    numbers: dict[str, int] = defaultdict(int)
    placed = []
    dark = []
    for demand, ways in zip(demands, chosen, strict=True):
        for way in ways:
            numbers[demand.load] += 1
            unit = numbers[demand.load]
            if way == DARK:
                out = LeftOut(setup=setup_id, load=demand.load, unit=unit, place=demand.place)
                dark.append(out)
                continue
            shared = (
                way.heap,
                way.board,
                way.board_lead,
                demand.place if way.board_lead >= 0 else "",
            )
            key: object = shared if way.board >= 0 else (demand.load, unit)
            taken = sockets[way.point]
            placed.append(
                Placement(
                    setup=setup_id,
                    load=demand.load,
                    unit=unit,
                    place=demand.place,
                    point=way.point,
                    socket=taken.setdefault(key, len(taken) + 1),
                    board=way.board if way.board >= 0 else None,
                    board_lead=way.board_lead if way.board_lead >= 0 else None,
                    lead=way.lead if way.lead >= 0 else None,
                )
            )
    switched = tuple(SwitchedOff(setup=setup_id, load=load) for load in off)
    return Plan(placements=tuple(placed), left_out=tuple(dark), switched_off=switched)


def _holds_here(judge: Judge, plan: Plan, setup_id: str) -> bool:
    """Whether a part of a day breaks nothing but that the rest is missing."""
    return all(v.rule == "missing" or v.setup != setup_id for v in judge.judge(plan).violations)


def _cable(facts: Facts, plan: Plan) -> int:
    """Order plans of one split by cable; everything else is the same for all of them.

    Two metres for each lead and board come on top, as the goal says; the judge has the last word.
    """
    leads = [p.lead for p in plan.placements if p.lead is not None]
    boards = {(p.point, p.socket): p.board_lead for p in plan.placements if p.board is not None}
    leads += [lead for lead in boards.values() if lead is not None]
    return sum(-int(-facts.leads[n].length_m // 1) + 2 for n in leads) + 2 * len(boards)
