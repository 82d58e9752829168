"""The load that must have been on a device and is not in the plan.

Never imports the solver.
"""

from dataclasses import dataclass
from math import inf

from spreadload import practice
from spreadload.electrical.protection import Device
from spreadload.electrical.rows import Figure
from spreadload.on_the_day.scene.delay import Delay, delay_of
from spreadload.on_the_day.scene.devices import breaker, circuit_device, supply_device
from spreadload.on_the_day.scene.limits import Kind, Limit
from spreadload.on_the_day.scene.scene import Scene
from spreadload.units import MILLI

_PLUGS = Figure(2.0, source="two heaters on one breaker unseen at once, no more; our own choice")
_WARM = Figure(0.9, source="share of its rating a warm breaker keeps; common practice, no source")


@dataclass(frozen=True)
class Intruder:
    """A load that is not in the plan.

    Attributes:
        low_a: Least it draws [A].
        high_a: Most it draws; infinite where the delay caps nothing [A].
        named: What was just switched on and is not in the plan there, or "".
        is_beyond_plugs: Whether it is more than things with a plug draw: a fault, or several.
    """

    low_a: float
    high_a: float
    named: str
    is_beyond_plugs: bool = False

    @property
    def is_sized(self) -> bool:
        """Whether the clock says how big it is."""
        return self.low_a > 0


def delay_on(scene: Scene, limit: Limit, seconds: float | None) -> Delay | None:
    """Return what the clock says of a device, or None where it says nothing or was not read.

    It says nothing of leakage and of a contract: a meter counts by its own rule.
    """
    is_contract = limit.kind is Kind.CONTRACT or (
        limit.kind is Kind.PHASE and scene.facts.supply.is_contract
    )
    if seconds is None or not limit.is_amps or is_contract:
        return None
    return delay_of(_device(scene, limit), seconds)


def _device(scene: Scene, limit: Limit) -> Device | None:
    match limit.kind:
        case Kind.CIRCUIT:
            return circuit_device(scene.facts, limit.id)
        case Kind.FEED:
            return breaker(scene.facts, limit.rating / MILLI)
        case Kind.PHASE:
            return supply_device(scene.facts)
        case _:
            # No standard says how fast the cut-out of a power board is.
            return None


def unseen_load(scene: Scene, limit: Limit, just: str, delay: Delay | None) -> Intruder | None:
    """Return the load that must be on a device unseen: from the clock, or from what was named.

    Args:
        scene: The house now.
        limit: The device.
        just: What was just switched on, in the crew's words; "" when nothing.
        delay: What the clock says, or None.
    """
    named = "" if any(p.load == just for p in limit.on(scene)) else just
    named_only = Intruder(0.0, inf, named) if named else None
    if delay is None or delay.says_nothing or not limit.is_amps:
        return named_only
    planned_a = limit.now(scene).actual / MILLI
    rated_a = limit.rating / MILLI
    # A warm device opens somewhat below what its standard says of a cold one.
    if planned_a >= delay.low * rated_a * _WARM.value:
        return named_only
    low_a, high_a = delay.unseen_a(rated_a, planned_a)
    region = practice.region(scene.facts.job.region)
    plug_a = practice.plug(region.ordinary_plug).rated_a
    is_beyond = limit.kind is Kind.CIRCUIT and low_a > _PLUGS.value * plug_a
    return Intruder(low_a, high_a, named, is_beyond)
