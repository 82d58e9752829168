"""Of plans that are equally good by every rule, the one a crew would plug in: nearest outlets.

The goals leave ties. This last touch moves one unit at a time to a nearer point, wherever the judge
finds the plan no worse by any goal, so that "why not the outlet right there?" has an answer.
"""

from collections import defaultdict
from collections.abc import Iterator

from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.derived.records import Point
from spreadload.plan import Placement, Plan, Verdict

# Looks at the judge are counted, not timed, so that the same input gives the same plan.
_LOOKS = 120
_CLOSEST = 3
_NEARER_M = 0.5


def nearest_of_equals(
    facts: Facts, judge: Judge, plan: Plan, verdict: Verdict, *, same_circuits: bool
) -> tuple[Plan, Verdict]:
    """Return a plan as good as the given one by every goal, with shorter ways where there are.

    Args:
        facts: The job, worked out.
        judge: The judge of both plans.
        plan: A plan; one that breaks limits comes back breaking no more of them.
        verdict: Its verdict.
        same_circuits: Move only between points of the same circuits, so that nothing above the
            outlet changes.
    """
    looks = _LOOKS
    for stay in _stays(plan):
        for point in _closer(facts, stay[0], same_circuits=same_circuits):
            moved = _moved(facts, plan, stay, point)
            if moved is None:
                continue
            if looks == 0:
                return plan, verdict
            looks -= 1
            found = judge.judge(moved)
            if _is_no_worse(found, verdict):
                plan, verdict = moved, found
                break
    return plan, verdict


def _stays(plan: Plan) -> list[list[Placement]]:
    """Return units plugged in straight, each with all set-ups in which it stays where it is."""
    found: dict[tuple[str, int, str, str | None], list[Placement]] = defaultdict(list)
    for p in plan.placements:
        if p.place is not None and p.board is None:
            found[p.load, p.unit, p.point, p.place].append(p)
    return [stay for _, stay in sorted(found.items(), key=lambda item: str(item[0]))]


def _closer(facts: Facts, p: Placement, *, same_circuits: bool) -> Iterator[Point]:
    place = p.place or ""
    here = facts.points[p.point]
    now_m = facts.route_m(place, here)
    routes = [
        (facts.route_m(place, point), point.id)
        for point in facts.points.values()
        if point.box is None
        and not point.exposure.left_to_maps
        and (point.exposure == here.exposure or not same_circuits)
    ]
    for route_m, point_id in sorted(routes)[:_CLOSEST]:
        if route_m < now_m - _NEARER_M:
            yield facts.points[point_id]


def _moved(facts: Facts, plan: Plan, stay: list[Placement], point: Point) -> Plan | None:
    """Return the plan with a unit at another point, or None where no socket is free."""
    places: dict[Placement, Placement] = {}
    for p in stay:
        taken = {q.socket for q in plan.placements if (q.setup, q.point) == (p.setup, point.id)}
        free = [n for n in range(1, point.sockets + 1) if n not in taken]
        if not free:
            return None
        own_cord = facts.route_m(p.place or "", point) <= facts.loads[p.load].cord_m
        lead = None if own_cord else p.lead
        places[p] = p.model_copy(update={"point": point.id, "socket": free[0], "lead": lead})
    moved = tuple(places.get(p, p) for p in plan.placements)
    return plan.model_copy(update={"placements": moved})


def _is_no_worse(found: Verdict, known: Verdict) -> bool:
    if len(found.violations) > len(known.violations):
        return False
    return all(a.value <= b.value for a, b in zip(found.goals, known.goals, strict=True))
