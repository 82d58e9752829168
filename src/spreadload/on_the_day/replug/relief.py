"""The smallest re-plug that relieves what opened: one plug, else two.

Every unit on it by the plan and every point its plug reaches is weighed by arithmetic; the judge
accepts or refuses the best of them over all set-ups still to come. A second plug may also be one
that makes room where the first has to go. Never imports the solver.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice

from spreadload.derived.records import Point
from spreadload.explain.moves import open_points
from spreadload.on_the_day.replug.ledger import Ledger
from spreadload.on_the_day.replug.pairs import Pairs
from spreadload.on_the_day.replug.trial import Trials, staying
from spreadload.on_the_day.scene.hazard import Hazard, Shift
from spreadload.on_the_day.scene.limits import FULL_PCT, Carried, Kind, Limit
from spreadload.on_the_day.scene.scene import SURE, Scene
from spreadload.on_the_day.scene.steps import Move
from spreadload.plan import Placement

_TRIED = 160
# An outlet this unlikely to be on something is not.
HARDLY = 1 - SURE


@dataclass(frozen=True)
class Aim:
    """What has to be reached.

    Attributes:
        used_pct: At most so much of the limit, as the judge counts [%].
        warm_pct: At most so much of the rating, as it really flows [%]; infinite where it is enough
            to be within the limit.
    """

    used_pct: float
    warm_pct: float = float("inf")

    def is_met(self, carried: Carried) -> bool:
        """Whether a load is low enough."""
        return carried.used_pct <= self.used_pct and carried.warm_pct <= self.warm_pct


def aim_for(scene: Scene, carried: Carried) -> Aim | None:
    """Return what a re-plug has to reach, or None where the plan's own load is no reason to trip.

    Over its limit a device has to be brought within it; within, the load that the plan puts on it
    can only be to blame on a warm board, and has to come down a step.
    """
    if not carried.is_within:
        return Aim(FULL_PCT.value)
    aim_pct, most_pct = scene.facts.job.rules.warm_tiers_pct
    if carried.warm_pct > most_pct:
        return Aim(FULL_PCT.value, most_pct)
    if carried.warm_pct > aim_pct:
        return Aim(FULL_PCT.value, aim_pct)
    return None


def relieve(
    scene: Scene, limit: Limit, aim: Aim, *, avoid: frozenset[str] = frozenset()
) -> Move | None:
    """Return the best way to relieve a limit by one plug or else two, or None where none does.

    Args:
        scene: The house now.
        limit: What has to be relieved.
        aim: What has to be reached.
        avoid: Outlets not to plug into, such as those found dead.
    """
    search = _Search(scene, limit, aim, avoid)
    move = search.best_single()
    return move if move is not None else search.best_pair()


def ease_further(scene: Scene, move: Move, avoid: frozenset[str]) -> Move | None:
    """Return one more step that leaves room for a warm device, or None when none is needed."""
    most_pct = scene.facts.job.rules.warm_most_pct
    if move.after.warm_pct <= most_pct or not move.limit.is_amps:
        return None
    moved = {(s.unit.load, s.unit.unit) for s in move.steps}
    after = scene.with_plan(move.plan)
    search = _Search(after, move.limit, Aim(FULL_PCT.value, most_pct), avoid)
    search.units = [u for u in search.units if (u.load, u.unit) not in moved]
    return search.best_single()


def off_for_good(
    scene: Scene, limit: Limit, units: Sequence[Placement], avoid: frozenset[str]
) -> Move | None:
    """Return the handiest move that takes one of some units off a limit, whatever its load."""
    search = _Search(scene, limit, Aim(float("inf")), avoid)
    search.units = _unlike(tuple(units), 1)
    return search.best_single()


def emptied(scene: Scene, limit: Limit, avoid: frozenset[str]) -> tuple[Move, ...]:
    """Return moves that take everything possible off something, dearest heads first.

    It stays off: what is moved to an outlet behind it would be as dark there, so one that may be is
    taken only where no other is left.
    """
    doubtful = frozenset(o for o in scene.likely if limit.chance_dead(scene, o) > HARDLY)
    done: list[Move] = []
    units = sorted(
        limit.on(scene),
        key=lambda p: (-scene.facts.loads[p.load].left_out_cost, p.load, p.unit),
    )
    for unit in units:
        sure = off_for_good(scene, limit, (unit,), avoid | doubtful)
        move = sure or off_for_good(scene, limit, (unit,), avoid)
        if move is not None:
            done.append(move)
            scene = scene.with_plan(move.plan)
    return tuple(done)


class _Search:
    """Looks for moves that relieve one limit."""

    def __init__(self, scene: Scene, limit: Limit, aim: Aim, avoid: frozenset[str]) -> None:
        self._scene, self._limit, self._aim = scene, limit, aim
        self._avoid = avoid | scene.likely_off_limits
        opened = limit.id if limit.kind is Kind.CIRCUIT else ""
        self._hazard, self._ledger = Hazard(scene, opened), Ledger(scene, limit)
        self._trials = Trials(scene, limit, self._hazard, _TRIED)
        self._points: dict[str, tuple[Point, ...]] = {}
        self.units = _unlike(limit.on(scene), 1)

    def best_single(self) -> Move | None:
        """Return the best single plug that is enough."""
        found = [
            move
            for unit in self.units
            for shift in self._shifts(unit)
            for move in self._trials.built([shift])
        ]
        ranked = sorted(found, key=Move.rank)
        return next((move for move in ranked if self._trials.is_accepted(move)), None)

    def best_pair(self) -> Move | None:
        """Return the best two plugs that are enough together."""
        pairs = Pairs(self._scene, self._limit, self._ledger, self._hazard, self._aim.is_met)
        enough = (
            shifts
            for shifts in pairs.ranked(_unlike(self._limit.on(self._scene), 2), self._ways)
            if self._aim.is_met(self._ledger.after(shifts))
        )
        for shifts in enough:
            if self._trials.left <= 0:
                return None
            ranked = sorted(self._trials.built(shifts), key=Move.rank)
            move = next((m for m in ranked if self._trials.is_accepted(m)), None)
            if move is not None:
                return move
        return None

    def _shifts(self, unit: Placement) -> Iterator[Shift]:
        """Yield shifts off it for as long as the unit stays where it is, else for now only."""
        ways = dict.fromkeys((staying(self._scene, unit), (unit.setup,)))
        for to in self._ways_off(unit):
            shifts = (Shift(unit, to, setups) for setups in ways)
            enough = (s for s in shifts if self._is_enough(s))
            yield from islice(enough, 1)

    def _is_enough(self, shift: Shift) -> bool:
        return self._aim.is_met(self._ledger.after([shift])) and self._ledger.fits([shift])

    def _ways(self, unit: Placement) -> tuple[Point, ...]:
        """Return the points a unit's plug may go to, where nobody found them dead."""
        if unit.load not in self._points:
            self._points[unit.load] = open_points(self._scene.judged, unit.load)
        return tuple(p for p in self._points[unit.load] if p.outlet not in self._avoid)

    def _ways_off(self, unit: Placement) -> Iterator[Point]:
        """Yield the points that take a unit off what has to be relieved."""
        for point in self._ways(unit):
            if self._limit.kind is Kind.SOCKET or not self._limit.parts(self._scene, unit, point):
                yield point


def _unlike(units: tuple[Placement, ...], most: int) -> list[Placement]:
    """Return units, of those that are alike and stand and hang alike only so many."""
    found: list[Placement] = []
    held: dict[tuple[object, ...], int] = {}
    for unit in units:
        key = (unit.load, unit.place, unit.point, unit.board is None)
        held[key] = held.get(key, 0) + 1
        if held[key] <= most:
            found.append(unit)
    return found
