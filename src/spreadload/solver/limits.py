"""How long and how hard to look, and how to tell that someone wants to stop."""

from collections.abc import Callable
from dataclasses import dataclass, field
from time import monotonic

from spreadload.solver.interruption import Interruption, active_interruption

Progress = Callable[[str], None]


@dataclass(frozen=True)
class SolverConfig:
    """Settings of a search; the same settings on the same input give the same plans.

    Attributes:
        time_limit_s: Wall time for everything together [s].
        alternatives: How many further plans to rank after the best.
        seed: Seed of the solver's random choices.
        workers: Parallel workers; 1 keeps the search reproducible.
        progress: Called with one line of text now and then.
    """

    time_limit_s: float = 20.0
    alternatives: int = 2
    seed: int = 7
    workers: int = 1
    progress: Progress = field(default=lambda _: None)


class Clock:
    """Counts down the wall time of one search, and stops with a Ctrl-C."""

    def __init__(self, limit_s: float, interruption: Interruption | None = None) -> None:
        """Start the clock."""
        self._end = monotonic() + limit_s
        self.interruption = interruption or active_interruption()

    @property
    def is_interrupted(self) -> bool:
        """Whether someone wants the search to end."""
        return self.interruption.is_raised

    @property
    def left_s(self) -> float:
        """Seconds left, never negative; none after an interruption."""
        return 0.0 if self.is_interrupted else max(0.0, self._end - monotonic())
