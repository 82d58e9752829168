"""Volts under load in a plan's text: the least of the day, and every head of each set-up."""

from collections import Counter
from collections.abc import Iterable, Iterator

from spreadload.check.doubts import Doubt
from spreadload.derived.facts import Facts
from spreadload.explain.names import numbers
from spreadload.network.readings import clashes
from spreadload.plan import UnitSeen, Verdict, VoltsSeen
from spreadload.report.style import Style
from spreadload.units import shown_amps, tenths_down, tenths_up
from spreadload.words import in_setup, setup_name


def least_volts(verdict: Verdict, *, is_open: bool = False) -> str | None:
    """Return the least volts of the day in one clause, or None where none were read.

    Args:
        verdict: What the judge says.
        is_open: Whether they hang on wiring nobody knows; then these are the best of it.
    """
    seen = min(verdict.volts, key=lambda each: each.lowest_v, default=None)
    if seen is None or seen.collapse:
        return None
    at_best = " as the wiring is at best" if is_open else ""
    return (
        f"Least volts{at_best}: {tenths_down(seen.lowest_v)} V at {seen.lowest}"
        f"{in_setup(seen.setup)}, {tenths_down(seen.board_v)} V at the board"
    )


def volts_section(
    verdict: Verdict, style: Style, doubts: tuple[Doubt, ...] = (), *, is_open: bool = False
) -> list[str]:
    """Return the volts of every set-up and what is to be said of them.

    Args:
        verdict: What the judge says.
        style: How to set text.
        doubts: What may go wrong all the same, where the answer did not tell it.
        is_open: Whether they hang on wiring nobody knows; then these are the best of it.
    """
    lines = [style.entry(_setup(seen)) for seen in verdict.volts]
    lines += [style.entry(f"{note}.") for note in verdict.notes]
    lines += [style.entry(f"{doubt.brief}.") for doubt in doubts]
    if is_open and lines:
        said = (
            "As the wiring is at best; what else it may be is counted in the chance above, and "
            "`sag` goes by the likeliest."
        )
        lines.insert(0, style.entry(said))
    return style.section("Volts under load; `sag` tells more", lines)


def over_on_volts(verdict: Verdict) -> list[str]:
    """Return what a plan lacks that passes no limit in amps, each set-up named once."""
    short: dict[str, list[str]] = {}
    for v in verdict.violations:
        if v.rule == "volts":
            got = f"{v.where} gets {tenths_down(v.value)} of {tenths_up(v.limit)} V"
            short.setdefault(v.setup, []).append(got)
    return [f"{', '.join(got)}{in_setup(setup)}" for setup, got in short.items()]


def disputed_readings(facts: Facts) -> list[str]:
    """Return which readings contradict each other: a no on volts may rest on the wrong one."""
    doubt = "The readings contradict each other, and this no rests on the poorer"
    return [f"{doubt}: {clash.words}." for clash in clashes(facts)]


def _setup(seen: VoltsSeen) -> str:
    if seen.collapse:
        return f"{setup_name(seen.setup)}: {seen.collapse}"
    heads = [unit for unit in seen.units if unit.min_v > 0 or unit.unit]
    each = ", ".join(_alike(heads))
    amps = " / ".join(shown_amps(line_a) for line_a in seen.line_a)
    return f"{setup_name(seen.setup)}: board {tenths_down(seen.board_v)} V at {amps} A; {each}"


def _alike(heads: Iterable[UnitSeen]) -> Iterator[str]:
    """Yield what units get, lowest first, units of one kind with the same volts in one entry."""
    found: dict[tuple[float, str, str], list[int]] = {}
    for unit in heads:
        shown = tenths_down(unit.volts)
        found.setdefault((float(shown), unit.load, shown), []).append(unit.unit)
    counts = Counter(load for _, load, _ in found)
    for (_, load, shown), units in sorted(found.items()):
        is_numbered = len(units) > 1 or counts[load] > 1
        yield f"{load}{numbers(units) if is_numbered else ''} {shown}"
