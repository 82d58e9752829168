"""What most likely opened, from what is dark and what is still on, with the sign that proves it.

Every cause that could make these outlets dark and leave those alight is weighed: how usual it is,
how loaded it is by the plan, on how many of the wirings still possible it fits, and how well it
explains that just these were found dark. Never imports the solver.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from spreadload import practice
from spreadload.electrical.rows import Figure
from spreadload.job.site import RcdKind
from spreadload.on_the_day.scene import Bools, Scene
from spreadload.plan import Placement


class Cause(StrEnum):
    """Everything that can leave outlets dark."""

    CUT_OUT = "cut-out of a power board"
    PLUG_FUSE = "plug fuse"
    GFCI = "GFCI outlet"
    BREAKER = "breaker"
    FUSE = "fuse"
    ARC_FAULT = "arc-fault breaker"
    RCBO = "combined breaker and RCD"
    RCD = "RCD"
    MAIN = "main breaker"
    SERVICE_FUSE = "service fuse"
    METER = "meter of the supply contract"
    PHASE = "lost phase or neutral"
    NETWORK = "network outage"


@dataclass(frozen=True)
class Sign:
    """How a cause is told from the others, and what to do about it.

    Attributes:
        usual: How usual it is against a breaker; only good for ranking.
    """

    cause: Cause
    usual: float
    sign: str
    do: str
    source: str


_C = "common practice, no source"
SIGNS: dict[Cause, Sign] = {
    row.cause: row
    for row in (
        Sign(Cause.CUT_OUT, 0.6, "only what hangs on that power board is dead, its button is out, "
             "and the other half of the outlet still works",
             "move one item to another outlet, then press the button once", _C),
        Sign(Cause.PLUG_FUSE, 0.4, "one plug is dead and its neighbour in the same plate works",
             "take load off; replace the fuse with one of the same rating", _C),
        Sign(Cause.GFCI, 0.4, "several outlets dead, no handle down at the board, the button on "
             "one outlet is out",
             "unplug, dry, move electronic ballasts to other feeds, then reset it bare", _C),
        Sign(Cause.BREAKER, 1.0, "one handle at the board is down or half way",
             "take load off before it goes back up, once", _C),
        Sign(Cause.FUSE, 1.0, "no handle: the fuse of that way is blown",
             "take load off; the same rating only, and whoever may open the board fits it", _C),
        Sign(Cause.ARC_FAULT, 0.8, "one handle with a test button is down",
             "move the dimmer, driver or motor on it; a bad contact if it goes again bare", _C),
        Sign(Cause.RCBO, 0.8, "one handle with a test button is down: too many amps or leakage",
             "take load off; if it goes again bare it is leakage", _C),
        Sign(Cause.RCD, 0.35, "one wider handle with a test button is down, several circuits dead",
             "unplug the newest first; reset with nothing plugged in; add one by one", _C),
        Sign(Cause.MAIN, 0.15, "everything is dead, the main handle is down, the street is lit",
             "switch everything off; main on; bring up in order", _C),
        Sign(Cause.SERVICE_FUSE, 0.03, "everything is dead, every handle is up, neighbours are lit",
             "stop: the fuse belongs to the network operator; hours", _C),
        Sign(Cause.METER, 0.5, "everything is dead and the meter's display says so",
             "shed load, then re-arm at the meter", _C),
        Sign(Cause.PHASE, 0.05, "part of the board is dead and no handle is down; lamps elsewhere "
             "may be too bright or too dim",
             "if anything got brighter: main off at once, unplug everything, licensed electrician",
             _C),
        Sign(Cause.NETWORK, 0.05, "the street is dark too",
             "wait; switch everything off so that it does not all start at once", _C),
    )
}  # fmt: skip
_LOADED = Figure(2.0, source="a trip is likelier the fuller the device, by its square; our choice")
_EMPTY = Figure(0.15, source="even an unloaded breaker may have an unseen load; our own choice")
_JUST = Figure(3.0, source="what was just switched on is likely to blame; our own choice")


@dataclass(frozen=True)
class Opened:
    """One cause with how likely it is.

    Attributes:
        cause: What kind of thing.
        device: Circuit, RCD, phase or outlet id; "" for the whole house.
        share: How likely among all causes that fit.
    """

    cause: Cause
    device: str
    share: float

    @property
    def sign(self) -> Sign:
        """How it is told from others."""
        return SIGNS[self.cause]


@dataclass(frozen=True)
class Seen:
    """What was found after a circuit went down.

    Attributes:
        dark: Outlets found dead.
        lit: Outlets found working.
        dark_units: Units found dead, where they were named rather than outlets.
        lit_units: Units found working.
        just: Load just switched on, by id, or None.
    """

    dark: tuple[str, ...]
    lit: tuple[str, ...] = ()
    dark_units: tuple[Placement, ...] = ()
    lit_units: tuple[Placement, ...] = ()
    just: str | None = None


def opened(scene: Scene, seen: Seen, device: str | None = None) -> tuple[Opened, ...]:
    """Return every cause that fits what was seen, likeliest first; shares add up to one.

    Args:
        scene: The house now, this trip not yet learnt from.
        seen: What was found.
        device: Circuit, RCD or ``main`` seen open at the board, if anybody looked.
    """
    fitting = [
        (cause, name, weight)
        for cause, name, weight in _weighed(scene, seen)
        if weight > 0 and (device is None or name == device or (device == "main" and not name))
    ]
    total = sum(weight for _, _, weight in fitting)
    if not total:
        return ()
    ranked = [Opened(cause, name, weight / total) for cause, name, weight in fitting]
    return tuple(sorted(ranked, key=lambda o: (-o.share, o.cause, o.device)))


def _weighed(scene: Scene, seen: Seen) -> Iterator[tuple[Cause, str, float]]:
    yield from _local(scene, seen)
    both = set(seen.dark) & set(seen.lit)
    if both:
        # Half of an outlet still works, so nothing upstream of the plate is open.
        return
    for circuit in scene.maps.circuits:
        cause = breaker_cause(scene, circuit)
        fit = _fit(scene, seen, (circuit,))
        yield cause, circuit, SIGNS[cause].usual * fit * _pull(scene, seen, circuit)
    for rcd, cause in _rcds(scene):
        circuits = tuple(c for c in scene.maps.circuits if _is_behind(scene, c, rcd))
        yield cause, rcd, SIGNS[cause].usual * _fit(scene, seen, circuits)
    phases = scene.facts.supply.phases
    for phase in phases if len(phases) > 1 else ():
        on = tuple(c for c in scene.maps.circuits if phase in scene.facts.circuits[c].phases)
        yield Cause.PHASE, phase, SIGNS[Cause.PHASE].usual * _fit(scene, seen, on)
    yield from _whole_house(scene, seen)


def breaker_cause(scene: Scene, circuit: str) -> Cause:
    """Return what kind of thing protects a circuit."""
    stated = scene.facts.job.circuits[circuit]
    rcd = scene.facts.job.rcds.get(stated.rcd or "")
    if stated.fuse_a is not None:
        return Cause.FUSE
    if stated.arc_fault:
        return Cause.ARC_FAULT
    if rcd is not None and rcd.kind is RcdKind.RCBO:
        return Cause.RCBO
    return Cause.BREAKER


def _rcds(scene: Scene) -> Iterator[tuple[str, Cause]]:
    """Yield RCDs that are a handle or an outlet of their own."""
    for rcd_id, rcd in scene.facts.job.rcds.items():
        if rcd.kind is RcdKind.RCBO:
            continue
        at_outlet = any(o.rcd == rcd_id for o in scene.facts.job.outlets.values())
        yield rcd_id, Cause.GFCI if at_outlet else Cause.RCD


def _is_behind(scene: Scene, circuit: str, rcd: str) -> bool:
    return rcd in scene.facts.circuits[circuit].rcds


def _fit(scene: Scene, seen: Seen, circuits: tuple[str, ...]) -> float:
    """Return on how many wirings this would darken just these, and how well it explains them.

    A device behind which ten outlets are in use explains two dark ones worse than a device with
    two: each dark outlet counts as one drawn from all that would be dark.
    """
    numbers = [scene.maps.circuits.index(c) for c in circuits]
    off: Bools = np.isin(scene.maps.on, numbers)
    columns = [scene.maps.outlets.index(o) for o in seen.dark]
    lit = [scene.maps.outlets.index(o) for o in seen.lit]
    fits = off[:, columns].all(axis=1) & ~off[:, lit].any(axis=1)
    watched = [scene.maps.outlets.index(o) for o in _in_use(scene) | set(seen.dark) | set(seen.lit)]
    size = np.maximum(off[:, watched].sum(axis=1), 1)
    return float(scene.maps.weights @ (fits / size.astype(float) ** len(columns)))


def _in_use(scene: Scene) -> set[str]:
    placed = scene.judged.by_setup[scene.setup]
    return {scene.facts.points[p.point].outlet for p in placed}


def _pull(scene: Scene, seen: Seen, circuit: str) -> float:
    """Return how much the plan's own load, and what was just switched on, speak for a circuit."""
    used = scene.circuit_ma(circuit) / max(scene.cap_ma(circuit), 1)
    pull = float(_EMPTY.value + used**_LOADED.value)
    if seen.just is None:
        return pull
    just = [p for p in scene.judged.by_setup[scene.setup] if p.load == seen.just]
    return pull * (_JUST.value if any(scene.circuit_of(p) == circuit for p in just) else 1.0)


def _local(scene: Scene, seen: Seen) -> Iterator[tuple[Cause, str, float]]:
    """Yield a power board's cut-out and a plug fuse, where all that is dark hangs on one."""
    if len(seen.dark) != 1:
        return
    outlet = seen.dark[0]
    held = [
        p
        for p in scene.judged.by_setup[scene.setup]
        if scene.facts.points[p.point].outlet == outlet
    ]
    dead = seen.dark_units or tuple(held)
    seats = {(p.point, p.socket) for p in dead}
    alive = {(p.point, p.socket) for p in seen.lit_units} | (
        {("", 0)} if outlet in seen.lit else set()
    )
    if len(seats) != 1 or seats & alive:
        return
    half = 4.0 if alive or outlet in seen.lit else 1.0
    board = next((p.board for p in dead), None)
    if board is not None and (len(dead) > 1 or not seen.dark_units):
        share = sum(scene.counted_ma(p) for p in held if (p.point, p.socket) in seats)
        used = share / max(scene.facts.boards[board].rating_ma, 1)
        yield Cause.CUT_OUT, outlet, SIGNS[Cause.CUT_OUT].usual * half * (0.3 + used**2)
    if _has_plug_fuse(scene, outlet):
        yield Cause.PLUG_FUSE, outlet, SIGNS[Cause.PLUG_FUSE].usual * half


def _has_plug_fuse(scene: Scene, outlet: str) -> bool:
    return practice.plug(scene.facts.points[outlet].plug).fuse_a is not None


def _whole_house(scene: Scene, seen: Seen) -> Iterator[tuple[Cause, str, float]]:
    if seen.lit:
        return
    supply = scene.facts.supply
    total_ma = max(_per_phase(scene), default=0)
    full = (total_ma / max(supply.cap_ma, 1)) ** _LOADED.value
    fit = _fit(scene, seen, scene.maps.circuits) * (_EMPTY.value + full)
    switch = scene.facts.job.supply.main_switch
    if switch is None or switch.is_limit:
        yield Cause.MAIN, "", SIGNS[Cause.MAIN].usual * fit
    yield Cause.SERVICE_FUSE, "", SIGNS[Cause.SERVICE_FUSE].usual * fit
    if supply.contract_w is not None:
        yield Cause.METER, "", SIGNS[Cause.METER].usual * fit
    yield Cause.NETWORK, "", SIGNS[Cause.NETWORK].usual * fit


def _per_phase(scene: Scene) -> list[int]:
    found: dict[str, int] = {}
    for usage in scene.judged.usages[scene.setup]:
        if usage.kind == "phase":
            found[usage.id] = round(usage.current_a * 1000)
    return list(found.values())
