"""How well each wiring explains that just this breaker opened just then, and that the rest held.

A wiring that puts twice its rating on a breaker which went on holding explains a trip badly, and so
does one that hardly loads the breaker that opened, unless something hangs on it unseen. Never
imports the solver.
"""

from dataclasses import dataclass

import numpy as np

from spreadload.electrical.rows import Figure
from spreadload.electrical.trip_odds import ANY_TIME, trip_odds
from spreadload.on_the_day.scene.delay import INSTANT_S
from spreadload.on_the_day.scene.devices import circuit_device
from spreadload.on_the_day.scene.hazard import Hazard
from spreadload.on_the_day.scene.scene import Floats, Scene

_UNSEEN = Figure(0.25, source="share of trips with something on that is not in the plan; our own")
# Heaters, kettles, dryers; common practice, no source.
_UNSEEN_W = (1000.0, 1500.0, 2000.0, 2500.0, 3000.0)
_ODD = Figure(0.03, source="a load not on, a weak breaker, a wrong clock; our own choice")
_SOON_S = Figure(60.0, source="nobody read the clock: a minute at least; our own choice")
LOADED = Figure(
    2.0, source="a trip is likelier the fuller the device, by its square; our own choice"
)
EMPTY = Figure(0.15, source="even an unloaded breaker may have an unseen load; our own choice")


def by_chance(seconds: float | None) -> float:
    """Return how likely what knows no clock happens about then, on the same scale as a breaker.

    A lamp that dies or a network that fails does so at one time as well as at another; without
    this, reading the clock would speak for them against every breaker.
    """
    return 1.0 if seconds is None or seconds <= INSTANT_S.value else ANY_TIME.value


@dataclass(frozen=True)
class Clock:
    """What the time until a trip says of every wiring.

    Attributes:
        scene: The house, on the wirings asked about.
        seconds: How long it had held [s], or None where nobody read the clock.
    """

    scene: Scene
    seconds: float | None

    def explains(self, circuit: str) -> Floats:
        """Return, per wiring, how well a trip of one circuit is explained, the others holding."""
        hazard = Hazard(self.scene)
        found = self._opens(hazard, circuit)
        for other in self.scene.maps.circuits:
            if other != circuit:
                found = found * self._holds(hazard, other)
        return found

    def _opens(self, hazard: Hazard, circuit: str) -> Floats:
        if circuit not in self.scene.maps.circuits:
            # It feeds no outlet: what is wired to it is the same on every wiring.
            return np.ones(len(self.scene.maps))
        if self.seconds is None or self.seconds <= INSTANT_S.value:
            full: Floats = EMPTY.value + hazard.used(circuit) ** LOADED.value
            return full
        device = circuit_device(self.scene.facts, circuit)
        odds, ratio = trip_odds(device, self.seconds), hazard.warmth(circuit)
        volts = self.scene.facts.supply.planning_v
        more = [watts / volts / device.rated_a for watts in _UNSEEN_W]
        unseen = np.mean([odds.opens_at(ratio + extra) for extra in more], axis=0)
        share = _UNSEEN.value
        both: Floats = (1 - share) * odds.opens_at(ratio) + share * unseen + _ODD.value
        return both

    def _holds(self, hazard: Hazard, circuit: str) -> Floats:
        device = circuit_device(self.scene.facts, circuit)
        seconds = max(self.seconds or 0.0, _SOON_S.value)
        odds = trip_odds(device, seconds)
        held: Floats = _ODD.value + (1 - _ODD.value) * odds.holds_at(hazard.warmth(circuit))
        return held
