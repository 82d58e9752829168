"""“May I plug this in?” where circuits are not known: how often the house would trip with it.

The judge answers on the likeliest wiring; here stands what the other wirings still possible say.
Never imports the solver.
"""

from collections.abc import Collection
from dataclasses import dataclass
from functools import cached_property

from spreadload.check.words import in_100
from spreadload.derived.facts import Facts
from spreadload.derived.records import Point
from spreadload.explain.off import LITTLE
from spreadload.job.job import Job
from spreadload.job.observations import Log
from spreadload.on_the_day.ask.question import Question
from spreadload.on_the_day.scene.hazard import Hazard
from spreadload.on_the_day.scene.scene import Scene
from spreadload.plan import Plan
from spreadload.units import FULL_PCT
from spreadload.words import row


@dataclass(frozen=True)
class Ways:
    """The wirings still possible, seen from one question.

    Attributes:
        scene: The plan on them.
        setups: Set-ups asked about.
    """

    scene: Scene
    setups: tuple[str, ...]

    @classmethod
    def of(cls, job: Job, log: Log, plan: Plan, question: Question) -> "Ways":
        """Work out the wirings of a job that does not clash with its log."""
        return cls(Scene.of(job, log, plan, question.setups[0]), question.setups)

    def is_likely_off_limits(self, point: Point) -> bool:
        """Whether a point most likely hangs on what the crew may not use."""
        return point.outlet in self.scene.likely_off_limits

    @cached_property
    def before(self) -> float:
        """On what share of the wirings the plan trips as it stands, 0 to 1."""
        return self._hazard.risk(setups=self.setups)

    def after(self, facts: Facts, load: str, at: Point, without: Collection[str] = ()) -> float:
        """Return on what share it trips with one more load.

        Args:
            facts: The job with that load in it.
            load: Its id.
            at: Where it would go.
            without: Loads switched off for it.
        """
        poles = facts.poles_at(load, at)
        added_ma = {setup: facts.counted_ma(setup, load, poles) for setup in self.setups}
        return self._hazard.risk_with(added_ma, at, without)

    def in_words(self, after: float, at: Point) -> str:
        """Return how often the house would trip with the load, and where its outlet may hang."""
        chances = self.scene.maps.chances(at.outlet)
        circuits = sorted(chances, key=lambda c: -chances[c])
        on = "" if len(circuits) == 1 else f"; {at.outlet} may be on {row(circuits, 'or')}"
        return (
            f"With it the plan trips on {in_100(after * FULL_PCT)} ways this house could be wired, "
            f"instead of {in_100(self.before * FULL_PCT)}{on}"
        )

    def is_little(self, after: float) -> bool:
        """Whether a share is hardly more than without the load."""
        return after - self.before <= LITTLE.value

    @cached_property
    def _hazard(self) -> Hazard:
        return Hazard(self.scene)
