"""An RCD opened: what leaks behind it, and which unit to take off first.

Never imports the solver.
"""

from dataclasses import dataclass

from spreadload.explain.off import must_stay_on
from spreadload.on_the_day.scene.limits import Limit
from spreadload.on_the_day.scene.scene import Scene
from spreadload.plan import Placement


@dataclass(frozen=True)
class Leaking:
    """Standing leakage behind an RCD on the likeliest wiring.

    Attributes:
        rcd: The device.
        sum_ua: All of it together [µA].
        guide_ua: What should stand behind it at most [µA].
        may_trip_ua: From where it may open [µA].
        suspects: Units behind it: what was just switched on first, then the leakiest; what must
            stay on last.
    """

    rcd: str
    sum_ua: int
    guide_ua: int
    may_trip_ua: int
    suspects: tuple[Placement, ...]

    @property
    def is_sum(self) -> bool:
        """Whether the sum alone explains it, without any faulty item."""
        return self.sum_ua > self.may_trip_ua


def leaking(scene: Scene, limit: Limit, just: str | None) -> Leaking:
    """Return what leaks behind an RCD in the set-up that runs."""
    staying = must_stay_on(scene.facts)

    def turn(p: Placement) -> tuple[bool, bool, int, str, int]:
        leaks_ua = scene.facts.loads[p.load].leakage_ua
        return p.load != just, p.load in staying, -leaks_ua, p.load, p.unit

    behind = sorted(limit.on(scene), key=turn)
    row = scene.facts.rcds[limit.id]
    return Leaking(
        rcd=limit.id,
        sum_ua=limit.now(scene).counted,
        guide_ua=row.guide_ua,
        may_trip_ua=row.may_trip_ua,
        suspects=tuple(behind),
    )
