"""Leads by what they join: an outlet and a place, which may be on different levels."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from spreadload.explain.judged import JudgedPlan
from spreadload.explain.names import units_name
from spreadload.explain.sentences import run_words
from spreadload.explain.sheet.floor import Floor
from spreadload.plan import Placement
from spreadload.words import row


@dataclass(frozen=True)
class Lead:
    """Units that go from an outlet to a place in one set-up.

    Attributes:
        source: What it comes from: the outlet, or a box on its own cable there.
        length: The way it goes.
        what: Units, and by which lead.
        rises: Levels from the outlet up to the place, negative where it goes down.
    """

    setup: str
    outlet: str
    source: str
    place: str
    length: str
    what: str
    rises: int

    @property
    def as_arriving(self) -> str:
        """What stands beside the place: ``13 m from F2``, ``13 m from F2 below``."""
        level = "" if not self.rises else " below" if self.rises > 0 else " above"
        return f"{self.length} from {self.source}{level}"

    @property
    def as_leaving(self) -> str:
        """What stands beside an outlet whose lead leaves the level: ``13 m up to landing``."""
        return f"{self.length} {'up' if self.rises > 0 else 'down'} to {self.place}"


def leads_of(judged: JudgedPlan, floors: Sequence[Floor]) -> tuple[Lead, ...]:
    """Return every lead whose two ends have a position.

    Args:
        judged: The plan.
        floors: The levels of the house, lowest first.
    """
    outlet_at = {outlet: n for n, floor in enumerate(floors) for outlet in floor.outlets}
    place_at = {place: n for n, floor in enumerate(floors) for place in floor.places}
    together: dict[tuple[str, str, str], list[Placement]] = defaultdict(list)
    for p in judged.known:
        outlet = judged.point(p).outlet
        if p.place in place_at and outlet in outlet_at:
            together[p.setup, outlet, p.place].append(p)
    return tuple(
        _lead(judged, units, place_at[place] - outlet_at[outlet])
        for (_, outlet, place), units in together.items()
    )


def _lead(judged: JudgedPlan, units: Sequence[Placement], rises: int) -> Lead:
    first = units[0]
    point, place = judged.point(first), first.place or ""
    return Lead(
        setup=first.setup,
        outlet=point.outlet,
        source=f"{point.outlet} {point.box}" if point.box else point.outlet,
        place=place,
        length=judged.facts.lengths.whole(judged.facts.route_m(place, point)),
        what=_carried(judged, units),
        rises=rises,
    )


def _carried(judged: JudgedPlan, units: Sequence[Placement]) -> str:
    by_load: dict[tuple[str, str], list[int]] = defaultdict(list)
    for p in units:
        run = run_words(judged.facts, (p.board, p.board_lead, p.lead))
        by_load[p.load, run].append(p.unit)
    return row(
        units_name(judged.facts, load, numbers) + (f" on {run}" if run else "")
        for (load, run), numbers in by_load.items()
    )
