"""A whole session of tracing as text: the ways there are, then round by round."""

from collections import defaultdict
from typing import Any

from spreadload.report.style import Style
from spreadload.wiring.session import Session, Way
from spreadload.words import row

_TWO = 2


def session_line(found: Session, style: Style) -> tuple[str, list[str]]:
    """Return the session in one sentence under its title."""
    best, plain = found.best, found.plain
    said = (
        f"{len(found.lamps)} lamps, {best.rounds:.1f} rounds, {best.minutes:.0f} min "
        f"({plain.rounds:.1f} rounds and {plain.minutes:.0f} min one by one): --session."
    )
    return "Trace all of it in one go", [style.entry(said)]


def session_text(found: Session, style: Style) -> list[str]:
    """Return every way to trace all lamps in one go, and the rounds of the best."""
    people = "two people" if found.people == _TWO else "one person"
    title = f"Trace all of it in one go, {people}, {len(found.lamps)} lamps"
    bound = (
        f"No way needs fewer than {found.bound_rounds:.1f} rounds on average: {found.bits:.1f} "
        "bits or more are not known, and a lamp shows one bit a round."
    )
    said = [
        bound,
        *_by_the_last(found),
        *_by_number(found),
        *_left_over(found),
    ]
    ways = [found.adaptive, found.plain, *([found.binary] if found.binary else [])]
    lines = [f"  {_way(way)}" for way in ways]
    return style.section(title, lines + style.entries(said))


def _way(way: Way) -> str:
    return (
        f"{way.rounds:>4.1f} rounds, at most {way.most_rounds}, {way.minutes:>3.0f} min  {way.name}"
    )


def _by_the_last(found: Session) -> list[str]:
    if not found.adaptive.first:
        return []
    off = row(found.adaptive.first[0])
    return [f"First round: {off} off; note what it showed, then ask again for the next."]


def _by_number(found: Session) -> list[str]:
    if found.binary is None:
        return []
    rounds = "; ".join(f"{n} {row(off)}" for n, off in enumerate(found.binary.first, 1))
    circuits: dict[int, list[str]] = defaultdict(list)
    for circuit, code in sorted(found.codes.items(), key=lambda pair: pair[1]):
        circuits[code].append(circuit)
    dark = "; ".join(
        f"in {row(_rounds_of(code))}: {row(named, 'or')}" for code, named in circuits.items()
    )
    check = (
        f"Check round, {found.check_min:.0f} min more: {row(found.check)} off; a lamp that then "
        "does not fit was misread."
    )
    return [f"By number, off in round {rounds}.", f"Dark only {dark}.", check]


def _rounds_of(code: int) -> list[str]:
    return [str(n + 1) for n in range(code.bit_length()) if code >> n & 1]


def _left_over(found: Session) -> list[str]:
    said = ["A lamp that never goes dark is on none of these: look for another board."]
    if found.unresolved:
        lamps = row(found.unresolved)
        said.append(f"Cannot be told without a breaker nobody may switch: {lamps}.")
    return said


def session_data(found: Session) -> dict[str, Any]:
    """Return a session as data."""
    return {
        "lamps": list(found.lamps),
        "people": found.people,
        "adaptive": _way_data(found.adaptive),
        "one_by_one": _way_data(found.plain),
        "by_number": None if found.binary is None else _way_data(found.binary),
        "codes": dict(found.codes),
        "check": list(found.check),
        "check_minutes": round(found.check_min, 1),
        "bound_rounds": round(found.bound_rounds, 3),
        "bits": round(found.bits, 3),
        "unresolved": list(found.unresolved),
    }


def _way_data(one: Way) -> dict[str, Any]:
    return {
        "rounds": round(one.rounds, 3),
        "most_rounds": one.most_rounds,
        "minutes": round(one.minutes, 1),
        "off": [list(off) for off in one.first],
    }
