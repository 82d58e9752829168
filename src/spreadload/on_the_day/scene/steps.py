"""One plug from here to there, and what one or two of them do: what a re-plug is made of.

Never imports the solver.
"""

from dataclasses import dataclass
from typing import Any

from spreadload.electrical.rows import Figure
from spreadload.on_the_day.scene.limits import Carried, Kind, Limit
from spreadload.on_the_day.scene.scene import SURE, Scene
from spreadload.plan import Placement, Plan

LIKELY = Figure(0.10, source="a guess good enough to try first; our own choice")


@dataclass(frozen=True)
class Step:
    """One unit from one point to another.

    Attributes:
        unit: As it is plugged in now.
        to: As it will be.
        setups: Set-ups in which it moves; where it stays behind it goes back afterwards.
        cool_down_min: Minutes it stays dark [min].
        is_in_shot: Whether the job says that the camera sees it.
        has_new_lead: Whether another lead than the one lying there is needed.
        is_proven: Whether the circuit it goes to is known, not guessed.
        is_last_resort: Whether it goes to an outlet or circuit to be used last.
        room_pct: How full what it goes to is afterwards, in per cent of its limit.
    """

    unit: Placement
    to: Placement
    setups: tuple[str, ...]
    cool_down_min: int
    is_in_shot: bool
    has_new_lead: bool
    is_proven: bool
    is_last_resort: bool
    room_pct: int

    @classmethod
    def of(cls, scene: Scene, unit: Placement, to: Placement, setups: tuple[str, ...]) -> "Step":
        """Look up what a step costs; ``room_pct`` is that of the circuit it goes to."""
        point = scene.facts.points[to.point]
        circuit = scene.likely[point.outlet]
        after_ma = scene.circuit_ma(circuit) + scene.counted_ma(unit, point)
        return cls(
            unit,
            to,
            setups,
            cool_down_min=scene.facts.loads[unit.load].replug_cost - 1,
            is_in_shot=is_in_shot(scene, unit),
            has_new_lead=to.lead is not None and to.lead != unit.lead,
            is_proven=scene.is_known(point.outlet),
            is_last_resort=point.is_last_resort,
            room_pct=100 * after_ma // max(scene.cap_ma(circuit), 1),
        )


@dataclass(frozen=True)
class Move:
    """One or two steps that relieve something.

    Attributes:
        limit: What it relieves.
        steps: What to re-plug, in this order.
        before: What the limit is under before.
        after: And after.
        risk: Weight of the wirings on which some breaker is still over its limit in a set-up that
            it touches.
        plan: The plan after it.
        warm_tiers_pct: What a warm device should be brought under, the better figure first [%].
    """

    limit: Limit
    steps: tuple[Step, ...]
    before: Carried
    after: Carried
    risk: float
    plan: Plan
    warm_tiers_pct: tuple[float, float]

    @property
    def circuit(self) -> str:
        """The circuit it clears; "" where it clears something else."""
        return self.limit.id if self.limit.kind is Kind.CIRCUIT else ""

    @property
    def before_ma(self) -> int:
        """What counts against the limit before [mA]."""
        return self.before.counted

    @property
    def after_ma(self) -> int:
        """What counts against it after [mA]."""
        return self.after.counted

    @property
    def used_pct(self) -> int:
        """Per cent of the limit after."""
        return self.after.used_pct

    @property
    def is_proven(self) -> bool:
        """Whether every plug goes to a known circuit, or hardly any wiring makes it fail."""
        return all(step.is_proven for step in self.steps) or self.risk <= 1 - SURE

    def rank(self) -> tuple[Any, ...]:
        """Return what makes one move better than another, smaller first."""
        guessed = sum(not step.is_proven for step in self.steps)
        return (*self.trouble(), round(self.risk, 1), guessed, *self.gain())

    def trouble(self) -> tuple[int, ...]:
        """Return what a move costs the set, and how sure it is, smaller first."""
        return (
            len(self.steps),
            sum(step.cool_down_min > 0 for step in self.steps),
            sum(step.is_in_shot for step in self.steps),
            0 if self.is_proven else 1 if self.risk <= LIKELY.value else 2,
        )

    def gain(self) -> tuple[Any, ...]:
        """Return what is left to choose by: room on a warm device, leads, tidiness."""
        return (
            sum(self.after.warm_pct > tier for tier in self.warm_tiers_pct),
            sum(step.is_last_resort for step in self.steps),
            sum(step.has_new_lead for step in self.steps),
            sum(step.to.board is not None for step in self.steps),
            self.after.counted,
            max(step.room_pct for step in self.steps),
            tuple((s.unit.load, s.unit.unit, s.to.point) for s in self.steps),
        )


def is_in_shot(scene: Scene, unit: Placement) -> bool:
    """Whether the job says in words that the camera sees a unit: “practical” or “in shot”."""
    job = scene.facts.job
    stated = job.heads.get(unit.load) or scene.facts.load_stated(unit.load)
    place = job.places.get(unit.place or "")
    words = [unit.load, unit.place or ""]
    words += [stated.what, stated.note] if stated is not None else []
    words += [place.name or ""] if place is not None else []
    text = " ".join(words).lower()
    return "practical" in text or "in shot" in text
