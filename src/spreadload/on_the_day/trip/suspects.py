"""What makes an arc-fault breaker open without a fault: drivers, dimmers, motors.

Never imports the solver.
"""

from spreadload.explain.off import must_stay_on
from spreadload.job.kit import LoadKind
from spreadload.on_the_day.replug.relief import off_for_good
from spreadload.on_the_day.scene.limits import Limit
from spreadload.on_the_day.scene.scene import Scene
from spreadload.on_the_day.scene.steps import Move
from spreadload.plan import Placement

# Common practice, no source: a switching supply or a brush motor looks like an arc to the breaker.
_LIKE_AN_ARC = frozenset(
    {LoadKind.MOTOR, LoadKind.LED, LoadKind.DISCHARGE, LoadKind.ELECTRONICS, LoadKind.FLUORESCENT}
)


def like_an_arc(scene: Scene, limit: Limit, just: str | None = None) -> tuple[Placement, ...]:
    """Return the units on a circuit that an arc-fault breaker may mistake for an arc.

    Args:
        scene: The house now.
        limit: The circuit.
        just: What was just switched on: it comes first; what must stay on comes last.
    """
    staying = must_stay_on(scene.facts)
    alike = (p for p in limit.on(scene) if _kind(scene, p) in _LIKE_AN_ARC)
    return tuple(sorted(alike, key=lambda p: (p.load != just, p.load in staying)))


def electronics_off(scene: Scene, limit: Limit, avoid: frozenset[str]) -> Move | None:
    """Return the handiest move that takes a driver or motor to a plain breaker, or None.

    Another arc-fault breaker may open for the same: no plug is moved onto one for this.
    """
    circuits = scene.facts.job.circuits
    alike = frozenset(o for o, circuit in scene.likely.items() if circuits[circuit].arc_fault)
    return off_for_good(scene, limit, like_an_arc(scene, limit), avoid | alike)


def _kind(scene: Scene, p: Placement) -> LoadKind:
    stated = scene.facts.job.heads.get(p.load) or scene.facts.load_stated(p.load)
    return LoadKind.OTHER if stated is None else stated.kind
