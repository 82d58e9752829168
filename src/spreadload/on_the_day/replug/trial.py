"""Trying shifts out: the seat each plug gets, the plan it makes, and whether the judge minds.

The judge looks at every set-up still to come. Never imports the solver.
"""

from collections.abc import Iterator, Sequence

from spreadload.derived.records import Point
from spreadload.explain.judged import JudgedPlan
from spreadload.explain.moves import seats
from spreadload.on_the_day.scene.hazard import Hazard, Shift
from spreadload.on_the_day.scene.limit_of import circuit_limit
from spreadload.on_the_day.scene.limits import Carried, Limit, Sums, add_amounts
from spreadload.on_the_day.scene.scene import Scene
from spreadload.on_the_day.scene.steps import Move, Step
from spreadload.plan import Placement, Plan, Violation

_NOISE = 1e-9


def staying(scene: Scene, unit: Placement) -> tuple[str, ...]:
    """Return the set-ups, from now without a gap, in which a unit stays where it is."""
    found = []
    for setup in scene.remaining:
        same = [p for p in scene.judged.by_setup[setup] if is_same(p, unit)]
        if not same and setup != unit.setup:
            break
        found.append(setup)
    return tuple(found)


def is_same(a: Placement, b: Placement) -> bool:
    """Whether two placements are one unit left where it is."""
    return (a.load, a.unit, a.place, a.point) == (b.load, b.unit, b.place, b.point)


class Trials:
    """Builds and judges moves that relieve one limit; tries no more of them than it may.

    Attributes:
        left: How many plans the judge may still be asked about.
    """

    def __init__(self, scene: Scene, limit: Limit, hazard: Hazard, most: int) -> None:
        """Remember what the plan passes already: a move must not make that worse.

        Args:
            scene: The house now.
            limit: What has to be relieved.
            hazard: The same house on every map.
            most: How many plans to have judged at most.
        """
        self.left = most
        self._scene, self._limit, self._hazard = scene, limit, hazard
        self._was = {_key(v): v.value for v in scene.judged.verdict.violations}
        self._before = limit.now(scene)
        self._sums: dict[Limit, Sums] = {}

    def built(self, shifts: Sequence[Shift]) -> Iterator[Move]:
        """Yield the ways to plug in what is shifted, one after the other, not yet judged."""
        yield from self._built(self._scene.judged, shifts, ())

    def _built(
        self, judged: JudgedPlan, shifts: Sequence[Shift], done: tuple[Step, ...]
    ) -> Iterator[Move]:
        if not shifts:
            yield self._move(judged.plan, done)
            return
        shift = shifts[0]
        for seat in seats(judged, shift.unit, shift.to):
            if (seat.point, seat.socket) == (shift.unit.point, shift.unit.socket):
                continue
            plan = with_shift(judged, shift, seat)
            after = JudgedPlan(judged.facts, judged.judge, plan, judged.verdict)
            step = Step.of(self._scene, shift.unit, seat, shift.setups)
            yield from self._built(after, shifts[1:], (*done, step))

    def _move(self, plan: Plan, steps: tuple[Step, ...]) -> Move:
        shifts = [
            Shift(step.unit, self._scene.facts.points[step.to.point], step.setups) for step in steps
        ]
        return Move(
            limit=self._limit,
            steps=steps,
            before=self._before,
            after=self._carried(self._limit, plan),
            risk=self._hazard.risk(shifts),
            plan=plan,
            warm_tiers_pct=self._scene.facts.job.rules.warm_tiers_pct,
        )

    def _carried(self, limit: Limit, plan: Plan) -> Carried:
        """Return what a limit is under by a plan that moves a few units and leaves the rest."""
        scene = self._scene
        if limit not in self._sums:
            here = scene.judged.by_setup[scene.setup]
            self._sums[limit] = limit.sums(scene, here, scene.setup)
        sums = dict(self._sums[limit])
        was, now = self._running(scene.judged.plan), self._running(plan)
        for before, after in zip(was, now, strict=True):
            if before is not after:
                add_amounts(sums, limit.parts(scene, before), -1)
                add_amounts(sums, limit.parts(scene, after))
        return limit.fullest(sums)

    def _running(self, plan: Plan) -> Iterator[Placement]:
        """Yield what a plan says of the set-up that runs, in the order it says so."""
        return (p for p in plan.placements if p.setup == self._scene.setup)

    def is_accepted(self, move: Move) -> bool:
        """Whether the judge has nothing new against a move in any set-up still to come."""
        if self.left <= 0 or self._passes_it_on(move):
            return False
        self.left -= 1
        found = self._scene.judge.violations(move.plan, self._scene.likely)
        return all(v.value <= self._was.get(_key(v), 0.0) + _NOISE for v in found)

    def _passes_it_on(self, move: Move) -> bool:
        """Whether what tripped by our own load ends on another circuit that is as full then."""
        if move.before.warm_pct <= min(move.warm_tiers_pct):
            return False
        for step in move.steps:
            circuit = self._scene.likely[self._scene.facts.points[step.to.point].outlet]
            carried = self._carried(circuit_limit(self._scene, circuit), move.plan)
            if circuit != move.circuit and carried.used_pct >= move.before.used_pct:
                return True
        return False


def with_shift(judged: JudgedPlan, shift: Shift, seat: Placement) -> Plan:
    """Return the plan with a unit at its new seat in some set-ups; the socket free there."""
    placements = []
    for p in judged.plan.placements:
        if p.setup not in shift.setups or not is_same(p, shift.unit):
            placements.append(p)
        elif p.setup == shift.unit.setup:
            placements.append(seat)
        else:
            there = next(seats(judged, p, _point(judged, seat)), None)
            placements.append(there or seat.model_copy(update={"setup": p.setup}))
    return judged.plan.model_copy(update={"placements": tuple(placements)})


def _point(judged: JudgedPlan, seat: Placement) -> Point:
    return judged.facts.points[seat.point]


def _key(v: Violation) -> tuple[str, str, str]:
    return v.rule, v.setup, v.where
