"""What changes outlet from one set-up to the next, and which leads the day needs."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from spreadload.explain.judged import JudgedPlan
from spreadload.plan import Placement


@dataclass(frozen=True)
class Replug:
    """One unit that sits at another point in the next set-up that asks for it.

    Attributes:
        cool_down_min: Minutes it must stay dark before it lights again [min].
    """

    before: str
    after: str
    load: str
    unit: int
    from_point: str
    to_point: str
    cool_down_min: int


@dataclass(frozen=True)
class Carried:
    """Units that keep their plug and stand somewhere else, so that their leads are laid anew."""

    load: str
    units: int
    point: str
    from_place: str
    to_place: str


@dataclass(frozen=True)
class Change:
    """From one set-up to the next."""

    before: str
    after: str
    replugs: tuple[Replug, ...]
    struck: tuple[Placement, ...]
    added: tuple[Placement, ...]
    carried: tuple[Carried, ...] = ()


@dataclass(frozen=True)
class Pull:
    """How many of one kind of lead, power board or box the busiest set-up needs."""

    kind: str
    name: str
    needed: int
    in_stock: int


def day_changes(judged: JudgedPlan) -> tuple[Change, ...]:
    """Return what moves, what goes and what comes between consecutive set-ups."""
    found: list[Change] = []
    for before, after in pairwise(judged.facts.demands):
        was, now = _counts(judged, before), _counts(judged, after)
        found.append(_change(judged, (before, after), was, now))
    return tuple(found)


def pull_list(judged: JudgedPlan) -> tuple[Pull, ...]:
    """Return leads, power boards and boxes to take off the van: the most any set-up uses."""
    leads: Counter[int] = Counter()
    boards: Counter[int] = Counter()
    boxes: Counter[str] = Counter()
    for setup in judged.facts.demands:
        leads |= judged.leads_out(setup)
        boards |= judged.boards_out(setup)
        boxes |= _boxes_out(judged, setup)
    facts = judged.facts
    known_leads = (lead for lead in facts.leads if leads[lead.index])
    known_boards = (board for board in facts.boards if boards[board.index])
    return (
        *(Pull("lead", lead.name, leads[lead.index], lead.count) for lead in known_leads),
        *(Pull("board", b.name, boards[b.index], b.count) for b in known_boards),
        *(Pull("box", name, count, facts.boxes[name].count) for name, count in boxes.items()),
    )


def _boxes_out(judged: JudgedPlan, setup: str) -> Counter[str]:
    standing = {(judged.point(p).outlet, judged.point(p).box) for p in judged.by_setup[setup]}
    return Counter(box for _, box in standing if box is not None)


def _counts(judged: JudgedPlan, setup: str) -> dict[str, list[Placement]]:
    found: dict[str, list[Placement]] = {}
    for placement in judged.by_setup[setup]:
        found.setdefault(placement.load, []).append(placement)
    return found


def _change(
    judged: JudgedPlan,
    setups: tuple[str, str],
    was: dict[str, list[Placement]],
    now: dict[str, list[Placement]],
) -> Change:
    replugs: list[Replug] = []
    struck: list[Placement] = []
    added: list[Placement] = []
    carried: list[Carried] = []
    for load in judged.facts.loads:
        leaving, coming = _unmatched(was.get(load, []), now.get(load, []))
        cool_down_min = judged.facts.loads[load].replug_cost - 1
        pairs, gone, new_ones = _paired(leaving, coming)
        for old, new in pairs:
            replugs.append(Replug(*setups, load, new.unit, old.point, new.point, cool_down_min))
        struck += gone
        added += new_ones
        carried += _carried(load, was.get(load, []), now.get(load, []))
    return Change(*setups, tuple(replugs), tuple(struck), tuple(added), tuple(carried))


def _carried(load: str, was: list[Placement], now: list[Placement]) -> Iterator[Carried]:
    """Yield what stays at a point but not at its place; as few units as it takes."""
    for point in dict.fromkeys(p.point for p in was):
        before = Counter(p.place for p in was if p.point == point)
        after = Counter(p.place for p in now if p.point == point)
        leaving, coming = (before - after).elements(), (after - before).elements()
        for (old, new), units in Counter(zip(leaving, coming, strict=False)).items():
            if old is not None and new is not None:
                yield Carried(load, units, point, old, new)


def _unmatched(
    was: list[Placement], now: list[Placement]
) -> tuple[list[Placement], list[Placement]]:
    """Return units that leave their point and units that come to one; identical ones cancel."""
    stays = {(p.point, p.unit) for p in was} & {(p.point, p.unit) for p in now}
    kept = Counter(p.point for p in was) & Counter(p.point for p in now)
    return _beyond(was, kept, stays), _beyond(now, kept, stays)


def _beyond(
    units: list[Placement], kept: Counter[str], stays: set[tuple[str, int]]
) -> list[Placement]:
    """Return the units beyond those that keep their point; one that keeps its number stays."""
    left = Counter(kept)
    beyond: list[Placement] = []
    for unit in sorted(units, key=lambda p: (p.point, (p.point, p.unit) not in stays, p.unit)):
        if left[unit.point]:
            left[unit.point] -= 1
        else:
            beyond.append(unit)
    return beyond


def _paired(
    leaving: list[Placement], coming: list[Placement]
) -> tuple[list[tuple[Placement, Placement]], list[Placement], list[Placement]]:
    """Return who goes where, what goes for good and what is new.

    Units are alike, so any pairing is as many plugs; the one by number says what the tables of the
    two set-ups say, and a unit that stands at the same place before and after stays there.
    """
    pairs: list[tuple[Placement, Placement]] = []
    for alike in (_number, _place, _any):
        left: list[Placement] = []
        for new in coming:
            old = next((old for old in leaving if alike(old) == alike(new)), None)
            if old is None:
                left.append(new)
                continue
            leaving = [other for other in leaving if other is not old]
            pairs.append((old, new))
        coming = left
    return sorted(pairs, key=lambda pair: pair[1].unit), leaving, coming


def _number(unit: Placement) -> int:
    return unit.unit


def _place(unit: Placement) -> str | None:
    return unit.place


def _any(_unit: Placement) -> None:
    return None
