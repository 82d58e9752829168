"""The use case of planning again with the day half gone: what was typed, read against the job.

Nothing here prints. The solver is imported only when it is asked.
"""

from dataclasses import dataclass

from spreadload.app.loaded import Day, require_setup
from spreadload.app.replan_told import ReplanTold
from spreadload.app.replanner import Replanner
from spreadload.changes.edits import forbid
from spreadload.errors import InputError
from spreadload.io.note_text import names_of, split_words
from spreadload.on_the_day.scene import Scene
from spreadload.plan import Plan
from spreadload.solver.limits import SolverConfig

__all__ = ["ReplanSaid", "ReplanTold", "replan"]


@dataclass(frozen=True)
class ReplanSaid:
    """What was asked.

    Attributes:
        since: First set-up still to come.
        off: Circuits that stay off.
        gone: Outlets that are not to be used.
        is_safe: Whether to trip as seldom as can be, however many plugs that moves.
    """

    since: str
    off: tuple[str, ...] = ()
    gone: tuple[str, ...] = ()
    is_safe: bool = False


def replan(
    day: Day, plan: Plan, said: ReplanSaid, config: SolverConfig | None = None
) -> ReplanTold:
    """Plan the rest of the day again, changing as little as possible.

    Args:
        day: The job and its log, new observations included.
        plan: What is rigged and planned.
        said: From which set-up on, and what is gone.
        config: Time limit and seed.

    Raises:
        InputError: With every name that is not in the job.
    """
    require_setup(day.stated, "--from", said.since)
    off, faults = names_of(split_words(said.off), day.job.circuits, "circuit", "--off")
    gone, more = names_of(split_words(said.gone), day.job.outlets, "outlet", "--gone")
    if faults or more:
        raise InputError([*faults, *more])
    job = forbid(day.job, circuits=off, outlets=gone)
    scene = Scene.of(job, day.log, plan, said.since)
    return Replanner(job, day, scene, plan, off, config or SolverConfig()).run(is_safe=said.is_safe)
