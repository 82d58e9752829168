"""The door for every command that needs plans: the search that suits what is known of the wiring.

Where every circuit is known the plain search does. Where some are not, plans are looked for over
the wirings still possible, so that no command calls impossible what another one plans.
"""

from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.job.job import Job
from spreadload.job.observations import Log
from spreadload.plan import Outcome, chance_shown
from spreadload.solver.engine.limits import SolverConfig
from spreadload.solver.robust.least_risk import find_robust_plans
from spreadload.solver.search.ranked_plans import find_plans
from spreadload.wiring.evidence import is_wiring_open
from spreadload.wiring.model import WiringModel


def look_for_plans(
    job: Job,
    config: SolverConfig | None = None,
    log: Log | None = None,
    model: WiringModel | None = None,
) -> tuple[Facts, Outcome]:
    """Return what looking for plans of a whole day ends with, and the facts it was judged on.

    Args:
        job: The job.
        config: Time limit, alternatives, seed, progress.
        log: What was seen; it matters where circuits are not known.
        model: The wirings the house may have by job and log, where the caller knows them.

    Raises:
        InternalError: The judge refused a plan that the model called legal.
    """
    if not is_wiring_open(job):
        facts = Facts.of(job)
        return facts, find_plans(facts, Judge(facts), config)
    model = model or WiringModel.of(job, log)
    outcome = find_robust_plans(model, config)
    chance = chance_shown(outcome)
    is_certain = chance is not None and chance.certificate
    return Facts.of(model.job, "every" if is_certain else "maps"), outcome
