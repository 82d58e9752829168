"""The order in which to bring a dead circuit, or a dead house, back.

Never imports the solver.
"""

from collections.abc import Callable
from dataclasses import dataclass

from spreadload.explain.off import must_stay_on
from spreadload.on_the_day.scene.limit_of import circuit_limit
from spreadload.on_the_day.scene.limits import Kind, Limit
from spreadload.on_the_day.scene.scene import Scene
from spreadload.on_the_day.trip.opened import opens_with
from spreadload.plan import Placement


@dataclass(frozen=True)
class BringBack:
    """What to switch off first, and the order in which to switch on again.

    Attributes:
        limit: What opened, or None for everything.
        order: What goes on again: what must stay on, then biggest first, what runs now and then
            after that, then what may leak, discharge heads when cool.
        cool_down_min: Longest wait of a discharge head [min]; 0 where there is none.
        tied: Circuits whose handles go down with it, because they share its neutral.
    """

    limit: Limit | None
    order: tuple[Placement, ...]
    cool_down_min: int
    tied: tuple[str, ...] = ()


def bring_back(
    scene: Scene,
    limit: Limit | None,
    stays_off: Callable[[Placement], bool] = lambda _: False,
    last: Placement | None = None,
) -> BringBack:
    """Return the order for everything on what opened, or for the whole set-up.

    Args:
        scene: The house now.
        limit: What opened, or None for everything.
        stays_off: Whether a unit stays off, because it would open again with it.
        last: What may leak: all but discharge heads is back on before it is tried.
    """
    tied = opens_with(scene, limit.id) if limit is not None and limit.kind is Kind.CIRCUIT else ()
    if limit is None or limit.kind is Kind.PHASE:
        # One phase too full takes the main down, and with it the whole house.
        on = tuple(scene.judged.by_setup[scene.setup])
    else:
        limits = (limit, *(circuit_limit(scene, c) for c in tied))
        on = tuple(dict.fromkeys(p for each in limits for p in each.on(scene)))

    on = tuple(p for p in on if not stays_off(p))
    staying = must_stay_on(scene.facts)

    def turn(p: Placement) -> tuple[bool, bool, bool, bool, int, str, int]:
        load = scene.facts.loads[p.load]
        return (
            p.load not in staying,
            load.replug_cost > 1,
            p == last,
            load.is_intermittent,
            -scene.counted_ma(p),
            p.load,
            p.unit,
        )

    cool = [scene.facts.loads[p.load].replug_cost - 1 for p in on]
    return BringBack(limit, tuple(sorted(on, key=turn)), max(cool, default=0), tied)
