"""Two plugs that relieve something together: both off it, or one making room for the other.

Points that hang on the same devices are alike to the arithmetic, so only the handiest few of each
such group are tried. Never imports the solver.
"""

from collections.abc import Callable, Iterator, Sequence
from itertools import combinations, product

from spreadload.derived.records import Point
from spreadload.on_the_day.replug.ledger import Ledger
from spreadload.on_the_day.replug.trial import staying
from spreadload.on_the_day.scene.hazard import Hazard, Shift
from spreadload.on_the_day.scene.limits import Carried, Limit
from spreadload.on_the_day.scene.scene import Scene
from spreadload.on_the_day.scene.steps import is_in_shot
from spreadload.plan import Placement

Ways = Callable[[Placement], tuple[Point, ...]]
_Pair = tuple[Shift, Shift]
_OF_A_GROUP = 3
_RISKS_WEIGHED = 400


class Pairs:
    """Finds pairs of shifts that fit by arithmetic, least trouble first."""

    def __init__(
        self,
        scene: Scene,
        limit: Limit,
        ledger: Ledger,
        hazard: Hazard,
        is_enough: Callable[[Carried], bool],
    ) -> None:
        """Take what is known of the house.

        Args:
            scene: The house now.
            limit: What has to be relieved.
            ledger: Its sums on the likeliest wiring.
            hazard: Its sums on every wiring.
            is_enough: Whether what is left on the limit is low enough.
        """
        self._is_enough = is_enough
        self._scene, self._limit, self._ledger, self._hazard = scene, limit, ledger, hazard
        self._likely: dict[tuple[str, str, bool], tuple[Point, ...]] = {}
        self._stays: dict[tuple[str, str, int], tuple[str, ...]] = {}

    def ranked(self, units: Sequence[Placement], ways: Ways) -> Iterator[_Pair]:
        """Yield pairs that fit, least trouble first.

        Args:
            units: What hangs on the limit.
            ways: Where a unit's plug may go.
        """
        fitting = [*self._both_off(units, ways), *self._making_room(units, ways)]
        ranked = sorted(((self._trouble(pair), pair) for pair in fitting), key=lambda each: each[0])
        weighed = [
            (trouble[:2], round(self._hazard.risk(pair), 1), pair)
            for trouble, pair in ranked[:_RISKS_WEIGHED]
        ]
        weighed.sort(key=lambda each: each[:2])
        yield from (pair for _, _, pair in weighed)
        yield from (pair for _, pair in ranked[_RISKS_WEIGHED:])

    def _both_off(self, units: Sequence[Placement], ways: Ways) -> Iterator[_Pair]:
        for a, b in combinations(units, 2):
            # Whatever leaves the limit relieves it by as much, wherever it goes.
            if not self._is_enough(self._ledger.without((a, b))):
                continue
            for to_a, to_b in product(self._off(a, ways), self._off(b, ways)):
                yield from self._fitting(a, to_a, b, to_b)

    def _making_room(self, units: Sequence[Placement], ways: Ways) -> Iterator[_Pair]:
        """Yield pairs in which one unit leaves the place another needs, first the leaving one."""
        for a in units:
            if not self._is_enough(self._ledger.without((a,))):
                continue
            for to_a in self._off(a, ways):
                full = self._ledger.strained([Shift(a, to_a, (a.setup,))])
                for b in self._neighbours(to_a, full):
                    for to_b in self._handy(b, ways):
                        if to_b.id != b.point:
                            yield from self._fitting(b, to_b, a, to_a)

    def _neighbours(self, point: Point, full: frozenset[int]) -> Iterator[Placement]:
        """Yield what stands in the way at a point: on the same devices, or in its sockets."""
        for p in self._scene.judged.by_setup[self._scene.setup]:
            if self._limit.parts(self._scene, p):
                continue
            behind = self._scene.judge.behind(self._scene.facts.points[p.point], self._scene.likely)
            if p.point == point.id or (full and full & {*behind.rows, -1}):
                yield p

    def _fitting(self, a: Placement, to_a: Point, b: Placement, to_b: Point) -> Iterator[_Pair]:
        for now_only in (False, True):
            pair = (
                self._shift(a, to_a, now_only=now_only),
                self._shift(b, to_b, now_only=now_only),
            )
            if self._ledger.fits(pair):
                yield pair
                return

    def _shift(self, unit: Placement, to: Point, *, now_only: bool) -> Shift:
        if now_only:
            return Shift(unit, to, (unit.setup,))
        key = (unit.setup, unit.load, unit.unit)
        if key not in self._stays:
            self._stays[key] = staying(self._scene, unit)
        return Shift(unit, to, self._stays[key])

    def _off(self, unit: Placement, ways: Ways) -> Iterator[Point]:
        for point in self._handy(unit, ways):
            if not self._limit.parts(self._scene, unit, point):
                yield point

    def _handy(self, unit: Placement, ways: Ways) -> tuple[Point, ...]:
        """Return the handiest few of every group of points that hang on the same devices."""
        key = (unit.load, unit.place or "", unit.lead is None)
        if key not in self._likely:
            groups: dict[object, list[Point]] = {}
            for point in ways(unit):
                behind = self._scene.judge.behind(point, self._scene.likely)
                groups.setdefault((behind.rows, behind.rcds), []).append(point)
            self._likely[key] = tuple(
                point
                for group in groups.values()
                for point in sorted(group, key=lambda p: self._awkward(unit, p))[:_OF_A_GROUP]
            )
        return self._likely[key]

    def _awkward(self, unit: Placement, point: Point) -> tuple[bool, bool, float, str]:
        far_m = 0.0 if unit.place is None else self._scene.facts.route_m(unit.place, point)
        held = self._scene.judged.sockets(unit.setup, point.id)
        is_full = len(held) >= point.sockets
        return is_full, not self._scene.is_known(point.outlet), far_m, point.id

    def _trouble(self, pair: _Pair) -> tuple[tuple[int, int], int, int, int]:
        loads = [self._scene.facts.loads[shift.unit.load] for shift in pair]
        after = self._ledger.after(pair)
        costs = (
            sum(load.replug_cost > 1 for load in loads),
            sum(is_in_shot(self._scene, shift.unit) for shift in pair),
        )
        unknown = sum(not self._scene.is_known(shift.to.outlet) for shift in pair)
        warm = self._scene.facts.job.rules.warm_tiers_pct
        tiers = sum(after.warm_pct > tier for tier in warm)
        return costs, unknown, tiers, after.counted
