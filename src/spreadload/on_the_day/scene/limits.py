"""Everything that can open on too much: what is on it by the plan, and what it may carry.

A circuit, the feed of a sub-board, a phase of the supply, a power board or plug fuse, an RCD by
leakage, a supply contract by watts: all are summed alike, in whole units, on the likeliest wiring.
Never imports the solver.
"""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum

from spreadload.check.state import Wired
from spreadload.check.wiring import Behind
from spreadload.derived.records import LoadFacts, Point
from spreadload.electrical.rows import Figure
from spreadload.on_the_day.scene.scene import Scene
from spreadload.plan import Placement
from spreadload.units import percent_used

FULL_PCT = Figure(100.0, source="the rating itself; derived")

_Amounts = tuple[int, int]
# What units put on each conductor together.
Sums = dict[int, _Amounts]
# What is no conductor has one sum.
_SOLE = -1


class Kind(StrEnum):
    """What kind of thing has the limit."""

    CIRCUIT = "circuit"
    FEED = "feed"
    PHASE = "phase"
    SOCKET = "socket"
    LEAKAGE = "rcd leakage"
    CONTRACT = "contract"


@dataclass(frozen=True)
class Carried:
    """What a limit is under.

    Attributes:
        counted: Held against the cap, long loads counted as the region has it [mA, µA or W].
        actual: What flows [mA, µA or W].
        cap: What may be held against it.
        rating: What is written on the device; equal to the cap where that is all there is.
    """

    counted: int
    actual: int
    cap: int
    rating: int

    @property
    def used_pct(self) -> int:
        """Per cent of the cap, as the judge counts."""
        return percent_used(self.counted, self.cap)

    @property
    def warm_pct(self) -> int:
        """Per cent of the rating that really flows: what warms the device."""
        return percent_used(self.actual, self.rating)

    @property
    def is_within(self) -> bool:
        """Whether it is within the cap."""
        return self.counted <= self.cap


@dataclass(frozen=True)
class Limit:
    """One thing that may have opened.

    Attributes:
        kind: What kind of thing.
        id: Circuit, sub-board, phase, RCD, or outlet; "" for the contract.
        seat: Point and socket of a power board or fused plug.
        is_in_watts: Whether it is a contract that counts watts.
        cap: What may be held against it, in its own unit.
        rating: What is written on it.
    """

    kind: Kind
    id: str
    cap: int
    rating: int
    seat: tuple[str, int] | None = None
    is_in_watts: bool = False

    @property
    def is_amps(self) -> bool:
        """Whether it is summed in milliamps."""
        return self.unit == "A"

    @property
    def unit(self) -> str:
        """What a reader is told it in: A, mA or W."""
        if self.kind is Kind.LEAKAGE:
            return "mA"
        return "W" if self.is_in_watts else "A"

    def chance_dead(self, scene: Scene, outlet: str) -> float:
        """Return how likely an outlet is dark while this is open, 0 to 1; 0 for one socket."""
        circuits = scene.facts.circuits.items()
        match self.kind:
            case Kind.CIRCUIT:
                dead = {self.id}
            case Kind.FEED:
                dead = {name for name, circuit in circuits if self.id in circuit.feeds}
            case Kind.LEAKAGE:
                dead = {name for name, circuit in circuits if self.id in circuit.rcds}
            case Kind.PHASE:
                dead = {name for name, circuit in circuits if self.id in circuit.phases}
            case _:
                dead = set()
        return sum(scene.chance(outlet, name) for name in dead)

    def parts(self, scene: Scene, p: Placement, at: Point | None = None) -> dict[int, _Amounts]:
        """Return what a unit puts on it, by row of ``Judge.devices``: counted and actual.

        Args:
            scene: The house now.
            p: A unit.
            at: Where it would be plugged in; where it is when None.
        """
        point = at or scene.facts.points[p.point]
        if self.kind is Kind.SOCKET:
            is_there = at is None and (p.point, p.socket) == self.seat
            return {_SOLE: (scene.unit_ma(p), scene.unit_ma(p))} if is_there else {}
        behind = scene.judge.behind(point, scene.likely)
        amps = (scene.counted_ma(p, point), scene.unit_ma(p, point))
        return self._amounts(scene, behind, scene.facts.loads[p.load], amps)

    def _amounts(
        self,
        scene: Scene,
        behind: Behind,
        load: LoadFacts,
        amps: _Amounts,
        circuit: str | None = None,
    ) -> dict[int, _Amounts]:
        match self.kind:
            case Kind.LEAKAGE:
                is_behind = self.id in behind.rcds
                return {_SOLE: (load.leakage_ua, load.leakage_ua)} if is_behind else {}
            case Kind.CONTRACT:
                takes = scene.facts.contract_takes(load.id, circuit)
                return {_SOLE: (takes, takes)}
            case Kind.SOCKET:
                return {}
            case Kind.PHASE:  # as the judge sums it: what really flows
                lines = scene.rows_of(self.kind.value, self.id)
                return {row: (amps[1], amps[1]) for row in behind.rows if row in lines}
            case _:
                mine = scene.rows_of(self.kind.value, self.id)
                return {row: amps for row in behind.rows if row in mine}

    def sums(
        self,
        scene: Scene,
        placed: Iterable[Placement],
        setup: str,
        off: Collection[str] = (),
    ) -> Sums:
        """Return what these units, and hard-wired loads not off, put on each of its conductors."""
        sums: Sums = {}
        wired = (group for group in scene.states[setup].wired if group.load.id not in off)
        each = [self._wired_parts(scene, group) for group in wired]
        each += [self.parts(scene, p) for p in placed]
        for parts in each:
            add_amounts(sums, parts)
        return sums

    def fullest(self, sums: Mapping[int, _Amounts]) -> Carried:
        """Return what the fullest conductor is under."""
        counted, actual = max(sums.values(), default=(0, 0))
        return Carried(counted, actual, self.cap, self.rating)

    def now(self, scene: Scene) -> Carried:
        """Return what it is under by the plan in the set-up that runs."""
        return self.fullest(self.sums(scene, scene.judged.by_setup[scene.setup], scene.setup))

    def on(self, scene: Scene, setup: str | None = None) -> tuple[Placement, ...]:
        """Return the units on it by the plan, largest first."""
        here = scene.judged.by_setup[setup or scene.setup]
        sized = [(max(parts.values()), p) for p in here if (parts := self.parts(scene, p))]
        return tuple(p for _, p in sorted(sized, key=lambda each: (-each[0][0], *_id(each[1]))))

    def wired(self, scene: Scene) -> tuple[Wired, ...]:
        """Return the hard-wired loads on it in the set-up that runs."""
        groups = scene.states[scene.setup].wired
        return tuple(group for group in groups if self._wired_parts(scene, group))

    def kept_off(self, scene: Scene) -> tuple[str, ...]:
        """Return the hard-wired loads on it that the plan has switched off while this runs."""
        off = {entry.load for entry in scene.plan.switched_off if entry.setup == scene.setup}
        if not off:
            return ()
        as_wired = scene.plan.model_copy(update={"switched_off": ()})
        states = scene.judge.states(as_wired, scene.likely)
        wired = (group for state in states if state.setup == scene.setup for group in state.wired)
        return tuple(g.load.id for g in wired if g.load.id in off and self._wired_parts(scene, g))

    def wired_amount(self, scene: Scene, group: Wired) -> int:
        """Return what a hard-wired load counts against it, in its own unit."""
        return max((counted for counted, _ in self._wired_parts(scene, group).values()), default=0)

    def _wired_parts(self, scene: Scene, group: Wired) -> dict[int, _Amounts]:
        amps = (group.counted_ma, group.unit_ma)
        each = self._amounts(scene, group.behind, group.load, amps, group.circuit)
        return {row: (a * group.count, b * group.count) for row, (a, b) in each.items()}


def add_amounts(sums: Sums, parts: Mapping[int, _Amounts], sign: int = 1) -> None:
    """Add what something puts on each conductor to what is there, or with -1 take it off."""
    for row, (counted, actual) in parts.items():
        was = sums.get(row, (0, 0))
        sums[row] = (was[0] + sign * counted, was[1] + sign * actual)


def _id(p: Placement) -> tuple[str, int]:
    return p.load, p.unit
