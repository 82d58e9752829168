"""How one plan differs from another in what a gaffer would notice."""

from collections import Counter, defaultdict
from dataclasses import dataclass

from spreadload.derived.facts import Facts
from spreadload.explain.names import circuits_of, point_name
from spreadload.plan import Plan
from spreadload.words import setup_name


@dataclass(frozen=True)
class Difference:
    """Units of one load fed from elsewhere than in the first plan.

    Attributes:
        instead_of: Points they leave.
        points: Points they are at.
    """

    setup: str
    load: str
    place: str | None
    points: tuple[str, ...]
    instead_of: tuple[str, ...]

    @property
    def text(self) -> str:
        """The difference in words."""
        at = f" at {self.place}" if self.place else ""
        now = ", ".join(self.points) or "nowhere"
        was = ", ".join(self.instead_of) or "nowhere"
        return f"{setup_name(self.setup)}: {self.load}{at} on {now} instead of {was}"


def differences(facts: Facts, first: Plan, other: Plan) -> tuple[Difference, ...]:
    """Return what is fed from other circuits in ``other`` than in ``first``."""
    was, now = _spread(facts, first), _spread(facts, other)
    found: list[Difference] = []
    for key in sorted(was.keys() | now.keys(), key=lambda k: (k[0], k[1], k[2] or "")):
        left, come = was[key] - now[key], now[key] - was[key]
        if left or come:
            found.append(Difference(*key, _points(come), _points(left)))
    return tuple(found)


_Key = tuple[str, str, str | None]
_Spread = dict[_Key, Counter[tuple[str, str]]]


def _spread(facts: Facts, plan: Plan) -> _Spread:
    """Count units per outlet name, joined where outlets share their circuits."""
    by_circuits: dict[_Key, dict[tuple[str, ...], list[str]]] = defaultdict(
        lambda: defaultdict(list)
    )
    for p in plan.placements:
        if p.point in facts.points:
            point = facts.points[p.point]
            by_circuits[p.setup, p.load, p.place][circuits_of(point)].append(point_name(point))
    found: _Spread = defaultdict(Counter)
    for key, spread in by_circuits.items():
        for circuits, names in spread.items():
            found[key]["/".join(circuits), min(names)] += len(names)
    return found


def _points(counts: Counter[tuple[str, str]]) -> tuple[str, ...]:
    return tuple(f"{point} ({circuits})" for circuits, point in sorted(counts))
