"""How long and how hard to look, and how to tell that someone wants to stop."""

from collections.abc import Callable
from dataclasses import dataclass, field
from time import monotonic

from spreadload.derived.facts import Facts
from spreadload.plan import Plan
from spreadload.solver.engine.interruption import Interruption, active_interruption

Progress = Callable[[str], None]
OnBest = Callable[[Facts, Plan], None]

# CP-SAT's own measure of work is the same on every machine. A call takes about 3.7 s for each unit
# of it and 14 µs for each decision and rule of the model, which the measure leaves out (fitted to
# 251 calls on five shipped scenarios, one core); both are counted a little dearer here, since
# building the model comes on top.
DETERMINISTIC_PER_S = 0.25
PER_ROW_S = 20e-6
# On a machine that is slower or busier than this many times, the wall clock cuts calls short.
SLOWER = 4
# A proof that took all the time is still explained: so much of the limit, and no more, on top.
_EXPLAIN_SHARE = 0.25
# What a search may take beyond its limit to have a plan at all [s], and at most of the limit.
_GRACE_S = 3.0
_GRACE_SHARE = 0.3


@dataclass(frozen=True)
class SolverConfig:
    """Settings of a search; the same settings on the same input give the same plans.

    Attributes:
        time_limit_s: Wall time for everything together [s].
        alternatives: How many further plans to rank after the best.
        seed: Seed of the solver's random choices.
        workers: Parallel workers; 1 keeps the search reproducible.
        progress: Called with one line of text now and then.
        on_best: Told the best plan and the facts it was judged on, before others are looked for, so
            that it can be explained meanwhile; it has to return at once.
        is_brief: Where no plan exists, say only why and how near one comes, not what would still
            run: for one row of many.
    """

    time_limit_s: float = 20.0
    alternatives: int = 2
    seed: int = 7
    workers: int = 1
    progress: Progress = field(default=lambda _: None)
    on_best: OnBest | None = None
    is_brief: bool = False

    def tell_best(self, facts: Facts, plan: Plan) -> None:
        """Tell who wants to know that the best plan is there, and which."""
        if self.on_best is not None:
            self.on_best(facts, plan)


class Clock:
    """Counts down the wall time of one search and the work it may do, and stops with a Ctrl-C.

    How hard a call may try is a share of the work left, never of the time left: a search on a busy
    machine goes the same way as on an idle one, until the wall clock runs out.
    """

    def __init__(
        self,
        limit_s: float,
        interruption: Interruption | None = None,
        *,
        whole: "Clock | None" = None,
        is_charged: bool = True,
        sooner: float = 1.0,
    ) -> None:
        """Start the clock.

        Args:
            limit_s: Wall time and work [s]; of a part of a search only the work.
            interruption: What tells of a Ctrl-C.
            whole: The clock of the search that this is a part of.
            is_charged: Whether the work of the part is work of the whole.
            sooner: How many times sooner than usual the calls of the part are done.
        """
        self._whole = whole
        self._is_charged = is_charged
        self._sooner = sooner
        self._end = monotonic() + limit_s
        self.limit_s = limit_s
        self._work_s = limit_s
        self._grace_s = min(_GRACE_S, limit_s * _GRACE_SHARE)
        self.interruption = interruption or active_interruption()

    def part(self, work_s: float, sooner: float = 1.0) -> "Clock":
        """Return the clock of a part of the search, which may do so much of the work left.

        Args:
            work_s: Work it may do at most [s].
            sooner: How many times sooner than usual its calls are done, as those of small models.
        """
        work_s = min(work_s, self.work_left_s)
        return Clock(work_s, self.interruption, whole=self, sooner=sooner)

    def beside(self, work_s: float, faster: float = 1.0) -> "Clock":
        """Return the clock of what another core does meanwhile, which costs the search no work.

        Args:
            work_s: Work that the search does meanwhile, if it has so much left [s].
            faster: How much work the other core does in the time of one second of that.
        """
        work_s = min(work_s, self.work_left_s) * faster
        return Clock(work_s, self.interruption, whole=self, is_charged=False)

    @property
    def is_interrupted(self) -> bool:
        """Whether someone wants the search to end."""
        return self.interruption.is_raised

    @property
    def left_s(self) -> float:
        """Seconds left, never negative; none after an interruption."""
        if self._whole is not None:
            return self._whole.left_s
        return 0.0 if self.is_interrupted else max(0.0, self._end - monotonic())

    @property
    def grace_left_s(self) -> float:
        """Seconds that having a plan at all may still take, beyond the limit if need be."""
        return max(0.0, min(self._grace_s, self._end + self._grace_s - monotonic()))

    @property
    def work_left_s(self) -> float:
        """Work left in the seconds it usually takes, never negative; none after a Ctrl-C."""
        return 0.0 if self.is_interrupted else max(0.0, self._work_s)

    def spend(self, deterministic: float, rows: int) -> None:
        """Take off the work of one call, of the whole search too.

        Args:
            deterministic: Work in the solver's own measure.
            rows: Decisions and rules of the model.
        """
        usual_s = deterministic / DETERMINISTIC_PER_S + rows * PER_ROW_S
        self.spend_s(usual_s / self._sooner)

    def spend_s(self, work_s: float) -> None:
        """Take off some work [s], of the whole search too."""
        self._work_s -= work_s
        if self._whole is not None and self._is_charged:
            self._whole.spend_s(work_s)


def left_to_explain_s(clock: Clock, limit_s: float) -> float:
    """Return what saying why there is no plan may take [s]: what is left, or a set overrun.

    Args:
        clock: The clock of the search that proved it.
        limit_s: The time limit the user set for everything [s].
    """
    return 0.0 if clock.is_interrupted else max(clock.left_s, limit_s * _EXPLAIN_SHARE)
