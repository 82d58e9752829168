"""What to do between set-ups, in order."""

from collections import defaultdict
from collections.abc import Iterable, Iterator

from spreadload.explain.briefing import Briefing
from spreadload.explain.day_moves import Change
from spreadload.explain.judged import JudgedPlan
from spreadload.explain.names import point_name, point_with_circuits, unit_name, units_name
from spreadload.explain.sentences import carried_words
from spreadload.explain.sheet.records import Moves
from spreadload.plan import Placement


def moves_in_order(briefing: Briefing) -> tuple[Moves, ...]:
    """Return every change of set-up as kill, move, light.

    Everything that leaves is dark before anything new is lit, so no limit can be passed on the way:
    what is on in between is on both before and after.
    """
    return tuple(_moves(briefing.judged, change) for change in briefing.changes)


def _moves(judged: JudgedPlan, change: Change) -> Moves:
    facts = judged.facts
    move = tuple(
        f"{unit_name(facts, r.load, r.unit)} {point_name(facts.points[r.from_point])} → "
        f"{point_with_circuits(facts.points[r.to_point])}"
        + (f", {r.cool_down_min} min dark" if r.cool_down_min else "")
        for r in change.replugs
    )
    return Moves(
        change.before,
        change.after,
        tuple(_at(judged, change.struck)),
        move,
        tuple(carried_words(facts, each) for each in change.carried),
        tuple(_at(judged, change.added)),
    )


def _at(judged: JudgedPlan, units: Iterable[Placement]) -> Iterator[str]:
    together: dict[tuple[str, str], list[int]] = defaultdict(list)
    for unit in units:
        together[unit.load, unit.point].append(unit.unit)
    for (load, point), numbers in together.items():
        name = units_name(judged.facts, load, numbers)
        yield f"{name} at {point_name(judged.facts.points[point])}"
