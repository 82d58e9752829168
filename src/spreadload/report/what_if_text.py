"""Variants side by side, how many heads a house holds, and generators, as text and as data."""

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from spreadload.changes.generator import GeneratorSize
from spreadload.check.words import in_100
from spreadload.derived.facts import Facts
from spreadload.electrical.generator import LOST_PER_STEP, MARGIN, RATING_PF
from spreadload.explain.answer import off_words
from spreadload.explain.names import device_name
from spreadload.report.style import Style, bar, clip
from spreadload.units import tenths_up
from spreadload.words import count_of, in_setup, row, setup_name

if TYPE_CHECKING:
    from spreadload.solver.what_if.compare import Row
    from spreadload.solver.what_if.fewest_moves import Moves
    from spreadload.solver.what_if.most_light import Filling, Holds

_NAME = 26
_VA = 1000
_SHOWN_A = 0.05
_GENERATOR_SOURCES = tuple(figure.source for figure in (MARGIN, LOST_PER_STEP, RATING_PF))


def rows_text(facts: Facts, rows: "tuple[Row, ...]", style: Style) -> str:
    """Return variants as a table, each with what it costs and buys against the first."""
    head = f"{'':<{_NAME}} verdict     tightest  volts leak mA plugs leads"
    lines = [style.strong(head)]
    base = rows[0]
    for variant in rows:
        lines.append(_line(variant))
        if variant is not base:
            lines.append(style.wrap(_against(base, variant), first="    ", rest="    "))
        elif variant.tightest is not None:
            where = f"{device_name(facts, variant.tightest)}{in_setup(variant.tightest.setup)}"
            lines.append(style.wrap(f"tightest: {where}", first="    ", rest="    "))
        said = [variant.reason] if variant.reason else list(_conditions(variant))
        lines += [style.wrap(each, first="    ", rest="    ") for each in said]
    return "\n".join(lines)


def _conditions(row: "Row") -> Iterator[str]:
    """Yield what a plan that fits asks for, and how often open wiring makes it fail."""
    if row.plan is not None and (off := off_words(row.plan)):
        yield f"only if {off}"
    if row.fails_pct:
        yield f"fails in {in_100(row.fails_pct)} ways this house could be wired"


def _line(row: "Row") -> str:
    tight = f"{row.tightest.used_pct} %" if row.tightest else "-"
    volts = f"{row.lowest_v:.0f}" if row.lowest_v is not None else "-"
    leakage = f"{row.leakage_ma:.1f}" if row.leakage_ma is not None else "-"
    plugs = "-" if row.replugs is None else str(row.replugs)
    leads = "-" if row.leads is None else str(row.leads)
    return (
        f"{clip(row.name, _NAME):<{_NAME}} {row.verdict:<11} {tight:>8} {volts:>6} {leakage:>7} "
        f"{plugs:>5} {leads:>5}"
    )


def _against(base: "Row", row: "Row") -> str:
    """Return what a variant costs and buys; without a plan there is nothing to compare."""
    if row.tightest is None:
        return "no plan to compare"
    costs, buys = [], []
    if row.verdict == "fits" != base.verdict:
        buys.append("it runs")
    if base.verdict == "fits" != row.verdict:
        costs.append("it no longer runs")
    if base.tightest is not None:
        setup = base.tightest.setup
        was, now = base.fullest_pct[setup], row.fullest_pct.get(setup, 0)
        if was != now:
            (buys if now < was else costs).append(f"{was} % to {now} %{in_setup(setup)}")
    if base.fails_pct is not None and row.fails_pct is not None:
        was_in, now_in = in_100(base.fails_pct), in_100(row.fails_pct)
        if was_in != now_in:
            told = f"fails in {now_in} instead of {was_in}"
            (costs if row.fails_pct > base.fails_pct else buys).append(told)
    light_w = base.light_w - row.light_w
    if light_w:
        (costs if light_w > 0 else buys).append(f"{abs(light_w)} W of heads over the day")
    amps = base.demand_a - row.demand_a
    if abs(amps) >= _SHOWN_A:
        (buys if amps > 0 else costs).append(f"{abs(amps):.1f} A at the peak")
    return f"costs {', '.join(costs) or 'nothing'}; buys {', '.join(buys) or 'nothing'}"


def rows_data(rows: "tuple[Row, ...]") -> dict[str, Any]:
    """Return the same as data."""
    return {"variants": [_row_data(rows[0], row) for row in rows]}


def _row_data(base: "Row", row: "Row") -> dict[str, Any]:
    return {
        "name": row.name,
        "verdict": row.verdict,
        "reason": row.reason,
        "tightest": None if row.tightest is None else row.tightest.model_dump(mode="json"),
        "lowest_v": row.lowest_v,
        "leakage_ma": row.leakage_ma,
        "leakage_limit_ma": row.leakage_limit_ma,
        "replugs": row.replugs,
        "leads": row.leads,
        "light_w": row.light_w,
        "demand_a": row.demand_a,
        "fullest_pct_by_setup": dict(row.fullest_pct),
        "fails_pct": row.fails_pct,
        "only_if": "" if row.plan is None else off_words(row.plan),
        "against_base": "" if row is base else _against(base, row),
        "plan": None if row.plan is None else row.plan.model_dump(mode="json"),
    }


def moves_text(found: "tuple[Moves, ...]", style: Style) -> str:
    """Return which plugs to move so that a drawn plan holds."""
    if not found:
        return style.strong("HOLDS AS DRAWN: no plug has to move")
    lines = []
    for moves in found:
        if moves.plan is None:
            said = "no plan of this set-up holds" if moves.is_proven else "not decided in the time"
            lines.append(style.strong(f"{setup_name(moves.setup)}: {said}"))
            continue
        proof = "no fewer would do" if moves.is_proven else "perhaps fewer would do"
        moved = f"{count_of(moves.moved, 'plug')} to move ({proof})"
        lines.append(style.strong(f"{setup_name(moves.setup)}: {moved}"))
        for verb, spots in (("unplug", moves.away), ("plug in", moves.to)):
            for (load, place, point), count in spots:
                several = f"{count} " if count > 1 else ""
                stands = f" of {place}" if place else ""
                told = f"{verb} {several}{load}{stands} at {point}"
                lines.append(style.entry(told))
    return "\n".join(lines)


def moves_data(found: "tuple[Moves, ...]") -> dict[str, Any]:
    """Return the same as data."""

    def spots(each: tuple[tuple[tuple[str, str | None, str], int], ...]) -> list[dict[str, Any]]:
        return [
            {"load": load, "place": place, "point": point, "count": count}
            for (load, place, point), count in each
        ]

    return {
        "setups": [
            {
                "setup": m.setup,
                "moved": m.moved,
                "unplug": spots(m.away),
                "plug_in": spots(m.to),
                "is_proven": m.is_proven,
                "plan": None if m.plan is None else m.plan.model_dump(mode="json"),
            }
            for m in found
        ]
    }


def holds_text(filling: "Filling", found: "tuple[Holds, ...]", style: Style) -> str:
    """Return how many heads a set-up holds, with the curve."""
    lines = []
    for holds in found:
        beside = "alone" if filling.is_alone else "beside the rest of the list"
        where = f"{holds.head} at {holds.place}{in_setup(filling.setup)}, {beside}"
        if holds.most is None:
            said = "even the rest of the list does not fit" if holds.is_proven else "not decided"
            lines.append(style.strong(style.wrap(f"NONE: {where}: {said}", rest="  ")))
            continue
        where += f", with {row(holds.off)} off" if holds.off else ""
        proof = "proved" if holds.is_proven else f"not proved; at most {holds.bound}"
        asked = f"; the list asks for {holds.asked}" if holds.asked else ""
        lines.append(style.strong(style.wrap(f"{holds.most} {where} ({proof}){asked}", rest="  ")))
        rows = [f"  {number:>4}  {bar(pct)} {pct:>3} %" for number, pct in holds.curve]
        lines += style.section("Heads, and the fullest device at best", rows)
    return "\n".join(lines)


def holds_data(filling: "Filling", found: "tuple[Holds, ...]") -> dict[str, Any]:
    """Return the same as data."""
    return {
        "setup": filling.setup,
        "alone": filling.is_alone,
        "enough_leads": filling.has_leads,
        "heads": [
            asdict(holds) | {"curve": [{"heads": n, "tightest_pct": p} for n, p in holds.curve]}
            for holds in found
        ],
    }


def generator_text(size: GeneratorSize, style: Style) -> str:
    """Return how large a generator has to be, and why."""
    need = size.need
    first = f"A set of {size.plate_va / _VA:g} kVA"
    lines = [style.strong(first)]
    here = f"a set gives {round(100 * need.derating)} % of its plate here"
    lines += [
        f"  running   {_thousands(need.running_w)} kW, {_thousands(need.running_va)} kVA apparent",
        f"  starting  {_thousands(need.peak_w)} kW at the worst moment, one start at a time",
        f"  plate     {_thousands(need.plate_va)} kVA, a fifth on top; {here}",
    ]
    if len(size.phases) > 1:
        for number, (names, on_va) in enumerate(zip(size.phases, size.phase_va, strict=True), 1):
            told = f"phase {number}  {_thousands(on_va)} kVA: {_counted(names) or 'nothing'}"
            lines.append(style.wrap(told, first="  ", rest="      "))
        lines.append(f"  the fullest phase is {size.imbalance_pct:g} % above the mean")
    told = (
        "Outdoors, out of earshot and downwind; earthing and connection by whoever is licensed "
        "for it here. Never into the house's own wiring."
    )
    lines.append(style.wrap(told, rest="  "))
    lines.append(style.wrap(f"Sources: {'; '.join(_GENERATOR_SOURCES)}.", rest="  "))
    return "\n".join(lines)


def _thousands(asked: float) -> str:
    """Return watts or volt-amps that are asked for in thousands, rounded up."""
    return f"{tenths_up(asked / _VA):>5}"


def _counted(names: Iterable[str]) -> str:
    """Return ``stufe, 9 x rohr``."""
    counts = Counter(names)
    return ", ".join(f"{count} x {name}" if count > 1 else name for name, count in counts.items())


def generator_data(size: GeneratorSize) -> dict[str, Any]:
    """Return the same as data."""
    return asdict(size) | {"sources": list(_GENERATOR_SOURCES)}
