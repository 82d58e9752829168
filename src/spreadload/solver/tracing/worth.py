"""What a test is worth and what tracing comes to: the records that are told."""

from dataclasses import dataclass

from spreadload.electrical.rows import Figure
from spreadload.plan import Plan
from spreadload.wiring.disturbance import Disturbance
from spreadload.wiring.session import Session
from spreadload.wiring.trials import Trial, TrialKind

WORTH = Figure(0.01, source="a test that lowers the risk by less than a point; common practice")
HOPELESS = 0.999

_HALF = 0.5


@dataclass(frozen=True)
class Worth:
    """One test with what it is worth.

    Attributes:
        after: Chance that the best plan after it trips, averaged over its outcomes.
        gain: By how much that is less than now.
        then: The best second one of its kind, and by how much that lowers the chance further.
    """

    trial: Trial
    after: float
    gain: float
    disturbance: Disturbance
    then: "tuple[Trial, float] | None" = None

    @property
    def per_minute(self) -> float:
        """Gain per minute it takes; what takes no time counts as a minute."""
        return self.gain / max(self.trial.minutes, 1.0)


@dataclass(frozen=True)
class Tracing:
    """Everything about tracing before the day.

    Attributes:
        now: Chance that the best plan trips as things stand.
        planned: Chance that the plan in hand trips, or None without one.
        known: Chance that the best plan trips once everything is known: no tracing does better.
        worths: Tests by gain per minute, best first; those not allowed left out.
        refused: Tests the leave does not allow.
        avoid: Outlets with the chance that the best plan without them trips.
        session: All lamps traced in one go, or None where nothing may be switched.
        maps: How many wirings the figures are measured on.
        noise: Smaller gains than this may be chance; 0 where every wiring was counted.
        plans: How many plans they are the best of.
        is_cut_short: Whether time ran out before every outcome had its own search.
        lost: How many tests do not fit in the minutes given.
    """

    now: float
    planned: float | None
    known: float
    worths: tuple[Worth, ...]
    refused: tuple[Trial, ...]
    avoid: dict[str, float]
    session: Session | None
    maps: int
    noise: float
    plans: int
    is_cut_short: bool
    lost: int

    @property
    def is_hopeless(self) -> bool:
        """Whether the best plan trips however the house is wired."""
        return self.known >= HOPELESS

    @property
    def best(self) -> Worth | None:
        """The test to make next, or None when none is worth it.

        Asking comes before any test anyway, so it is the answer only where nothing else is.
        """
        worthy = [w for w in self.worths if w.gain >= WORTH.value]
        worthy.sort(key=lambda w: w.trial.kind is TrialKind.ASK)
        return worthy[0] if worthy else None

    @property
    def questions(self) -> tuple[Worth, ...]:
        """Outlets the owner's memory would help with, most first."""
        asked = [w for w in self.worths if w.trial.kind is TrialKind.ASK]
        return tuple(w for w in asked if w.gain >= WORTH.value * _HALF)


@dataclass(frozen=True)
class Wanted:
    """What is asked of the tracing.

    Attributes:
        people: 1 or 2.
        minutes: At most so long [min], or None.
        lamps: Outlets to put lamps in; chosen by what they tell when empty.
        plan: The plan in hand, or None.
    """

    people: int = 2
    minutes: float | None = None
    lamps: tuple[str, ...] = ()
    plan: Plan | None = None
