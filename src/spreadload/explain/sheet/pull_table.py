"""The pull list: what goes on the truck, grouped, with spares, and where each comes out first."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from spreadload import practice
from spreadload.explain.briefing import Briefing
from spreadload.explain.day_moves import Pull
from spreadload.explain.judged import JudgedPlan
from spreadload.explain.names import point_name
from spreadload.explain.sheet.records import Table
from spreadload.units import MILLI
from spreadload.words import setup_name

# Common practice, no source: one spare for every four of a kind.
_SPARE_FOR_EVERY = 4

# What every job needs, whatever the plan: common practice, no source.
_ALWAYS = (
    ("tester", "socket tester"),
    ("tester", "multimeter"),
    ("tester", "clamp meter with line splitter"),
    ("tester", "plug-in power meter"),
    ("light", "torch for each person at the board"),
    ("light", "work light on battery"),
    ("safety", "ramps and mats, one for each crossing"),
)

COLUMNS = (
    "item", "size / type", "plug → socket", "length", "needed", "spare", "in stock",
    "where first", "RCD in line?", "tag in date?", "out", "back",
)  # fmt: skip
_GROUPS = ("lead", "adaptor", "board", "box")

Row = tuple[str, ...]


def pull_table(briefing: Briefing, labels: int) -> Table:
    """Return the pull list.

    Args:
        briefing: The plan, explained.
        labels: How many tape labels the job takes.
    """
    judged = briefing.judged
    pulled = [_pulled(judged, pull) for pull in briefing.pulls]
    pulled.sort(key=lambda row: _GROUPS.index(row[0]))
    rows = (*pulled, *_rcds(judged), *_fuses(judged), *_marking(judged, labels))
    always = (_line(kind, what, needed="1") for kind, what in _ALWAYS)
    note = (
        "Spares: one for every four, as far as the stock goes; testers, lights and ramps as usual "
        "(common practice, no source)."
    )
    return Table("pull-list", "Pull list", COLUMNS, (*rows, *always), note)


def _line(kind: str, what: str, *, ends: str = "", needed: str = "", first: str = "") -> Row:
    return (kind, what, ends, "", needed, "", "", first, "", "", "", "")


def _pulled(judged: JudgedPlan, pull: Pull) -> Row:
    # Leads nobody listed are taken to be enough, which is no count of what is on the truck.
    is_counted = pull.kind != "lead" or not judged.facts.leads_are_assumed
    in_stock = str(pull.in_stock) if is_counted else "not counted"
    spare = min(-(-pull.needed // _SPARE_FOR_EVERY), max(pull.in_stock - pull.needed, 0))
    kind, what, ends, length, rcd = _described(judged, pull)
    count = (str(pull.needed), str(spare), in_stock)
    return (kind, what, ends, length, *count, _first_used(judged, kind, pull.name), rcd, "", "", "")


def _described(judged: JudgedPlan, pull: Pull) -> tuple[str, str, str, str, str]:
    """Return kind, type, ends, length and the RCD in it."""
    if pull.kind == "lead":
        lead = next(lead for lead in judged.facts.leads if lead.name == pull.name)
        kind = "lead" if lead.plug == lead.socket else "adaptor"
        return kind, lead.size, _ends(lead.plug, lead.socket), lead.written, ""
    if pull.kind == "board":
        board = next(board for board in judged.facts.boards if board.name == pull.name)
        own = judged.facts.job.power_boards[board.index]
        what = f"{pull.name}, {board.rating_ma / MILLI:g} A, {board.ways} ways"
        return "board", what, board.plug, "", _rcd(own.rcd_ma)
    box, stated = judged.facts.boxes[pull.name], judged.facts.job.boxes[pull.name]
    what = f"{pull.name}, {stated.outlets_per_phase} a phase"
    cable = judged.facts.lengths.plain(stated.cable_in_m) if stated.cable_in_m else ""
    return "box", what, _ends(box.inlet, box.outlet), cable, _rcd(stated.rcd_ma)


def _rcd(own_ma: float | None) -> str:
    return "" if own_ma is None else f"{own_ma:g} mA"


def _ends(plug: str, socket: str) -> str:
    return plug if plug == socket else f"{plug} → {socket}"


def _first_used(judged: JudgedPlan, kind: str, name: str) -> str:
    """Return the outlet and place where something comes out first."""
    facts = judged.facts
    for p in judged.known:
        leads = [lead.name for lead in facts.leads if lead.index in (p.lead, p.board_lead)]
        board = next((b.name for b in facts.boards if b.index == p.board), "")
        box = judged.point(p).box or ""
        names = leads if kind in ("lead", "adaptor") else [board if kind == "board" else box]
        if name in names:
            place = f", {p.place}" if p.place else ""
            return f"{setup_name(p.setup)} {point_name(judged.point(p))}{place}"
    return ""


@dataclass(frozen=True)
class InlineRcds:
    """RCDs to plug in, one for each lead or board at an outlet that has none.

    Attributes:
        needed: How many in the set-up that needs most.
        first: That set-up with the first outlet, "" where none is needed.
    """

    needed: int = 0
    first: str = ""


def inline_rcds(judged: JudgedPlan) -> InlineRcds:
    """Return the RCDs to plug in."""
    bare: dict[str, set[tuple[str, int]]] = {}
    for p in judged.known:
        goes_on = p.lead is not None or p.board is not None
        if goes_on and not judged.point(p).exposure.rcds:
            bare.setdefault(p.setup, set()).add((p.point, p.socket))
    if not bare:
        return InlineRcds()
    busiest = max(bare, key=lambda setup: len(bare[setup]))
    first = point_name(judged.facts.points[min(bare[busiest])[0]])
    return InlineRcds(len(bare[busiest]), f"{setup_name(busiest)} {first}")


def _rcds(judged: JudgedPlan) -> Iterator[Row]:
    rcds = inline_rcds(judged)
    if rcds.needed:
        region = practice.region(judged.facts.job.region)
        what = f"plug-in {region.rcd_kind} {region.rcd_ma.value:g} mA"
        yield _line("RCD", what, needed=str(rcds.needed), first=rcds.first)


def _fuses(judged: JudgedPlan) -> Iterator[Row]:
    """Yield spare fuses by rating, where the plugs of the region have fuses in them."""
    fuses: Counter[float] = Counter()
    for load in judged.facts.loads.values():
        rating_a = practice.plug(load.plug).fuse_a
        if rating_a is not None:
            fuses[min(rating_a, load.plug_ma / MILLI)] += load.count
    for rating_a, count in sorted(fuses.items()):
        spare = str(-(-count // _SPARE_FOR_EVERY))
        yield _line("fuse", f"spare plug fuse {rating_a:g} A", needed=spare)


def _marking(judged: JudgedPlan, labels: int) -> Iterator[Row]:
    used = {c for p in judged.known for c in judged.point(p).exposure.might_be_on}
    yield _line("marking", "tape, one colour for each circuit in use", needed=str(len(used)))
    yield _line("marking", "tape labels, see the list", needed=str(labels))
