"""For every loaded circuit of a plan, the move to make if it trips, worked out beforehand.

Never imports the solver.
"""

from collections.abc import Sequence
from dataclasses import dataclass

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
        setup: The set-up in which the circuit is fullest.
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
    """A circuit in the set-up in which it is fullest."""

    scene: Scene
    setup: str
    circuit: str
    load_ma: int
    used_pct: int


def first_moves(
    job: Job, log: Log, plan: Plan, model: WiringModel | None = None
) -> tuple[FirstMove, ...]:
    """Return a first move for every circuit the plan loads, in the order of the board.

    On a site so large that this would take minutes, moves are looked for on the fullest circuits.

    Args:
        job: The job; it must not clash with its log.
        log: What was seen so far.
        plan: A plan.
        model: The wirings the house may have by job and log, where the caller knows them.
    """
    setups = [s.id for s in job.setups]
    whole = Scene.of(job, log, plan, setups[0], model)
    scenes = {setup: whole.at(setup) for setup in setups}
    loaded: list[_Loaded] = []
    for circuit in whole.maps.circuits:
        fullest = max(setups, key=lambda s: (whole.circuit_ma(circuit, setup=s), s == setups[0]))
        scene = scenes[fullest]
        load_ma, cap_ma = scene.circuit_ma(circuit), scene.cap_ma(circuit)
        used = percent_used(load_ma, cap_ma)
        if scene.on_circuit(circuit) and used >= _LEAST_USED_PCT:
            loaded.append(_Loaded(scene, fullest, circuit, load_ma, used))
    searched = _affordable(loaded)
    found = []
    for each in loaded:
        looked_for = each.circuit in searched
        move, off = _first(each.scene, each.circuit, each.used_pct) if looked_for else (None, None)
        carried = circuit_limit(each.scene, each.circuit).now(each.scene)
        for_room = aim_for(each.scene, carried) is None
        found.append(
            FirstMove(each.setup, each.circuit, each.load_ma, each.used_pct, move, off, for_room)
        )
    return tuple(found)


def room_made(scene: Scene, limit: Limit, avoid: frozenset[str]) -> Move | None:
    """Return the move prepared for a circuit that our own load is no reason to trip.

    Args:
        scene: The house now.
        limit: The circuit.
        avoid: Outlets not to plug into, such as those found dead.
    """
    return _relieved(scene, limit, limit.now(scene).used_pct, avoid)


def _affordable(loaded: Sequence[_Loaded]) -> frozenset[str]:
    """Return the circuits a move is looked for on: the fullest first, as far as the work goes."""
    found: set[str] = set()
    left = _MOST_LOOKED_AT
    for each in sorted(loaded, key=lambda each: -each.used_pct):
        scene = each.scene
        units, points = len(scene.on_circuit(each.circuit)), len(scene.facts.points)
        left -= units * points * len(scene.judged.plan.placements)
        if left < 0 and found:
            break
        found.add(each.circuit)
    return frozenset(found)


def _first(scene: Scene, circuit: str, used_pct: int) -> tuple[Move | None, Shed | None]:
    limit = circuit_limit(scene, circuit)
    move = _relieved(scene, limit, used_pct)
    if move is not None:
        return move, None
    off = shed(scene, limit, _aims(scene, used_pct)[0])
    return None, None if off.is_nothing else off


def _relieved(
    scene: Scene, limit: Limit, used_pct: int, avoid: frozenset[str] = frozenset()
) -> Move | None:
    moves = (relieve(scene, limit, aim, avoid=avoid) for aim in _aims(scene, used_pct))
    return next((move for move in moves if move is not None), None)


def _aims(scene: Scene, used_pct: int) -> tuple[Aim, Aim]:
    """Return what to bring a circuit to that trips though the plan is within its limit, best first.

    It carried more than the plan says, so what the plan had on it was too much by as much: it has
    to come down to ``warm_most_pct`` of it, of the limit where it was above that. Where no two
    plugs do so, half as far will do; less is no answer to a trip, and something is left off.
    """
    whole = min(float(used_pct), FULL_PCT.value)
    step = whole * (1.0 - scene.facts.job.rules.warm_most_pct / FULL_PCT.value)
    return Aim(whole - step), Aim(whole - step / 2)
