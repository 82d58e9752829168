"""The community hall's wide shot as it would be drawn first: every plug in the nearest outlet.

Drawn by a few plain lines from the shipped file; no search and no limit has a say in it.
"""

from dataclasses import dataclass, field
from pathlib import Path

from builders import plan_of, put
from spreadload.derived.facts import Facts
from spreadload.io.job_file import load_job
from spreadload.plan import Placement, Plan

HALL = Path(__file__).parents[1] / "scenarios" / "community_hall"
WIDE = "SU2"
STAGE = {"F1": ("F1", "F2"), "F3": ("F3", "F4")}
BOXES = {
    "south window": ("F5/stage box/L2", "F5/stage box/L2"),
    "north window": ("F6/stage box/L2", "F6/stage box/L3"),
}
FIXED = {
    "dryer": ("F14", "F15"),
    "irons": ("F14", "F15"),
    "urn": ("F16", "F17"),
    "warmer": ("F16",),
    "chargers": ("F19", "F19"),
    "cool room plant": ("F20",),
}
# Where the published drawing had each plug is not known. These were picked so that its sums per
# phase come out; many other choices would do.
FITTED_TO_THE_SUMS = {
    ("DH1200", "south far"): ("F8", "F10"),
    ("LED300", "south far"): ("F8", "F10"),
    ("LED150", "north near"): ("F9", "F9", "F7"),
    ("LED300", "north middle"): ("F9", "F9"),
    ("DH1200", "north middle"): ("F9", "F10"),
    ("tube", "centre"): ("F10", "F10", "F10", "F13", "F13", "F13"),
}
TWO_MOVED = {
    ("DH2500", "south window"): ("F5/stage box/L1", "F5/stage box/L2"),
    ("DH2500", "north window"): ("F6/stage box/L3", "F6/stage box/L3"),
}
Where = dict[tuple[str, str | None], tuple[str, ...]]


def hall() -> Facts:
    """Return the hall with its wide shot alone, and as many leads and boards as anyone may want."""
    job = load_job(HALL)
    more = {
        "setups": tuple(s for s in job.setups if s.id == WIDE),
        "leads": tuple(lead.model_copy(update={"count": 100}) for lead in job.leads),
        "power_boards": tuple(
            board.model_copy(update={"count": 40, "ways": 6}) for board in job.power_boards
        ),
    }
    return Facts.of(job.model_copy(update=more))


def nearest(facts: Facts) -> Where:
    """Return a point for every unit: its nearest outlet, two that are equally near in turns."""
    found: Where = {}
    for demand in facts.demands[WIDE]:
        if demand.circuit is not None:
            continue
        key = (demand.load, demand.place)
        if demand.place is None:
            found[key] = FIXED[demand.load]
        elif demand.load == "DH2500":
            found[key] = BOXES[demand.place]
        else:
            found[key] = _by_way(facts, demand.place, demand.count)
    return found


def _by_way(facts: Facts, place: str, count: int) -> tuple[str, ...]:
    plain = [p for p in facts.points.values() if p.box is None and p.plug == "au-10"]
    first = min(plain, key=lambda p: (round(facts.route_m(place, p), 3), int(p.id[1:]))).id
    turns = STAGE.get(first, (first,))
    return tuple(turns[n % len(turns)] for n in range(count))


@dataclass
class Drawing:
    """Plugs units in one after the other: a board in every ordinary socket, a lead where needed."""

    facts: Facts
    taken_ma: dict[tuple[str, int], int] = field(default_factory=dict)
    numbers: dict[str, int] = field(default_factory=dict)

    def plan(self, where: Where) -> Plan:
        """Return the plan that puts every unit at its point, the largest first."""
        entries = [(*key, point) for key, points in where.items() for point in points]
        entries.sort(key=lambda entry: -self.facts.unit_ma(entry[0], 1))
        return plan_of(*(self._put(*entry) for entry in entries))

    def _put(self, load: str, place: str | None, point: str) -> Placement:
        self.numbers[load] = self.numbers.get(load, 0) + 1
        sockets = range(1, self.facts.points[point].sockets + 1)
        socket = min(sockets, key=lambda each: self.taken_ma.get((point, each), 0))
        taken_ma = self.taken_ma.get((point, socket), 0) + self.facts.unit_ma(load, 1)
        self.taken_ma[point, socket] = taken_ma
        is_free = place is not None and self.facts.points[point].box is None
        return put(
            load,
            point,
            unit=self.numbers[load],
            name=WIDE,
            place=place,
            socket=socket,
            board=0 if is_free else None,
            lead=self._lead(load, place, point),
        )

    def _lead(self, load: str, place: str | None, point: str) -> int | None:
        if place is None:
            return None
        own = self.facts.loads[load]
        needed_m = self.facts.route_m(place, self.facts.points[point]) - own.cord_m
        if needed_m <= 0:
            return None
        fits = [
            lead for lead in self.facts.leads if lead.length_m >= needed_m and lead.plug == own.plug
        ]
        return min(fits, key=lambda lead: lead.length_m).index
