"""What to change for the rest of the day, as text: how many plugs, which, and what that leaves."""

from dataclasses import dataclass
from typing import Any

from spreadload.derived.facts import Facts
from spreadload.explain.answer import fullest, tightest_words
from spreadload.explain.chance_words import in_100
from spreadload.explain.names import point_name, row, units_name
from spreadload.plan import Verdict
from spreadload.report.style import Style

_PCT = 100


@dataclass(frozen=True)
class Replug:
    """Units of one load that go from one point to another in some set-ups; None is the van."""

    load: str
    units: tuple[int, ...]
    from_point: str | None
    to_point: str | None
    setups: tuple[str, ...]


@dataclass(frozen=True)
class Replanned:
    """What is to be changed.

    Attributes:
        setups: Set-ups still to come.
        replugs: What moves.
        risk: Chance that a breaker is over its limit in one of them, over the wirings possible.
        is_sure: Whether the plan holds on every wiring.
        is_proven: Whether fewer moves are proved impossible.
        more_for_sure: How many more plugs would make it hold on every wiring, or None.
    """

    facts: Facts
    verdict: Verdict
    setups: tuple[str, ...]
    replugs: tuple[Replug, ...]
    risk: float
    is_sure: bool
    is_proven: bool
    more_for_sure: int | None = None

    @property
    def plugs(self) -> int:
        """How many units move."""
        return sum(len(r.units) for r in self.replugs)


def replan_text(found: Replanned, style: Style) -> str:
    """Return what to change for the rest of the day."""
    lines = [style.strong(style.wrap(headline(found)))]
    lines.append(style.wrap(_leaves(found), first="  ", rest="  "))
    if found.more_for_sure is not None:
        lines.append(
            style.wrap(
                f"{found.more_for_sure} plugs more would make it hold whatever the wiring: --sure.",
                first="  ",
                rest="  ",
            )
        )
    moves = [style.wrap(_words(found, r), first="  ", rest="    ") for r in found.replugs]
    return "\n".join([*lines, *style.section("Re-plug", moves)])


def headline(found: Replanned) -> str:
    """Return the answer in one line."""
    since = f"from {found.setups[0]} on"
    if not found.plugs:
        return f"Nothing has to move {since}."
    plugs = "1 plug moves" if found.plugs == 1 else f"{found.plugs} plugs move"
    fewer = "; no plan moves fewer" if found.is_proven else "; fewer not ruled out"
    return f"{plugs} {since}{fewer}."


def _leaves(found: Replanned) -> str:
    tightest = tightest_words(found.facts, fullest(found.verdict))
    if found.is_sure:
        return f"{tightest[:1].upper()}{tightest[1:]}; holds whatever the wiring."
    return (
        f"{tightest[:1].upper()}{tightest[1:]}, on the likeliest wiring; trips on "
        f"{in_100(found.risk * _PCT)} ways this house could be wired."
    )


def _words(found: Replanned, move: Replug) -> str:
    facts = found.facts
    name = units_name(facts, move.load, move.units)
    was = "the van" if move.from_point is None else point_name(facts.points[move.from_point])
    to = "left dark" if move.to_point is None else point_name(facts.points[move.to_point])
    return f"{name} from {was} to {to} in {row(move.setups)}"


def replan_data(found: Replanned) -> dict[str, Any]:
    """Return what to change as data."""
    return {
        "say": headline(found),
        "setups": list(found.setups),
        "plugs": found.plugs,
        "fails_pct": round(found.risk * _PCT, 2),
        "sure": found.is_sure,
        "proven": found.is_proven,
        "replugs": [
            {
                "load": r.load,
                "units": list(r.units),
                "from": r.from_point,
                "to": r.to_point,
                "setups": list(r.setups),
            }
            for r in found.replugs
        ],
    }
