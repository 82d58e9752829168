"""What to leave off where nothing can be moved: least loss first.

Never imports the solver.
"""

from dataclasses import dataclass

from spreadload.job.kit import LoadKind, Policy
from spreadload.on_the_day.replug.relief import Aim
from spreadload.on_the_day.scene.limits import Carried, Limit
from spreadload.on_the_day.scene.scene import Scene
from spreadload.plan import Placement


@dataclass(frozen=True)
class Shed:
    """What to leave off.

    Attributes:
        waits: Loads that take turns: they wait until cut.
        asked: Heat-makers of departments that the plan may not switch off, but may ask to wait.
        off: What the house and departments may switch off.
        wired: Hard-wired loads that may be switched off, by id.
        dark: Heads left dark, least important first.
        after: What the limit is under then.
        is_enough: Whether that is enough.
    """

    waits: tuple[Placement, ...]
    dark: tuple[Placement, ...]
    after: Carried
    off: tuple[Placement, ...] = ()
    wired: tuple[str, ...] = ()
    asked: tuple[Placement, ...] = ()
    is_enough: bool = True

    @property
    def after_ma(self) -> int:
        """What is still held against the limit [mA]."""
        return self.after.counted

    @property
    def used_pct(self) -> int:
        """In per cent of the limit."""
        return self.after.used_pct

    @property
    def is_nothing(self) -> bool:
        """Whether there is nothing to leave off."""
        return not (self.waits or self.off or self.wired or self.asked or self.dark)

    def leaves_off(self, unit: Placement) -> bool:
        """Whether a unit does not go back on with the rest."""
        return unit in (*self.waits, *self.asked, *self.off, *self.dark)


def shed(scene: Scene, limit: Limit, aim: Aim) -> Shed:
    """Return what to leave off, least missed first.

    What runs now and then, what may be off, heat-makers that can take turns, then the least heads.
    What turns out not to be needed comes back, most missed first: a small one left off before a
    large one, or one on a pole that was not the fullest.
    """
    may_be_off = [d.load for d in scene.facts.demands[scene.setup] if d.may_be_off]
    off: list[Placement | str] = []

    def carried() -> Carried:
        kept = [p for p in scene.judged.by_setup[scene.setup] if p not in off]
        gone = [load for load in off if isinstance(load, str)]
        return limit.fullest(limit.sums(scene, kept, scene.setup, gone))

    for unit in _in_order(scene, limit, may_be_off):
        if aim.is_met(carried()):
            break
        off.append(unit)
    if is_enough := aim.is_met(carried()):
        for unit in reversed(tuple(off)):
            off.remove(unit)
            if not aim.is_met(carried()):
                off.append(unit)
    piles: dict[str, list[Placement]] = {"waits": [], "asked": [], "off": [], "dark": []}
    for unit in _in_order(scene, limit, may_be_off):
        if unit in off and not isinstance(unit, str):
            piles[_pile(scene, unit, may_be_off)].append(unit)
    return Shed(
        waits=tuple(piles["waits"]),
        dark=tuple(piles["dark"]),
        asked=tuple(piles["asked"]),
        after=carried(),
        off=tuple(piles["off"]),
        wired=tuple(load for load in off if isinstance(load, str)),
        is_enough=is_enough,
    )


def _pile(scene: Scene, unit: Placement, may_be_off: list[str]) -> str:
    load = scene.facts.loads[unit.load]
    if load.is_intermittent:
        return "waits"
    if load.is_head:
        return "dark"
    return "off" if unit.load in may_be_off else "asked"


def _can_wait(scene: Scene, unit: Placement) -> bool:
    """Whether a load only makes heat, and nobody said that it must stay on."""
    stated = scene.facts.load_stated(unit.load)
    if stated is None or stated.policy is Policy.MUST_STAY_ON:
        return False
    return stated.kind is LoadKind.HEATER


def _in_order(scene: Scene, limit: Limit, may_be_off: list[str]) -> list[Placement | str]:
    """Return units, and hard-wired loads by id, in the order in which they are missed least."""
    on = limit.on(scene)
    loads = scene.facts.loads
    waits = [p for p in on if loads[p.load].is_intermittent]
    wired = [w.load.id for w in limit.wired(scene) if w.load.id in may_be_off]
    plugged = [p for p in on if p.load in may_be_off and p not in waits]
    asked = [p for p in on if _can_wait(scene, p) and p not in waits and p not in plugged]
    heads = [p for p in on if loads[p.load].is_head and p not in waits]
    heads.sort(key=lambda p: (loads[p.load].left_out_cost, p.load, p.unit))
    return [*waits, *wired, *plugged, *asked, *heads]
