"""What the time did not settle, in the words a gaffer would ask it in."""

from collections.abc import Iterator
from importlib.metadata import version

from spreadload.derived.facts import Facts
from spreadload.job.preferences import Goal
from spreadload.plan import Search
from spreadload.solver.engine.limits import SolverConfig


def search_of(facts: Facts, config: SolverConfig, unproven: dict[Goal, tuple[int, int]]) -> Search:
    """Return how a plan was found, in the form that goes with the plan.

    Args:
        facts: The job, for its unit of length and what it calls the lines of its supply.
        config: Settings of the search.
        unproven: Goals with what was reached, -1 where there was no time, and the proved bound.
    """
    gaps = list(_gaps(facts, unproven))
    return Search(
        seed=config.seed,
        workers=config.workers,
        limit_s=config.time_limit_s,
        proven=not gaps,
        gap="; ".join(gaps),
        versions={"ortools": version("ortools"), "spreadload": version("spreadload")},
    )


def _gaps(facts: Facts, unproven: dict[Goal, tuple[int, int]]) -> Iterator[str]:
    for goal, (best, bound) in unproven.items():
        if best < 0:
            yield f"no time was left for “{goal.value}”"
        elif best > bound:
            yield _could_be_better(facts, goal, best, bound)


def _could_be_better(facts: Facts, goal: Goal, best: int, bound: int) -> str:
    if goal is Goal.CABLE and bound > 0:
        return f"the leads could perhaps be {facts.lengths.whole(best - bound)} shorter"
    lines = f"{facts.supply.line_word}s"
    words = {
        Goal.CABLE: "shorter leads are not ruled out",
        Goal.REPLUGS: "fewer or quicker re-plugs are not ruled out",
        Goal.TIGHTEST: f"the tightest circuit could perhaps be at {bound} % instead of {best} %",
        Goal.EACH_SETUP: f"the set-ups could perhaps be {best - bound} % looser, added up",
        Goal.BALANCE: f"the {lines} could perhaps be {best - bound} A closer together",
    }
    return words.get(goal, f"“{goal.value}” could perhaps be {bound} instead of {best}")
