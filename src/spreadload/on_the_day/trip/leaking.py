"""An RCD opened: what leaks behind it, and which unit to take off first.

Never imports the solver.
"""

from dataclasses import dataclass

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
        suspects: Units behind it: what was just switched on first, then the leakiest.
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
    behind = sorted(
        limit.on(scene),
        key=lambda p: (p.load != just, -scene.facts.loads[p.load].leakage_ua, p.load, p.unit),
    )
    row = scene.facts.rcds[limit.id]
    return Leaking(
        rcd=limit.id,
        sum_ua=limit.now(scene).counted,
        guide_ua=row.guide_ua,
        may_trip_ua=row.may_trip_ua,
        suspects=tuple(behind),
    )
