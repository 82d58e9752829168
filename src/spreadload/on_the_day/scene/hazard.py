"""On how many of the wirings still possible some breaker is over its limit, after a few shifts.

Sums are kept per map and per pole once, and a shift changes two cells of each row: thousands of
moves can be weighed in the minute a crew has. Never imports the solver.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from spreadload.check.devices import everywhere_on
from spreadload.derived.records import Point
from spreadload.on_the_day.scene.scene import Bools, Floats, Scene
from spreadload.plan import Placement

_NOISE_MA = 1e-6
_NONE = -1
_MOST_POLES = 3
_Ints = NDArray[np.int64]


@dataclass(frozen=True)
class Shift:
    """One unit taken from where it is to another point.

    Attributes:
        unit: As it is plugged in.
        to: Where it would go.
        setups: Set-ups in which it moves.
    """

    unit: Placement
    to: Point
    setups: tuple[str, ...]


class Hazard:
    """The sums of every remaining set-up on every map."""

    def __init__(self, scene: Scene, relieved: str = "") -> None:
        """Add up what the plan puts on every pole of every circuit, map by map.

        Args:
            scene: The house now.
            relieved: The circuit that opened; of the others only what shifts make worse counts.
        """
        self._scene = scene
        self._relieved = relieved
        self._maps = scene.maps
        self._at = {o: n for n, o in enumerate(scene.maps.outlets)}
        self._rows = np.arange(len(scene.maps))
        self._columns, self._caps = self._poles()
        self._tables: dict[str, _Ints] = {}
        self._carried: dict[str, Floats] = {}

    def risk(self, shifts: Sequence[Shift] = (), setups: Iterable[str] = ()) -> float:
        """Return the weight of maps on which some breaker is over its limit after shifts.

        After a trip that is the chance of a second one: the breaker that opened is still over its
        limit, or a shift puts another over it. Without a trip every breaker counts.

        Args:
            shifts: Units moved.
            setups: In any of these; in those the shifts touch, or the one that runs, when empty.
        """
        touched = dict.fromkeys(setups) or dict.fromkeys(s for x in shifts for s in x.setups)
        over = np.zeros(len(self._maps), dtype=bool)
        for setup in touched or (self._scene.setup,):
            over |= self._over(setup, [shift for shift in shifts if setup in shift.setups])
        return self._maps.share(over)

    def risk_with(
        self, added_ma: Mapping[str, int], at: Point, without: Collection[str] = ()
    ) -> float:
        """Return the weight of maps on which some breaker is over with one more load plugged in.

        Args:
            added_ma: What the new load counts in each set-up it would be on [mA].
            at: Where it would go.
            without: Ids of loads that are off in those set-ups.
        """
        over = np.zeros(len(self._maps), dtype=bool)
        for setup, current_ma in added_ma.items():
            carried = self._carried_in(setup).copy()
            self._add(carried, at, current_ma)
            for placement in self._scene.judged.by_setup[setup]:
                if placement.load in without:
                    here = self._scene.facts.points[placement.point]
                    self._add(carried, here, -self._scene.counted_ma(placement))
            over |= np.any(carried > self._caps + _NOISE_MA, axis=1)
        return self._maps.share(over)

    def used(self, circuit: str) -> Floats:
        """Return how full a circuit is on every map in the set-up that runs, 1 at its limit."""
        columns = list(self._columns[circuit].values())
        carried = self._carried_in(self._scene.setup)[:, columns]
        share: Floats = carried.max(axis=1) / max(self._scene.cap_ma(circuit), 1)
        return share

    def warmth(self, circuit: str) -> Floats:
        """Return what really flows in a circuit on every map now, 1 at the breaker's rating."""
        columns = list(self._columns[circuit].values())
        carried = self._flowing[:, columns]
        share: Floats = carried.max(axis=1) / max(self._scene.facts.circuits[circuit].breaker_ma, 1)
        return share

    @cached_property
    def _flowing(self) -> Floats:
        return self._summed(self._scene.setup, is_counted=False)

    def _over(self, setup: str, shifts: Sequence[Shift]) -> Bools:
        before = self._carried_in(setup)
        carried = before.copy() if shifts else before
        for shift in shifts:
            unit = shift.unit.model_copy(update={"setup": setup})
            here = self._scene.facts.points[unit.point]
            self._add(carried, here, -self._scene.counted_ma(unit))
            self._add(carried, shift.to, self._scene.counted_ma(unit, shift.to))
        is_meant = np.ones_like(carried, dtype=bool)
        if self._relieved and shifts:
            is_meant = carried > before + _NOISE_MA
            is_meant[:, list(self._columns[self._relieved].values())] = True
        found: Bools = np.any((carried > self._caps + _NOISE_MA) & is_meant, axis=1)
        return found

    def _carried_in(self, setup: str) -> Floats:
        if setup not in self._carried:
            self._carried[setup] = self._summed(setup, is_counted=True)
        return self._carried[setup]

    def _summed(self, setup: str, *, is_counted: bool) -> Floats:
        """Return what every pole carries on every map: as counted, or what really flows."""
        carried = np.zeros((len(self._maps), len(self._caps)))
        each_ma = self._scene.counted_ma if is_counted else self._scene.unit_ma
        for p in self._scene.judged.by_setup[setup]:
            self._add(carried, self._scene.facts.points[p.point], each_ma(p))
        for group in self._scene.states[setup].wired:
            # A circuit without outlets carries the same on every map, wherever plugs go.
            columns = list(self._columns.get(group.circuit, {}).values())
            own_ma = group.counted_ma if is_counted else group.unit_ma
            carried[:, columns] += own_ma * group.count
        return carried

    def _add(self, carried: Floats, point: Point, current_ma: int) -> None:
        circuits = self._maps.on[:, self._at[point.outlet]]
        columns = self._table(point.box_phase or "")[circuits]
        for each in columns.T:
            there = each != _NONE
            carried[self._rows[there], each[there]] += current_ma

    def _table(self, pole: str) -> _Ints:
        """Return the columns that a plug on one pole loads, for each circuit it might be on."""
        if pole not in self._tables:
            table = np.full((len(self._maps.circuits), _MOST_POLES), _NONE, dtype=np.int64)
            for n, circuit in enumerate(self._maps.circuits):
                poles = self._columns[circuit]
                columns = [poles[pole]] if pole in poles else list(poles.values())
                table[n, : len(columns)] = columns
            # Houses of single-pole circuits need no room for more.
            self._tables[pole] = table[:, (table != _NONE).any(axis=0)]
        return self._tables[pole]

    def _poles(self) -> tuple[dict[str, dict[str, int]], Floats]:
        columns: dict[str, dict[str, int]] = {}
        caps: list[int] = []
        for circuit in self._maps.circuits:
            facts = self._scene.facts.circuits[circuit]
            columns[circuit] = {}
            for _, pole in sorted(everywhere_on(facts).circuits):
                columns[circuit][pole] = len(caps)
                caps.append(facts.cap_ma)
        return columns, np.array(caps, dtype=float)
