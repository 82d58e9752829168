"""Why each plug is where it is: what binds there, why not nearer, what the next best costs.

Every claim is made by moving that one unit and having the judge look again. Never imports the
solver.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import chain

from spreadload.derived.records import Point
from spreadload.explain.binding import Share, shares
from spreadload.explain.breaks import broken
from spreadload.explain.goal_words import Change, chance_change, price, vector
from spreadload.explain.judged import JudgedPlan
from spreadload.explain.moves import moved, open_points
from spreadload.explain.names import circuits_of
from spreadload.plan import Placement, Plan, Verdict, Violation
from spreadload.words import row

# Each try is one full judgement; a hall with sixty heads has some ninety places to explain.
TRIED_ELSEWHERE = 4
HOLDING_ENOUGH = 2


@dataclass(frozen=True)
class Elsewhere:
    """One unit at another point, the rest as it stands.

    Attributes:
        point: Where it would be.
        holds: Whether every limit would still hold.
        text: What would break, or which goal would get worse, with numbers.
    """

    point: str
    holds: bool
    text: str


@dataclass(frozen=True)
class Reason:
    """Why identical units of one load sit at one point in one set-up.

    Attributes:
        units: Numbers of the units.
        lead: Index of their lead, or None.
        on: The circuit it is on, or all it might be on.
        fullest: The fullest limit between the plug and the street.
        circuit: The fullest of its circuits.
        is_nearest: Whether no outlet it could use is nearer.
        nearest: What would happen at the nearest outlet, if that is another one.
        next_best: The best single move, or None when no other outlet can take it.
    """

    setup: str
    load: str
    units: tuple[int, ...]
    place: str | None
    point: str
    lead: int | None
    board: int | None
    board_lead: int | None
    on: tuple[str, ...]
    fullest: Share
    circuit: Share | None
    is_nearest: bool
    nearest: Elsewhere | None
    next_best: Elsewhere | None
    is_only_way: bool


def reasons(judged: JudgedPlan) -> tuple[Reason, ...]:
    """Return a reason for every placement, identical units at one point together."""
    return tuple(_reason(judged, units) for units in judged.groups.values())


def elsewhere(judged: JudgedPlan, placement: Placement, point: Point) -> Elsewhere:
    """Return what happens when one unit moves to a point and nothing else does."""
    return _Moves(judged, placement).to(point)


@dataclass(frozen=True)
class _Try:
    """A plan with one unit moved, and what it breaks; what it is worth is judged when asked for.

    Most tries break something, and then nobody asks.
    """

    judged: JudgedPlan
    plan: Plan
    violations: tuple[Violation, ...]

    @classmethod
    def of(cls, judged: JudgedPlan, plan: Plan) -> "_Try":
        return cls(judged, plan, judged.judge.violations(plan))

    @cached_property
    def breaks(self) -> str:
        """What is broken that was not before, in words, or ""."""
        return broken(self.judged.facts, self.judged.verdict.violations, self.violations)

    @cached_property
    def verdict(self) -> Verdict:
        return self.judged.judge.judge(self.plan)

    @cached_property
    def chance(self) -> Change | None:
        """What the move does to the chance that unknown wiring breaks the plan, if anything."""
        judged = self.judged
        if judged.fails_pct is None:
            return None
        change = chance_change(judged.own_pct, judged.fails_pct(self.plan))
        return change if change.before != change.after else None

    @property
    def rank(self) -> tuple[int, ...]:
        gained = 0 if self.chance is None else self.chance.after - self.chance.before
        return (gained, *vector(self.verdict))

    def at(self, point: Point) -> Elsewhere:
        if self.breaks:
            return Elsewhere(point.id, holds=False, text=self.breaks)
        lengths = self.judged.facts.lengths
        words = price(self.judged.verdict, self.verdict, lengths, self.chance)
        return Elsewhere(point.id, holds=True, text=words)


class _Moves:
    """The ways one unit could be plugged in elsewhere, each tried once."""

    def __init__(self, judged: JudgedPlan, placement: Placement) -> None:
        self._judged, self._placement = judged, placement
        self._tries: dict[str, _Try | None] = {}

    def to(self, point: Point) -> Elsewhere:
        """Return what happens at a point."""
        there = self._tried(point)
        if there is None:
            text = _taken(self._judged, self._placement, point)
            return Elsewhere(point.id, holds=False, text=text)
        return there.at(point)

    def best(self, points: Iterable[Point]) -> Elsewhere | None:
        """Return the best single move: nearest first, one outlet on each set of circuits."""
        best: tuple[tuple[int, ...], Elsewhere] | None = None
        seen: set[tuple[str, ...]] = set()
        tried = 0
        for point in _promising(self._judged, self._placement, points):
            if circuits_of(point) in seen:
                continue
            if len(seen) == HOLDING_ENOUGH or tried == TRIED_ELSEWHERE:
                break
            there = self._tried(point)
            tried += there is not None
            if there is None or there.breaks:
                continue
            seen.add(circuits_of(point))
            if best is None or there.rank < best[0]:
                best = (there.rank, there.at(point))
        return None if best is None else best[1]

    def _tried(self, point: Point) -> _Try | None:
        """Return the first way to plug in at a point that holds, else the first; None without."""
        if point.id not in self._tries:
            ways = (_Try.of(self._judged, p) for p in moved(self._judged, self._placement, point))
            first = next(ways, None)
            every = () if first is None else chain((first,), ways)
            holding = next((way for way in every if not way.violations), first)
            self._tries[point.id] = holding
        return self._tries[point.id]


def _reason(judged: JudgedPlan, units: tuple[Placement, ...]) -> Reason:
    placement = units[0]
    ways = shares(judged, placement)
    own = judged.point(placement)
    points = _by_distance(judged, placement)
    near = points[0] if points and placement.place is not None else own
    is_nearest = near.id == own.id or _as_near(judged, placement, near, own)
    circuit = next((share for share in ways if share.kind == "circuit"), None)
    moves = _Moves(judged, placement)
    return Reason(
        setup=placement.setup,
        load=placement.load,
        units=tuple(sorted(unit.unit for unit in units)),
        place=placement.place,
        point=placement.point,
        lead=placement.lead,
        board=placement.board,
        board_lead=placement.board_lead,
        on=circuits_of(own),
        fullest=ways[0],
        circuit=circuit,
        is_nearest=is_nearest,
        nearest=None if is_nearest else moves.to(near),
        next_best=moves.best(points),
        is_only_way=all(point.id == own.id for point in points),
    )


def _as_near(judged: JudgedPlan, placement: Placement, near: Point, own: Point) -> bool:
    if placement.place is None:
        return True
    route_m = judged.facts.route_m
    return route_m(placement.place, near) >= route_m(placement.place, own)


def _by_distance(judged: JudgedPlan, placement: Placement) -> list[Point]:
    points = open_points(judged, placement.load)
    place = placement.place
    if place is None:
        return list(points)
    return sorted(points, key=lambda p: (judged.facts.route_m(place, p), p.id))


def _promising(
    judged: JudgedPlan, placement: Placement, points: Iterable[Point]
) -> Iterator[Point]:
    """Yield points that one unit would not overload at first sight."""
    own = judged.point(placement)
    already = set(circuits_of(own))
    need_ma = judged.unit_ma(placement)
    for point in points:
        has_room = all(
            circuit in already or judged.room_ma(placement.setup, circuit) >= need_ma
            for circuit in circuits_of(point)
        )
        share_ma = judged.facts.socket_share_ma(placement.load, point, need_ma)
        is_carried = share_ma <= point.socket_ma and need_ma <= point.plate_ma
        if point.id != own.id and has_room and is_carried:
            yield point


def _taken(judged: JudgedPlan, placement: Placement, point: Point) -> str:
    holders = sorted(
        {
            unit.load
            for there in judged.sockets(placement.setup, point.id).values()
            for unit in there
        }
    )
    which = "its socket is" if point.sockets == 1 else "its sockets are"
    return f"{which} taken" + (f" by {row(holders)}" if holders else "")
