"""The use cases: the library's face and the command line's only door.

Plans, checks, and says why not elsewhere. Nothing here prints. The solver is imported only where a
plan is looked for, so that everything else starts at once.
"""

from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from spreadload.app.explaining import Explaining
from spreadload.app.names import refuse, unknown, unknown_setup
from spreadload.app.told import CheckTold, PlanTold, WhyTold
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.errors import Fault, InputError
from spreadload.explain.answer import Answer, answer, check_answer
from spreadload.explain.briefing import Briefing, brief
from spreadload.explain.goal_words import chance_change
from spreadload.explain.judged import JudgedPlan
from spreadload.explain.why_not import Why, WhyNot, is_there, legal_alone, priced, unpriced
from spreadload.io.job_file import load_job as read_job
from spreadload.io.log_file import load_log, log_path
from spreadload.io.plan_file import LoadedPlan, job_digest
from spreadload.io.plan_file import load_plan as read_plan
from spreadload.io.plan_file import save_plan as write_plan
from spreadload.job.job import Job
from spreadload.job.observations import Log
from spreadload.on_the_day.trip.prepared import prepared_moves
from spreadload.plan import Chance, Impossible, Outcome, Plan, Solved, Undecided
from spreadload.report.style import Style
from spreadload.solver.engine.limits import SolverConfig
from spreadload.wiring.evidence import is_wiring_open, learned
from spreadload.wiring.model import WiringModel
from spreadload.words import setup_names

if TYPE_CHECKING:
    from spreadload.solver.what_if.forced import Asking

__all__ = [
    "CheckTold",
    "PlanTold",
    "SolverConfig",
    "Style",
    "WhyTold",
    "check_plan",
    "load_job",
    "load_job_and_log",
    "load_plan",
    "plan_job",
    "save_plan",
    "why_not",
    "with_log",
]


def load_job(path: Path | str) -> Job:
    """Return the job of a file, or of a folder with a ``job.yaml`` in it.

    Raises:
        InputError: With every fault found in one pass.
    """
    return read_job(Path(path))


def load_job_and_log(path: Path | str) -> tuple[Job, Log]:
    """Return a job as stated, and the log beside its file.

    Raises:
        InputError: With every fault of the job, or of the log.
    """
    job = load_job(path)
    return job, load_log(log_path(Path(path)), job)


def with_log(job: Job, path: Path | str) -> Job:
    """Return a job with what the log beside its file proves of the wiring put in.

    Args:
        job: The job as stated.
        path: Its file or folder.

    Raises:
        InputError: With every fault of the log.
    """
    return learned(job, load_log(log_path(Path(path)), job))


def load_plan(path: Path | str, job: Job) -> LoadedPlan:
    """Return the plan of a file; one made for another job comes with a warning.

    Raises:
        InputError: Not JSON, not a plan, or of a later version.
    """
    return read_plan(Path(path), job)


def plan_job(
    job: Job,
    config: SolverConfig | None = None,
    *,
    setup: str | None = None,
    reasons: bool = True,
    log: Log | None = None,
) -> PlanTold:
    """Look for ranked plans for a whole day and explain the best.

    Args:
        job: The job, as ``load_job`` returns it.
        config: Time limit, alternatives, seed, progress.
        setup: Refused when it is not a set-up of the job; what is shown is up to ``text``.
        reasons: Whether to look for a reason for every placement, and a first move for every
            circuit.
        log: What was seen on the recce and on the day; it matters where circuits are not known.

    Raises:
        InputError: No such set-up.
        InternalError: The judge refused a plan the solver called good.
    """
    refuse(unknown_setup(job, setup))
    from spreadload.solver.any_wiring import look_for_plans  # noqa: PLC0415 - loads OR-Tools

    model = _model_of(job, log)
    explaining = Explaining(partial(_explained, job, log or Log(), model, config or SolverConfig()))
    beside = replace(config or SolverConfig(), on_best=explaining.start) if reasons else config
    facts, outcome = look_for_plans(job, beside, log, model)
    shown = _shown(outcome)
    if shown is None:
        briefing = None
    elif reasons:
        briefing = explaining.of(facts, shown)
    else:
        fails_pct = _fails_pct(model, facts, config)
        briefing = brief(facts, Judge(facts), shown, with_reasons=False, fails_pct=fails_pct)
    return PlanTold(facts, outcome, answer(facts, outcome), briefing)


def _explained(
    job: Job, log: Log, model: WiringModel | None, config: SolverConfig, facts: Facts, plan: Plan
) -> Briefing:
    """Return everything there is to say about a plan, with a first move for every circuit."""
    fails_pct = _fails_pct(model, facts, config)
    briefing = brief(facts, Judge(facts), plan, fails_pct=fails_pct)
    return replace(briefing, first_moves=prepared_moves(job, log, briefing, model))


def check_plan(
    job: Job,
    plan: Plan,
    *,
    setup: str | None = None,
    reasons: bool = True,
    log: Log | None = None,
) -> CheckTold:
    """Judge a plan, whoever made it.

    Where circuits are not known, a plan that does not hold on every wiring is judged on what is
    sure, and the chance that the wiring makes it fail is told beside the verdict.

    Raises:
        InputError: No such set-up.
    """
    refuse(unknown_setup(job, setup))
    model = _model_of(job, log)
    facts, chance = _facts_to_check(job, plan, model)
    fails_pct = _fails_pct(model, facts, None)
    briefing = brief(facts, Judge(facts), plan, with_reasons=reasons, fails_pct=fails_pct)
    said = check_answer(facts, plan, briefing.judged.verdict, chance)
    return CheckTold(said, briefing, chance)


def _model_of(job: Job, log: Log | None) -> WiringModel | None:
    """Return the wirings a house may have, or None where every circuit is known."""
    return WiringModel.of(job, log) if is_wiring_open(job) else None


def _facts_to_check(job: Job, plan: Plan, model: WiringModel | None) -> tuple[Facts, Chance | None]:
    if model is None:
        return Facts.of(job), None
    from spreadload.solver.robust.chance import certain, chance_of  # noqa: PLC0415 - loads OR-Tools
    from spreadload.solver.robust.least_risk import Robust  # noqa: PLC0415 - loads OR-Tools

    facts = Facts.of(model.job)
    verdict = Judge(facts).judge(plan)
    if any(v.rule == "unknown" for v in verdict.violations):
        return facts, None
    if verdict.holds:
        return facts, certain(model, facts, plan)
    robust = Robust.of(model)
    return robust.facts, chance_of(robust, plan, None)


def _fails_pct(
    model: WiringModel | None, facts: Facts, config: SolverConfig | None
) -> Callable[[Plan], float] | None:
    """Return what tells the chance of a plan where it rests on maps, else None."""
    if model is None or not facts.is_left_to_maps:
        return None
    from spreadload.solver.robust.chance import fails_pct_of  # noqa: PLC0415 - loads OR-Tools

    seed = (config or SolverConfig()).seed
    return fails_pct_of(model, facts, seed)


def save_plan(path: Path | str, job: Job, plan: Plan, others: Iterable[Plan] = ()) -> None:
    """Write a plan to a file with those ranked behind it, whole or not at all.

    Raises:
        InputError: The file cannot be written.
    """
    write_plan(Path(path), job_digest(job), plan, others)


def why_not(
    job: Job,
    load: str,
    outlet: str,
    *,
    setup: str | None = None,
    plan: Plan | None = None,
    config: SolverConfig | None = None,
    log: Log | None = None,
) -> WhyTold:
    """Say why a load is not at an outlet, by planning again with that choice forced.

    Args:
        job: The job.
        load: Head or load id; one unit of it is enough.
        outlet: Outlet id, or the id of a point behind a distribution box.
        setup: One set-up, or None for every one that asks for the load.
        plan: The plan to hold it against; the best one is found when None.
        config: Time limit for each search, seed, progress.
        log: What was seen; it matters where circuits are not known.

    Raises:
        InputError: No such load, outlet or set-up, or no set-up asks for the load.
    """
    facts = Facts.of(job)
    refuse(
        unknown("HEAD", "head or load", load, facts.loads),
        unknown("OUTLET", "outlet", outlet, dict.fromkeys((*facts.job.outlets, *facts.points))),
        unknown_setup(facts.job, setup),
    )
    setups = _setups_asking(facts, load, setup)
    if plan is None:
        facts, found = _best_plan(job, config or SolverConfig(), log)
        if isinstance(found, Answer):
            return WhyTold((), found.text, found)
        held = found
    else:
        facts, _ = _facts_to_check(job, plan, _model_of(job, log))
        held = plan
    from spreadload.solver.what_if.forced import Asking  # noqa: PLC0415 - loads OR-Tools

    asking = Asking.of(job, facts, config or SolverConfig(), log)
    judged = JudgedPlan.of(facts, asking.judge, held)
    answers = tuple(_why(asking, judged, (each, load, outlet)) for each in setups)
    return WhyTold(answers, _held_against(judged, is_given=plan is not None))


def _best_plan(job: Job, config: SolverConfig, log: Log | None) -> tuple[Facts, Plan | Answer]:
    """Return the best plan there is, or what to answer where none was found."""
    from spreadload.solver.any_wiring import look_for_plans  # noqa: PLC0415 - loads OR-Tools

    facts, outcome = look_for_plans(job, replace(config, alternatives=0), log)
    return facts, _shown(outcome) or answer(facts, outcome)


def _why(asking: "Asking", judged: JudgedPlan, question: tuple[str, str, str]) -> WhyNot:
    from spreadload.solver.what_if.forced import NoPlan  # noqa: PLC0415 - loads OR-Tools

    if is_there(judged, *question):
        return unpriced(judged, question, Why.IS_THERE)
    found = asking.with_forced(question, judged.plan)
    if found is NoPlan.NONE_EXISTS:
        return unpriced(judged, question, Why.IMPOSSIBLE)
    if found is NoPlan.NOT_DECIDED:
        return unpriced(judged, question, Why.NOT_DECIDED)
    before_pct = asking.fails_pct(judged.plan)
    if before_pct is None:
        return priced(judged, question, found)
    ways = [found, *legal_alone(judged, question)]
    chances = [asking.fails_pct(plan) or 0.0 for plan, _ in ways]
    best = min(range(len(ways)), key=lambda n: chances[n])
    return priced(judged, question, ways[best], chance_change(before_pct, chances[best]))


def _held_against(judged: JudgedPlan, *, is_given: bool) -> str:
    which = "the plan given" if is_given else "the best plan"
    if not judged.verdict.holds:
        which += ", which breaks a limit itself"
    return which + (", which leaves heads dark" if judged.plan.left_out else "")


def _shown(outcome: Outcome) -> Plan | None:
    match outcome:
        case Solved():
            return outcome.plans[0][0]
        case Impossible(reduced=(plan, _)) | Undecided(reduced=(plan, _)):
            return plan
        case _:
            return None


def _setups_asking(facts: Facts, load: str, setup: str | None) -> tuple[str, ...]:
    asking = [s for s, asked in facts.demands.items() if any(d.load == load for d in asked)]
    plugged = [
        s for s in asking if any(d.load == load and d.circuit is None for d in facts.demands[s])
    ]
    if not plugged:
        problem = "it is wired to its circuit" if asking else "no set-up asks for it"
        raise InputError([Fault("", 0, "HEAD", problem, load)])
    if setup is not None and setup not in plugged:
        problem, where = (
            f"does not ask for {load}",
            f"{setup_names(plugged)} {'does' if len(plugged) == 1 else 'do'}",
        )
        raise InputError([Fault("", 0, "--setup", problem, setup, remedy=where)])
    return tuple(plugged) if setup is None else (setup,)
