"""What changes from one plan of the rest of the day to another, unit by unit. Loads no solver."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from spreadload.plan import Placement, Plan

_Key = tuple[str, str, int]
_Run = tuple[int | None, int | None, int | None]
# Where a plug goes, and how it gets there.
_Way = tuple[str, _Run]


@dataclass(frozen=True)
class Replug:
    """Units of one load that go from one point to another, or on another lead, in some set-ups.

    Attributes:
        from_point: Where they were planned; None where they come off the van.
        to_point: Where they go; None where they stay dark or are asked for no more.
        run: Indices of the power board, of the lead it hangs on, and of their own lead there.
    """

    load: str
    units: tuple[int, ...]
    from_point: str | None
    to_point: str | None
    setups: tuple[str, ...]
    run: _Run = (None, None, None)

    @property
    def plugs(self) -> int:
        """How many plugs that is, counted once per set-up."""
        return len(self.units) * len(self.setups)

    @property
    def is_move(self) -> bool:
        """Whether it goes from one outlet to another."""
        return None not in (self.from_point, self.to_point) and not self.is_rerun

    @property
    def is_rerun(self) -> bool:
        """Whether it stays at its outlet, on another lead or power board."""
        return self.from_point == self.to_point


def same_units(was: Plan, now: Plan) -> Plan:
    """Return a plan with units of one kind numbered so that those that can stay do.

    The solver does not tell identical units apart; the crew does.
    """
    old: dict[tuple[str, str], list[Placement]] = defaultdict(list)
    for p in was.placements:
        old[p.setup, p.load].append(p)
    by_kind: dict[tuple[str, str], list[Placement]] = defaultdict(list)
    for p in now.placements:
        by_kind[p.setup, p.load].append(p)
    found: list[Placement] = []
    for key, units in by_kind.items():
        found += _numbered(old[key], units)
    return now.model_copy(update={"placements": tuple(found)})


def _numbered(old: Sequence[Placement], units: Sequence[Placement]) -> list[Placement]:
    """Return units with the numbers of those that stand where they do; then of the same place."""
    taken: dict[int, Placement] = {}
    rest = list(units)
    for is_kept in (_is_same_point, _is_same_place):
        waiting, rest = rest, []
        for p in waiting:
            mine = (o.unit for o in old if is_kept(o, p) and o.unit not in taken)
            unit = next(mine, None)
            if unit is None:
                rest.append(p)
            else:
                taken[unit] = p
    # Any number is a name; what is free goes to the rest, those in use before first.
    free = dict.fromkeys((*(o.unit for o in old), *(p.unit for p in units)))
    left = [unit for unit in free if unit not in taken]
    taken |= dict(zip(left, rest, strict=False))
    return [p.model_copy(update={"unit": unit}) for unit, p in sorted(taken.items())]


def _is_same_point(old: Placement, new: Placement) -> bool:
    return (old.place, old.point) == (new.place, new.point)


def _is_same_place(old: Placement, new: Placement) -> bool:
    return old.place == new.place


def replugs(was: Plan, now: Plan, setups: Sequence[str]) -> tuple[Replug, ...]:
    """Return what changes, the same change in several set-ups once, in the order of the day."""
    before, after = _ways(was), _ways(now)
    moves: dict[tuple[str, int, str | None, _Way | None], list[str]] = defaultdict(list)
    order = {s: n for n, s in enumerate(setups)}
    for key in sorted({*before, *after}, key=lambda k: (order[k[0]], k[1], k[2])):
        old, new = before.get(key), after.get(key)
        if old != new:
            moves[key[1], key[2], None if old is None else old[0], new].append(key[0])
    together: dict[tuple[str, str | None, _Way | None, tuple[str, ...]], list[int]] = {}
    for (load, unit, there, way), each in moves.items():
        together.setdefault((load, there, way, tuple(each)), []).append(unit)
    found = []
    for (load, there, way, where), units in together.items():
        to, run = (None, (None, None, None)) if way is None else way
        found.append(Replug(load, tuple(units), there, to, where, run))
    return tuple(sorted(found, key=lambda r: (order[r.setups[0]], r.load, r.units)))


def _ways(plan: Plan) -> Mapping[_Key, _Way]:
    return {
        (p.setup, p.load, p.unit): (p.point, (p.board, p.board_lead, p.lead))
        for p in plan.placements
    }
