"""A plan is explained while others are looked for, and what is told does not hang on that."""

from dataclasses import replace
from pathlib import Path

import pytest

from spreadload.app import planning
from spreadload.app.explaining import Explaining
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.errors import InternalError
from spreadload.explain.briefing import Briefing, brief
from spreadload.plan import Plan, Solved
from spreadload.solver.any_wiring import look_for_plans
from spreadload.solver.engine.limits import SolverConfig

ROOT = Path(__file__).parents[2]
FIRST_JOB = ROOT / "scenarios/first_job"
OPEN = ROOT / "tests/jobs/terrace_not_traced.yaml"


@pytest.mark.parametrize("path", [FIRST_JOB, OPEN], ids=["known", "open"])
def test_best_plan_is_named_once_before_the_others_and_is_the_one_shown(path: Path) -> None:
    """Who wants to explain it can start then; its facts are those it was judged on."""
    named: list[tuple[Facts, Plan]] = []
    config = SolverConfig(on_best=lambda facts, plan: named.append((facts, plan)))

    facts, outcome = look_for_plans(planning.load_job(path), config)

    assert isinstance(outcome, Solved)
    assert named[-1][1] is outcome.plans[0][0]
    assert (named[-1][0].unknown, named[-1][0].job) == (facts.unknown, facts.job)


class Told:
    """Counts what is explained."""

    def __init__(self) -> None:
        """Nothing yet."""
        self.plans: list[Plan] = []

    def __call__(self, facts: Facts, plan: Plan) -> Briefing:
        """Explain a plan of a job."""
        self.plans.append(plan)
        return brief(facts, Judge(facts), plan, with_reasons=False)


def test_a_plan_is_explained_once_whoever_comes_first() -> None:
    """Facts worked out again from the same job are the same facts."""
    job = planning.load_job(FIRST_JOB)
    told, plan = Told(), Plan()
    explaining = Explaining(told)
    explaining.start(Facts.of(job), plan)

    assert explaining.of(Facts.of(job), plan).judged.plan is plan
    assert told.plans == [plan]


def test_another_plan_or_another_job_is_explained_anew() -> None:
    """What was begun for one plan is never told of another, nor with another house in mind."""
    job = planning.load_job(FIRST_JOB)
    told, plan = Told(), Plan()
    explaining = Explaining(told)
    explaining.start(Facts.of(job), plan)
    other = plan.model_copy()
    lone = job.model_copy(update={"setups": job.setups[:1]})

    assert explaining.of(Facts.of(job), other).judged.plan is other
    assert tuple(explaining.of(Facts.of(lone), plan).judged.facts.demands) == ("SU1",)
    assert (
        explaining.of(replace(Facts.of(job), unknown="maps"), plan).judged.facts.unknown == "maps"
    )


def test_a_fault_while_explaining_is_not_lost() -> None:
    """It arose in another thread and still ends the command."""

    def fail(_facts: Facts, _plan: Plan) -> Briefing:
        raise InternalError("the judge has left the house")

    job, plan = planning.load_job(FIRST_JOB), Plan()
    explaining = Explaining(fail)
    explaining.start(Facts.of(job), plan)

    with pytest.raises(InternalError, match="left the house"):
        explaining.of(Facts.of(job), plan)
