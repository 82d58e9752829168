"""For every circuit and set-up of a plan, the move to make if it trips, worked out beforehand.

Never imports the solver.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from math import inf

from spreadload.job.job import Job
from spreadload.job.observations import Log
from spreadload.on_the_day.replug.relief import Aim, aim_for, relieve
from spreadload.on_the_day.replug.shed import Shed, shed
from spreadload.on_the_day.scene.limit_of import circuit_limit
from spreadload.on_the_day.scene.limits import FULL_PCT, Limit
from spreadload.on_the_day.scene.scene import Scene
from spreadload.on_the_day.scene.steps import Move
from spreadload.plan import Plan
from spreadload.units import percent_used
from spreadload.wiring.model import WiringModel

_LEAST_USED_PCT = 30
# Units times points times plugs of the plan looked at for all circuits together: some four seconds
# of one core. A hall of 64 heads takes a third of it; with 300 heads one circuit takes as much.
_MOST_LOOKED_AT = 1_500_000


@dataclass(frozen=True)
class FirstMove:
    """What to do first if one circuit trips in one set-up.

    Attributes:
        setup: The set-up.
        circuit: The circuit.
        before_ma: What counts against it then [mA].
        used_pct: In per cent of its limit.
        move: The smallest re-plug, once nothing is found on it that is not in the plan.
        shed: What to leave off where nothing can be moved.
        is_for_room: Whether ours is no reason to trip, so that the move only makes room for what
            is found on it and has to stay on.
    """

    setup: str
    circuit: str
    before_ma: int
    used_pct: int
    move: Move | None
    shed: Shed | None
    is_for_room: bool


@dataclass(frozen=True)
class _Loaded:
    """A circuit in a set-up in which the plan has something on it."""

    scene: Scene
    setup: str
    circuit: str
    load_ma: int

    @property
    def used_pct(self) -> int:
        """What counts against it, in per cent of its limit."""
        return percent_used(self.load_ma, self.scene.cap_ma(self.circuit))


def first_moves(
    job: Job,
    log: Log,
    plan: Plan,
    model: WiringModel | None = None,
    *,
    every_setup: bool = False,
) -> tuple[FirstMove, ...]:
    """Return a first move for every circuit the plan loads well, in the order of the board.

    On a site so large that this would take minutes, moves are looked for where circuits are
    fullest.

    Args:
        job: The job; it must not clash with its log.
        log: What was seen so far.
        plan: A plan.
        model: The wirings the house may have by job and log, where the caller knows them.
        every_setup: Whether to look in every set-up that has something on a circuit, not in the one
            alone that loads it most.
    """
    setups = [s.id for s in job.setups]
    whole = Scene.of(job, log, plan, setups[0], model)
    scenes = {setup: whole.at(setup) for setup in setups}
    loaded = [
        _Loaded(scene, setup, circuit, scene.circuit_ma(circuit))
        for circuit in whole.maps.circuits
        for setup, scene in scenes.items()
        if scene.on_circuit(circuit)
    ]
    if not every_setup:
        by_circuit = groupby(loaded, key=lambda each: each.circuit)
        worst = (max(there, key=lambda each: each.load_ma) for _, there in by_circuit)
        loaded = [each for each in worst if each.used_pct >= _LEAST_USED_PCT]
    searched = _affordable(loaded)
    return tuple(_prepared(each, is_searched=each in searched) for each in loaded)


def _prepared(each: _Loaded, *, is_searched: bool) -> FirstMove:
    scene, limit = each.scene, circuit_limit(each.scene, each.circuit)
    move, off = _first(scene, limit) if is_searched else (None, None)
    return FirstMove(
        setup=each.setup,
        circuit=each.circuit,
        before_ma=each.load_ma,
        used_pct=each.used_pct,
        move=move,
        shed=off,
        is_for_room=aim_for(scene, limit.now(scene)) is None,
    )


def room_made(scene: Scene, limit: Limit, avoid: frozenset[str]) -> Move | None:
    """Return the move prepared for a circuit that our own load is no reason to trip.

    Args:
        scene: The house now.
        limit: The circuit.
        avoid: Outlets not to plug into, such as those found dead.
    """
    return _relieved(scene, limit, avoid)


def _affordable(loaded: Sequence[_Loaded]) -> list[_Loaded]:
    """Return where a move is looked for: the fullest first, as far as the work goes."""
    found: list[_Loaded] = []
    left = _MOST_LOOKED_AT
    for each in sorted(loaded, key=lambda each: -each.used_pct):
        scene = each.scene
        units, points = len(scene.on_circuit(each.circuit)), len(scene.facts.points)
        left -= units * points * len(scene.judged.plan.placements)
        if left < 0 and found:
            break
        found.append(each)
    return found


def _first(scene: Scene, limit: Limit) -> tuple[Move | None, Shed | None]:
    move = _relieved(scene, limit)
    if move is not None:
        return move, None
    off = shed(scene, limit, _aims(scene, limit)[0])
    return None, None if off.is_nothing else off


def _relieved(scene: Scene, limit: Limit, avoid: frozenset[str] = frozenset()) -> Move | None:
    moves = (relieve(scene, limit, aim, avoid=avoid) for aim in _aims(scene, limit))
    return next((move for move in moves if move is not None), None)


def _aims(scene: Scene, limit: Limit) -> tuple[Aim, Aim]:
    """Return what to bring a circuit to that trips though the plan is within its limit, best first.

    It carried more than the plan says, so what the plan had on it was too much by as much: it has
    to come down to ``warm_most_pct`` of it, of the limit where it was above that. Where no two
    plugs do so, half as far will do; less is no answer to a trip, and something is left off. What
    is asked after the trip itself, of a breaker that is warm of our own load, is asked here too.
    """
    carried = limit.now(scene)
    asked = aim_for(scene, carried)
    warm_pct = inf if asked is None else asked.warm_pct
    whole = min(float(carried.used_pct), FULL_PCT.value)
    step = whole * (1.0 - scene.facts.job.rules.warm_most_pct / FULL_PCT.value)
    return Aim(whole - step, warm_pct), Aim(whole - step / 2, warm_pct)
