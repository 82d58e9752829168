"""The smallest re-plug that clears a circuit: one plug, else two, else what to leave dark.

Candidates are every unit on the circuit by the plan and every point its plug reaches; the judge
accepts or refuses each over all set-ups still to come. Never imports the solver.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, islice, product
from typing import Any

from spreadload.derived.records import Point
from spreadload.electrical.rows import Figure
from spreadload.explain.judged import JudgedPlan
from spreadload.explain.moves import open_points, seats
from spreadload.on_the_day.scene import SURE, Scene
from spreadload.plan import Placement, Plan, Violation
from spreadload.units import percent_used

AIM_PCT = Figure(80.0, source="warm breakers open sooner: aim at 80 %; common practice, no source")
MOST_PCT = Figure(90.0, source="a warm breaker: at most 90 %; common practice, no source")
FULL_PCT = Figure(100.0, source="the rating itself; derived")
LIKELY = Figure(0.10, source="a guess good enough to try first; our own choice")

_TRIED_PAIRS = 40
_TRIED_SEATS = 5
_PAIRED = 2


@dataclass(frozen=True)
class Step:
    """One unit from one point to another.

    Attributes:
        unit: As it is plugged in now.
        to: As it will be.
        setups: Set-ups in which it moves; where it stays behind it goes back afterwards.
        cool_down_min: Minutes it stays dark [min].
        is_in_shot: Whether the job says that the camera sees it.
        has_new_lead: Whether another lead than the one lying there is needed.
    """

    unit: Placement
    to: Placement
    setups: tuple[str, ...]
    cool_down_min: int
    is_in_shot: bool
    has_new_lead: bool


@dataclass(frozen=True)
class Move:
    """One or two steps that clear a circuit.

    Attributes:
        circuit: The circuit it clears.
        before_ma: What counts against the circuit before [mA].
        after_ma: And after [mA].
        used_pct: Per cent of the circuit's limit after.
        risk: Weight of the wirings on which some breaker is still over its limit now.
        plan: The plan after it.
    """

    circuit: str
    steps: tuple[Step, ...]
    before_ma: int
    after_ma: int
    used_pct: int
    risk: float
    plan: Plan

    @property
    def is_proven(self) -> bool:
        """Whether hardly any wiring makes it fail."""
        return self.risk <= 1 - SURE

    def rank(self) -> tuple[Any, ...]:
        """Return what makes one move better than another, smaller first."""
        tiers = (AIM_PCT.value, MOST_PCT.value)
        return (
            len(self.steps),
            sum(step.cool_down_min > 0 for step in self.steps),
            sum(step.is_in_shot for step in self.steps),
            0 if self.is_proven else 1 if self.risk <= LIKELY.value else 2,
            round(self.risk, 1),
            sum(self.used_pct > tier for tier in tiers),
            sum(step.has_new_lead for step in self.steps),
            sum(step.to.board is not None for step in self.steps),
            self.after_ma,
            tuple((s.unit.load, s.unit.unit, s.to.point) for s in self.steps),
        )


def best_moves(
    scene: Scene, circuit: str, *, avoid: frozenset[str] = frozenset(), most_pct: float = 100.0
) -> tuple[Move, ...]:
    """Return ways to clear a circuit, best first: all of the least number of plugs, at most two.

    Args:
        scene: The house now.
        circuit: The circuit that has to be relieved.
        avoid: Outlets not to plug into, such as those found dead.
        most_pct: What may stay on it in per cent of its limit [%].
    """
    singles = _singles(scene, circuit, avoid, most_pct)
    if singles:
        return tuple(sorted(singles, key=Move.rank))
    return tuple(sorted(_pairs(scene, circuit, avoid, most_pct), key=Move.rank))


def ease_further(
    scene: Scene, move: Move, avoid: frozenset[str], *, most_pct: float = MOST_PCT.value
) -> Move | None:
    """Return one more step that leaves room for a warm breaker, or None when none is needed."""
    if move.used_pct <= most_pct:
        return None
    after = scene.with_plan(move.plan)
    found = _singles(after, move.circuit, avoid, most_pct)
    moved = {(s.unit.load, s.unit.unit) for s in move.steps}
    others = [m for m in found if (m.steps[0].unit.load, m.steps[0].unit.unit) not in moved]
    return min(others, key=Move.rank, default=None)


def _singles(scene: Scene, circuit: str, avoid: frozenset[str], most_pct: float) -> list[Move]:
    cap_ma, before_ma = scene.cap_ma(circuit), scene.circuit_ma(circuit)
    found: list[Move] = []
    for unit in scene.on_circuit(circuit):
        if percent_used(before_ma - scene.counted_ma(unit), cap_ma) > most_pct:
            continue
        for point in _points(scene, unit, circuit, avoid):
            steps = _accepted(scene, unit, point, circuit, most_pct)
            if steps is not None:
                found.append(_move(scene, circuit, *steps))
    return found


def _pairs(scene: Scene, circuit: str, avoid: frozenset[str], most_pct: float) -> Iterator[Move]:
    """Yield pairs of steps, those that free just enough with the least trouble first."""
    cap_ma, before_ma = scene.cap_ma(circuit), scene.circuit_ma(circuit)
    units = scene.on_circuit(circuit)
    pairs = [
        pair
        for pair in combinations(units, _PAIRED)
        if percent_used(before_ma - sum(scene.counted_ma(u) for u in pair), cap_ma) <= most_pct
    ]
    pairs.sort(key=lambda pair: _trouble(scene, pair))
    tried = 0
    for a, b in pairs:
        points_a = list(islice(_points(scene, a, circuit, avoid), _TRIED_SEATS))
        points_b = list(islice(_points(scene, b, circuit, avoid), _TRIED_SEATS))
        for point_a, point_b in product(points_a, points_b):
            tried += 1
            if tried > _TRIED_PAIRS * _PAIRED:
                return
            first = _accepted(scene, a, point_a, circuit, None)
            if first is None:
                break
            then = scene.with_plan(first[1])
            second = _accepted(then, b, point_b, circuit, most_pct)
            if second is not None:
                yield _move(scene, circuit, (*first[0], *second[0]), second[1])
                break


def _trouble(scene: Scene, units: Sequence[Placement]) -> tuple[int, int, int]:
    loads = [scene.facts.loads[u.load] for u in units]
    return (
        sum(load.replug_cost > 1 for load in loads),
        sum(is_in_shot(scene, u) for u in units),
        sum(scene.counted_ma(u) for u in units),
    )


def _points(scene: Scene, unit: Placement, circuit: str, avoid: frozenset[str]) -> Iterator[Point]:
    """Yield points on other circuits with room there, known and roomy ones first."""
    need_ma = scene.counted_ma(unit)
    found = []
    for point in open_points(scene.judged, unit.load):
        other = scene.likely[point.outlet]
        left_ma = scene.cap_ma(other) - scene.circuit_ma(other)
        if other == circuit or point.outlet in avoid or left_ma < need_ma:
            continue
        found.append((not scene.is_known(point.outlet), point.is_last_resort, -left_ma, point.id))
    for _, _, _, point_id in sorted(found):
        yield scene.facts.points[point_id]


def _accepted(
    scene: Scene, unit: Placement, point: Point, circuit: str, most_pct: float | None
) -> tuple[tuple[Step, ...], Plan] | None:
    """Return a step the judge has nothing new against, in all set-ups it stays in."""
    together = _staying(scene, unit)
    for setups in dict.fromkeys((together, together[:1])):
        for seat in seats(scene.judged, unit, point):
            plan = _moved(scene.judged, unit, seat, setups)
            if _is_accepted(scene, plan, circuit, most_pct):
                return (_step(scene, unit, seat, setups),), plan
    return None


def _staying(scene: Scene, unit: Placement) -> tuple[str, ...]:
    """Return the set-ups, from now without a gap, in which a unit stays where it is."""
    found = []
    for setup in scene.remaining:
        same = [p for p in scene.judged.by_setup[setup] if _is_same(p, unit)]
        if not same and setup != unit.setup:
            break
        found.append(setup)
    return tuple(found)


def _is_same(a: Placement, b: Placement) -> bool:
    return (a.load, a.unit, a.place, a.point) == (b.load, b.unit, b.place, b.point)


def _moved(judged: JudgedPlan, unit: Placement, seat: Placement, setups: tuple[str, ...]) -> Plan:
    """Return the plan with a unit at its new seat in some set-ups; the socket free there."""
    placements = []
    for p in judged.plan.placements:
        if p.setup not in setups or not _is_same(p, unit):
            placements.append(p)
        elif p.setup == unit.setup:
            placements.append(seat)
        else:
            point = judged.facts.points[seat.point]
            there = next(seats(judged, p, point), None)
            placements.append(there or _in_setup(seat, p.setup))
    return judged.plan.model_copy(update={"placements": tuple(placements)})


def _in_setup(placement: Placement, setup: str) -> Placement:
    return placement.model_copy(update={"setup": setup})


def _is_accepted(scene: Scene, plan: Plan, circuit: str, most_pct: float | None) -> bool:
    verdict = scene.judge.judge(plan, scene.likely)
    was = {_key(v): v.value for v in scene.judged.verdict.violations}
    if any(v.value > was.get(_key(v), 0.0) + 1e-9 for v in verdict.violations):
        return False
    if most_pct is None:
        return True
    return percent_used(scene.circuit_ma(circuit, plan), scene.cap_ma(circuit)) <= most_pct


def _key(v: Violation) -> tuple[str, str, str]:
    return v.rule, v.setup, v.where


def _step(scene: Scene, unit: Placement, seat: Placement, setups: tuple[str, ...]) -> Step:
    return Step(
        unit,
        seat,
        setups,
        cool_down_min=scene.facts.loads[unit.load].replug_cost - 1,
        is_in_shot=is_in_shot(scene, unit),
        has_new_lead=seat.lead is not None and seat.lead != unit.lead,
    )


def is_in_shot(scene: Scene, unit: Placement) -> bool:
    """Whether the job says in words that the camera sees a unit: “practical” or “in shot”."""
    job = scene.facts.job
    stated = job.heads.get(unit.load) or scene.facts.load_stated(unit.load)
    place = job.places.get(unit.place or "")
    words = [unit.load, unit.place or ""]
    words += [stated.what, stated.note] if stated is not None else []
    words += [place.name or ""] if place is not None else []
    text = " ".join(words).lower()
    return "practical" in text or "in shot" in text


def _move(scene: Scene, circuit: str, steps: tuple[Step, ...], plan: Plan) -> Move:
    after_ma = scene.circuit_ma(circuit, plan)
    return Move(
        circuit=circuit,
        steps=steps,
        before_ma=scene.circuit_ma(circuit),
        after_ma=after_ma,
        used_pct=percent_used(after_ma, scene.cap_ma(circuit)),
        risk=scene.risk(plan),
        plan=plan,
    )


@dataclass(frozen=True)
class Shed:
    """What to leave off where nothing can be moved.

    Attributes:
        waits: Loads that take turns: they wait until cut.
        dark: Heads left dark, least important first.
        after_ma: What the circuit carries then [mA].
        used_pct: In per cent of its limit.
    """

    waits: tuple[Placement, ...]
    dark: tuple[Placement, ...]
    after_ma: int
    used_pct: int


def shed(scene: Scene, circuit: str, *, most_pct: float = MOST_PCT.value) -> Shed:
    """Return what to leave off a circuit: first what runs now and then, then the least heads."""
    cap_ma, left_ma = scene.cap_ma(circuit), scene.circuit_ma(circuit)
    waits: list[Placement] = []
    dark: list[Placement] = []
    on = scene.on_circuit(circuit)
    now_and_then = [p for p in on if scene.facts.loads[p.load].is_intermittent]
    heads = [p for p in on if scene.facts.loads[p.load].is_head]
    heads.sort(key=lambda p: (scene.facts.loads[p.load].left_out_cost, p.load, p.unit))
    for unit, pile in [*((p, waits) for p in now_and_then), *((p, dark) for p in heads)]:
        if percent_used(left_ma, cap_ma) <= most_pct:
            break
        left_ma -= scene.counted_ma(unit)
        pile.append(unit)
    return Shed(tuple(waits), tuple(dark), left_ma, percent_used(left_ma, cap_ma))


def emptied(scene: Scene, circuit: str, avoid: frozenset[str]) -> tuple[tuple[Move, ...], Scene]:
    """Return moves that take everything possible off a circuit, dearest heads first."""
    done: list[Move] = []
    units = sorted(
        scene.on_circuit(circuit),
        key=lambda p: (-scene.facts.loads[p.load].left_out_cost, p.load, p.unit),
    )
    for unit in units:
        for point in _points(scene, unit, circuit, avoid):
            accepted = _accepted(scene, unit, point, circuit, None)
            if accepted is not None:
                move = _move(scene, circuit, *accepted)
                done.append(move)
                scene = scene.with_plan(move.plan)
                break
    return tuple(done), scene
