"""What every device carries on the likeliest wiring, and whether a few shifts still fit.

The judge has the last word; this arithmetic tells it which of thousands of moves to look at.
Never imports the solver.
"""

from collections import defaultdict
from collections.abc import Collection, Sequence

from spreadload.derived.records import Point
from spreadload.on_the_day.scene.hazard import Shift
from spreadload.on_the_day.scene.limits import Carried, Limit, add_amounts
from spreadload.on_the_day.scene.scene import Scene
from spreadload.plan import Placement

# What one unit puts where: milliamps by row, the RCDs it leaks to, and how much [µA].
_Brought = tuple[tuple[tuple[int, int], ...], Collection[str], int]


class Ledger:
    """The sums of every remaining set-up on the likeliest wiring."""

    def __init__(self, scene: Scene, limit: Limit) -> None:
        """Add up what the limit to be relieved is under.

        Args:
            scene: The house now.
            limit: What has to be relieved.
        """
        self._scene = scene
        self._limit = limit
        self._brings: dict[tuple[str, str, str], _Brought] = {}
        self._on_limit: dict[tuple[object, ...], dict[int, tuple[int, int]]] = {}
        self._caps = [device.cap_ma for device in scene.judge.devices.rows]
        self._sums = limit.sums(scene, scene.judged.by_setup[scene.setup], scene.setup)

    def after(self, shifts: Sequence[Shift]) -> Carried:
        """Return what the limit is under in the set-up that runs, after shifts."""
        sums = dict(self._sums)
        for shift in shifts:
            add_amounts(sums, self._parts(shift.unit), -1)
            add_amounts(sums, self._parts(shift.unit, shift.to))
        return self._limit.fullest(sums)

    def without(self, units: Sequence[Placement]) -> Carried:
        """Return what the limit is under in the set-up that runs with some units gone."""
        sums = dict(self._sums)
        for unit in units:
            add_amounts(sums, self._parts(unit), -1)
        return self._limit.fullest(sums)

    def _parts(self, unit: Placement, at: Point | None = None) -> dict[int, tuple[int, int]]:
        """Return what a unit puts on the limit, looked for once."""
        key = (unit.setup, unit.load, unit.point, unit.socket, at and at.id)
        if key not in self._on_limit:
            self._on_limit[key] = self._limit.parts(self._scene, unit, at)
        return self._on_limit[key]

    def fits(self, shifts: Sequence[Shift]) -> bool:
        """Whether no device passes its limit, or passes it by more, because of the shifts."""
        return not self.strained(shifts)

    def strained(self, shifts: Sequence[Shift]) -> frozenset[int]:
        """Return the devices that pass their limits by more than before, -1 for any RCD."""
        found: set[int] = set()
        for setup in dict.fromkeys(s for shift in shifts for s in shift.setups):
            here = [shift for shift in shifts if setup in shift.setups]
            found |= self._strained_in(setup, here)
        return frozenset(found)

    def _brought(self, setup: str, unit: Placement, point: Point) -> _Brought:
        """Return what a unit at a point puts on rows and RCDs; of a thousand shifts few differ."""
        key = (setup, unit.load, point.id)
        if key not in self._brings:
            scene = self._scene
            if unit.setup != setup:
                unit = unit.model_copy(update={"setup": setup})
            behind = scene.judge.behind(point, scene.likely)
            counts = [scene.judge.devices.rows[row].is_counted for row in behind.rows]
            amps = tuple(
                (row, (scene.counted_ma if is_counted else scene.unit_ma)(unit, point))
                for row, is_counted in zip(behind.rows, counts, strict=True)
            )
            self._brings[key] = (amps, behind.rcds, scene.facts.loads[unit.load].leakage_ua)
        return self._brings[key]

    def _strained_in(self, setup: str, shifts: Sequence[Shift]) -> set[int]:
        scene, state = self._scene, self._scene.states[setup]
        extra_ma: dict[int, int] = defaultdict(int)
        extra_ua: dict[str, int] = defaultdict(int)
        for shift in shifts:
            for point, sign in ((scene.facts.points[shift.unit.point], -1), (shift.to, 1)):
                amps, rcds, leaks_ua = self._brought(setup, shift.unit, point)
                for row, each_ma in amps:
                    extra_ma[row] += sign * each_ma
                for rcd in rcds:
                    extra_ua[rcd] += sign * leaks_ua
        over = {
            row
            for row, more in extra_ma.items()
            if more > 0 and state.against_limit_ma(row) + more > self._caps[row]
        }
        leaky = any(
            more > 0 and state.leakage_ua(rcd) + more > scene.facts.rcds[rcd].may_trip_ua
            for rcd, more in extra_ua.items()
        )
        return over | ({-1} if leaky else set())
