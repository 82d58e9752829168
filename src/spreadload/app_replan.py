"""The use case of planning again with the day half gone.

Nothing here prints. The solver is imported only when it is asked.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from spreadload.app_loaded import Day, require_setup
from spreadload.changes.edits import forbid
from spreadload.derived.facts import Facts
from spreadload.errors import ExitCode, InputError
from spreadload.io.note_text import names_of
from spreadload.job.job import Job
from spreadload.job.site import HowKnown
from spreadload.on_the_day.scene import Scene
from spreadload.plan import Placement, Plan
from spreadload.report.replan_text import Replanned, Replug, replan_data, replan_text
from spreadload.report.style import Style
from spreadload.solver.limits import SolverConfig

if TYPE_CHECKING:
    from spreadload.solver.rerig import Rerigged

_MORE = 1


@dataclass(frozen=True)
class ReplanTold:
    """What to change for the rest of the day.

    Attributes:
        found: None when no plan was found.
        plan: The whole day: set-ups that are over as they were, the rest as planned now.
    """

    found: Replanned | None
    plan: Plan | None
    since: str

    @property
    def exit_code(self) -> ExitCode:
        """What the shell should see."""
        return ExitCode.UNDECIDED if self.found is None else ExitCode.HOLDS

    def text(self, style: Style | None = None) -> str:
        """Return the answer as text for a terminal."""
        if self.found is None:
            return (
                f"No plan was found from {self.since} on that keeps every rule: ask offers what to "
                "change."
            )
        return replan_text(self.found, style or Style())

    def data(self) -> dict[str, Any]:
        """Return the answer as data."""
        return {"say": self.text()} if self.found is None else replan_data(self.found)


@dataclass(frozen=True)
class ReplanSaid:
    """What was asked.

    Attributes:
        since: First set-up still to come.
        off: Circuits that stay off.
        gone: Outlets that are not to be used.
        is_sure: Whether the plan must hold on every wiring.
    """

    since: str
    off: tuple[str, ...] = ()
    gone: tuple[str, ...] = ()
    is_sure: bool = False


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
    config = config or SolverConfig()
    require_setup(day.stated, "--from", said.since)
    job = _without(day.job, said)
    scene = Scene.of(job, day.log, plan, said.since)
    likely = None if said.is_sure else _rerigged(_likely(scene), scene, config)
    sure = _rerigged(scene.facts.job, scene, config)
    if sure is not None and (likely is None or likely.kept - sure.kept <= _MORE):
        return _told(scene, plan, sure, Facts.of(scene.facts.job), is_sure=True)
    if likely is None:
        return ReplanTold(None, None, said.since)
    more = None if sure is None else likely.kept - sure.kept
    facts = Facts.of(_likely(scene))
    return _told(scene, plan, likely, facts, is_sure=False, more=more)


def _without(job: Job, said: ReplanSaid) -> Job:
    """Return the job without what is gone."""
    off, faults = names_of(said.off, job.circuits, "circuit", "--off")
    gone, more = names_of(said.gone, job.outlets, "outlet", "--gone")
    if faults or more:
        raise InputError([*faults, *more])
    return forbid(job, circuits=off, outlets=gone)


def _likely(scene: Scene) -> Job:
    """Return the job as if the likeliest wiring were known."""
    job = scene.facts.job
    outlets = {
        name: outlet
        if outlet.circuit is not None
        else outlet.model_copy(
            update={"circuit": scene.likely[name], "known": HowKnown.GUESSED, "maybe_on": ()}
        )
        for name, outlet in job.outlets.items()
    }
    return job.model_copy(update={"outlets": outlets})


def _rerigged(job: Job, scene: Scene, config: SolverConfig) -> "Rerigged | None":
    from spreadload.solver.rerig import rerig  # noqa: PLC0415 - loads OR-Tools

    return rerig(Facts.of(job).only(scene.remaining), scene.plan, config)


def _told(
    scene: Scene,
    whole: Plan,
    found: "Rerigged",
    facts: Facts,
    *,
    is_sure: bool,
    more: int | None = None,
) -> ReplanTold:
    after = _same_units(scene.plan, found.plan)
    told = Replanned(
        facts=facts,
        verdict=found.verdict,
        setups=scene.remaining,
        replugs=_replugs(scene.plan, after, scene.remaining),
        risk=0.0 if is_sure else scene.risk(after, scene.remaining),
        is_sure=is_sure,
        is_proven=found.is_proven,
        more_for_sure=more,
    )
    over = tuple(p for p in whole.placements if p.setup not in scene.remaining)
    gone = tuple(o for o in whole.left_out if o.setup not in scene.remaining)
    off = tuple(o for o in whole.switched_off if o.setup not in scene.remaining)
    day = after.model_copy(
        update={
            "placements": (*over, *after.placements),
            "left_out": (*gone, *after.left_out),
            "switched_off": (*off, *after.switched_off),
        }
    )
    return ReplanTold(told, day, scene.setup)


def _same_units(was: Plan, now: Plan) -> Plan:
    """Return a plan with units of one kind numbered so that those that can stay do.

    The solver does not tell identical units apart; the crew does.
    """
    old: dict[tuple[str, str, str | None], list[Placement]] = defaultdict(list)
    for p in was.placements:
        old[p.setup, p.load, p.place].append(p)
    by_kind: dict[tuple[str, str], list[Placement]] = defaultdict(list)
    for p in now.placements:
        by_kind[p.setup, p.load].append(p)
    found: list[Placement] = []
    for (setup, load), units in by_kind.items():
        numbers = sorted(p.unit for p in units)
        kept: dict[int, Placement] = {}
        rest: list[Placement] = []
        for p in units:
            there = [o for o in old[setup, load, p.place] if o.point == p.point]
            mine = next((o for o in there if o.unit in numbers and o.unit not in kept), None)
            if mine is None:
                rest.append(p)
            else:
                kept[mine.unit] = p
        # A unit that moves keeps its number where it stood at the same place.
        for p in rest:
            free = [n for n in numbers if n not in kept]
            own = [o.unit for o in old[setup, load, p.place] if o.unit in free]
            kept[(own or free)[0]] = p
        found += [p.model_copy(update={"unit": unit}) for unit, p in sorted(kept.items())]
    return now.model_copy(update={"placements": tuple(found)})


def _replugs(was: Plan, now: Plan, setups: Sequence[str]) -> tuple[Replug, ...]:
    """Return what moves, the same move in several set-ups once."""
    before = {(p.setup, p.load, p.unit): p.point for p in was.placements}
    after = {(p.setup, p.load, p.unit): p.point for p in now.placements}
    moves: dict[tuple[str, int, str | None, str | None], list[str]] = defaultdict(list)
    for key in sorted({*before, *after}, key=str):
        setup, load, unit = key
        if before.get(key) != after.get(key):
            moves[load, unit, before.get(key), after.get(key)].append(setup)
    grouped: dict[tuple[str, str | None, str | None, tuple[str, ...]], list[int]] = defaultdict(
        list
    )
    order = {s: n for n, s in enumerate(setups)}
    for (load, unit, a, b), where in moves.items():
        grouped[load, a, b, tuple(sorted(where, key=order.__getitem__))].append(unit)
    found = [
        Replug(load, tuple(units), a, b, where) for (load, a, b, where), units in grouped.items()
    ]
    return tuple(sorted(found, key=lambda r: (order[r.setups[0]], r.load, r.units)))
