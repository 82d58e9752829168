"""An RCD opened: what leaks behind it, and which unit to take off first.

Never imports the solver.
"""

from dataclasses import dataclass

from spreadload.on_the_day.scene import Scene
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


def leaking(scene: Scene, rcd: str, just: str | None) -> Leaking:
    """Return what leaks behind an RCD in the set-up that runs."""
    behind = [p for p in scene.judged.by_setup[scene.setup] if _is_behind(scene, p, rcd)]
    behind.sort(
        key=lambda p: (p.load != just, -scene.facts.loads[p.load].leakage_ua, p.load, p.unit)
    )
    wired = sum(
        scene.facts.loads[d.load].leakage_ua * d.count
        for d in scene.judged.wired(scene.setup)
        if rcd in scene.facts.circuits[d.circuit or ""].rcds
    )
    row = scene.facts.rcds[rcd]
    return Leaking(
        rcd=rcd,
        sum_ua=wired + sum(scene.facts.loads[p.load].leakage_ua for p in behind),
        guide_ua=row.guide_ua,
        may_trip_ua=row.may_trip_ua,
        suspects=tuple(behind),
    )


def _is_behind(scene: Scene, p: Placement, rcd: str) -> bool:
    outlet = scene.facts.points[p.point].outlet
    own = scene.facts.job.outlets[outlet].rcd
    return own == rcd or rcd in scene.facts.circuits[scene.likely[outlet]].rcds
