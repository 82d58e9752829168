"""One more load in a plan: the job with it on, the plan with it plugged in, what that breaks.

Never imports the solver.
"""

from collections import defaultdict
from collections.abc import Iterator, Sequence

from spreadload.derived.facts import Facts
from spreadload.derived.records import Point
from spreadload.job.job import Job
from spreadload.on_the_day.ask.question import Question
from spreadload.plan import Placement, Plan, Violation

_NOISE = 1e-9


def with_load(job: Job, name: str, question: Question) -> Job:
    """Return the job with what is asked about on in the set-ups asked about."""
    setups, loads = [], job.loads
    for setup in job.setups:
        named = setup.on if isinstance(setup.on, dict) else dict.fromkeys(setup.on, 0)
        on = {load: count or loads[load].count for load, count in named.items()}
        if setup.id in question.setups:
            on[name] = 1
        setups.append(setup.model_copy(update={"on": on}))
    departments = job.departments | {name: question.load}
    return job.model_copy(update={"departments": departments, "setups": tuple(setups)})


def ways_in(
    facts: Facts, plugged: tuple[Placement, ...], point: Point, setup: str, name: str
) -> Iterator[tuple[str, Placement]]:
    """Yield every way of plugging one more unit into a point: straight, or through a power board.

    Sockets that are alike are tried once; what is plugged in already stays where it is.
    """
    sockets: dict[int, list[Placement]] = defaultdict(list)
    for placement in plugged:
        if placement.point == point.id:
            sockets[placement.socket].append(placement)
    free = next((n for n in range(1, point.sockets + 1) if n not in sockets), None)
    if free is not None:
        yield "straight in", Placement(setup=setup, load=name, unit=1, point=point.id, socket=free)
    for socket, there in sorted(sockets.items()):
        board = there[0].board
        if board is not None and there[0].board_lead is None:
            yield (
                "on the power board there",
                Placement(
                    setup=setup, load=name, unit=1, point=point.id, socket=socket, board=board
                ),
            )
    if free is not None:
        for kind in facts.boards:
            yield (
                f"on a {kind.name} of yours",
                Placement(
                    setup=setup, load=name, unit=1, point=point.id, socket=free, board=kind.index
                ),
            )


def worse(before: Sequence[Violation], after: Sequence[Violation]) -> list[Violation]:
    """Return the limits passed that were not passed before, or not as far."""
    was = {(v.rule, v.where): v.value for v in before}
    return [v for v in after if v.value > was.get((v.rule, v.where), -1.0) + _NOISE]


def free_name(job: Job) -> str:
    """Return an id for the new load that nothing of the job has."""
    name = "the new plug"
    while name in {*job.heads, *job.departments, *job.house, *job.stock}:
        name += "'"
    return name


def with_one_more(plan: Plan, placement: Placement) -> Plan:
    """Return a plan with one more unit plugged in."""
    return plan.model_copy(update={"placements": (*plan.placements, placement)})
