"""Spread film lights over the circuits of a real house.

The names below are the library's face. They are loaded when first used, so that importing one
small module of the project does not load all of it.
"""

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from spreadload.app.planning import (
        CheckTold,
        PlanTold,
        SolverConfig,
        Style,
        WhyTold,
        check_plan,
        load_job,
        load_plan,
        plan_job,
        save_plan,
        why_not,
    )
    from spreadload.errors import Fault, InputError, InternalError, SpreadloadError
    from spreadload.job.job import Job
    from spreadload.plan import Impossible, Plan, Solved, Undecided, Verdict

__all__ = [
    "CheckTold",
    "Fault",
    "Impossible",
    "InputError",
    "InternalError",
    "Job",
    "Plan",
    "PlanTold",
    "Solved",
    "SolverConfig",
    "SpreadloadError",
    "Style",
    "Undecided",
    "Verdict",
    "WhyTold",
    "check_plan",
    "load_job",
    "load_plan",
    "plan_job",
    "save_plan",
    "why_not",
]

_HOME = {
    "Fault": "spreadload.errors",
    "Impossible": "spreadload.plan",
    "InputError": "spreadload.errors",
    "InternalError": "spreadload.errors",
    "Job": "spreadload.job.job",
    "Plan": "spreadload.plan",
    "Solved": "spreadload.plan",
    "SpreadloadError": "spreadload.errors",
    "Undecided": "spreadload.plan",
    "Verdict": "spreadload.plan",
}


def __getattr__(name: str) -> object:
    """Return a public name from where it lives."""
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(_HOME.get(name, "spreadload.app.planning")), name)
