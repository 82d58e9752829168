"""The use case of planning again with the day half gone: what was typed, read against the job.

Nothing here prints. The solver is imported only when it is asked.
"""

from collections.abc import Callable
from dataclasses import dataclass

from spreadload.app.loaded import Day
from spreadload.app.names import refuse
from spreadload.app.replan_told import ReplanTold
from spreadload.app.replanner import Replanner
from spreadload.changes.edits import forbid
from spreadload.derived.supply import circuit_facts, supply_facts
from spreadload.io.note_text import names_of, split_words
from spreadload.job.job import Job
from spreadload.job.kit import Load, Policy
from spreadload.on_the_day.scene.scene import Scene
from spreadload.on_the_day.scene.window import setups_between
from spreadload.plan import Plan
from spreadload.solver.engine.limits import SolverConfig

__all__ = ["ReplanSaid", "ReplanTold", "replan"]


@dataclass(frozen=True)
class ReplanSaid:
    """What was asked.

    Attributes:
        since: First set-up still to come, or a time: all that ends later is still to come.
        off: What stays off: circuits by id or label, RCDs and sub-boards with all that is behind.
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
    behind = _circuits_by_name(day.job)
    named, faults = names_of(split_words(said.off), behind, "circuit, RCD or sub-board", "--off")
    off = tuple(dict.fromkeys(circuit for name in named for circuit in behind[name]))
    gone, more = names_of(split_words(said.gone), day.job.outlets, "outlet", "--gone")
    ahead = setups_between(day.stated, said.since, None, faults)
    refuse(*faults, *more)
    left = forbid(day.job, circuits=off, outlets=gone)
    job = _without_outlets(_without_wired(left, off), gone)
    scene = Scene.of(job, day.log, plan, ahead[0])
    return Replanner(job, day, scene, plan, off, config or SolverConfig()).run(is_safe=said.is_safe)


def _without_wired(job: Job, off: tuple[str, ...]) -> Job:
    """Return the job without what is wired to circuits that stay off: it draws nothing."""
    dead = {"policy": Policy.MUST_BE_OFF}
    return _with_loads(job, lambda x: x.model_copy(update=dead) if x.circuit in off else x)


def _without_outlets(job: Job, gone: tuple[str, ...]) -> Job:
    """Return the job with what is fixed to outlets that are gone at any other of their rooms."""

    def elsewhere(load: Load) -> Load:
        if load.outlet not in gone:
            return load
        return load.model_copy(update={"outlet": None, "room": job.outlets[load.outlet].room})

    return _with_loads(job, elsewhere)


def _with_loads(job: Job, changed: Callable[[Load], Load]) -> Job:
    """Return the job with every load of the house and of departments changed."""
    house, departments = (
        {name: changed(load) for name, load in group.items()}
        for group in (job.house, job.departments)
    )
    return job.model_copy(update={"house": house, "departments": departments})


def _circuits_by_name(job: Job) -> dict[str, tuple[str, ...]]:
    """Return the circuits that go dark with each thing that can be left off, by its names."""
    facts = circuit_facts(job, supply_facts(job))
    boards = {b: tuple(c for c in facts if b in facts[c].feeds) for b in job.sub_boards}
    rcds = {r: tuple(c for c in facts if r in facts[c].rcds) for r in job.rcds}
    labels: dict[str, tuple[str, ...]] = {}
    for circuit, stated in job.circuits.items():
        if stated.label:
            labels[stated.label] = (*labels.get(stated.label, ()), circuit)
    alone = {label: circuits for label, circuits in labels.items() if len(circuits) == 1}
    every = {**alone, **boards, **rcds, **{circuit: (circuit,) for circuit in job.circuits}}
    return {name: circuits for name, circuits in every.items() if circuits}
