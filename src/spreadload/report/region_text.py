"""What is assumed in a region, as text, every figure with its source.

Imports ``electrical`` for what cords carry, and ``practice`` for the rest.
"""

from collections.abc import Iterable, Iterator
from itertools import groupby

from spreadload import practice
from spreadload.electrical.cords import CordFamily, cord_ratings
from spreadload.practice import Figure, Figures, Plug, Region, Sourced
from spreadload.report.style import Style

_FIGURES = (
    ("planning_voltage", "Volts to plan with", "V"),
    ("total_drop_pct", "Drop from supply to head", "%"),
    ("ordinary_plug_w", "Heat on the ordinary plug", "W"),
    ("socket_a", "One socket", "A"),
    ("double_plate_a", "A plate with two", "A"),
    ("sockets_per_plate", "Sockets on a plate", ""),
    ("assumed_main_a", "Supply, per phase", "A"),
    ("assumed_contract_w", "Supply contract", "W"),
    ("rcd_ma", "Residual current", "mA"),
    ("leakage_guide_pct", "Standing leakage, guide", "%"),
    ("leakage_may_trip_pct", "Standing leakage, most", "%"),
    ("single_load_fraction", "One load on a circuit", "of it"),
    ("socket_load_fraction", "One load on a socket", "of it"),
    ("comfort_pct", "Comfortable on a breaker", "%"),
    ("lead_size_mm2", "Conductor of a lead", "mm²"),
    ("lead_size_awg", "Conductor of a lead", "AWG"),
    ("lead_a", "Rating of a lead", "A"),
    ("lead_drop_pct", "Drop on a lead", "%"),
    ("board_rating_a", "Power board", "A"),
    ("board_ways", "Ways of a power board", ""),
)


def region_text(region: Region, style: Style) -> str:
    """Return what is assumed in a region where a job says nothing, each figure with its source."""
    lines = [
        style.strong(f"{region.id}: {region.name}"),
        "What a job states counts; only what it leaves out is assumed, and said to be.",
    ]
    figures = [line for row in _FIGURES for line in _figure_lines(region, *row, style)]
    for rules in (_contract_lines, _band_lines, _continuous_lines):
        figures += rules(region, style)
    blocks = {
        "Plugs, by the id to write": list(_plug_lines(region, style)),
        "Figures": figures,
        "Usual breakers [A]": list(_breaker_lines(region, style)),
        "Cable behind a breaker": list(_house_cable_lines(region, style)),
        "What a lead carries, unrolled": list(_cord_lines(region, style)),
        "Longest lead advised": list(_lead_length_lines(region, style)),
        "Words": _word_lines(region, style),
    }
    for title, block in blocks.items():
        lines += style.section(title, block)
    return "\n".join(lines) + "\n"


def _plug_lines(region: Region, style: Style) -> Iterator[str]:
    for plug in practice.plug_family(region.id):
        ordinary = "; the ordinary one" if plug.id == region.ordinary_plug else ""
        about = f"{plug.standard}, {plug.rated_a:g} A{_fuse(plug)}{ordinary}"
        yield style.wrap(f"{plug.id:<14} {about}", first="  ", rest=" " * 17)
    others = [i for i in practice.plug_ids() if i not in region.plug_family]
    yield style.entry(f"Also known: {', '.join(others)}.")


def _fuse(plug: Plug) -> str:
    return f", fuse {plug.fuse_a:g} A" if plug.fuse_a else ""


def _figure_lines(region: Region, name: str, title: str, unit: str, style: Style) -> list[str]:
    figure: Figure | None = getattr(region, name)
    if figure is None:
        return []
    return _row(title, f"{figure.value:g} {unit}".rstrip(), figure, style)


def _contract_lines(region: Region, style: Style) -> list[str]:
    rule, most = region.contract, region.contract_tolerance
    if rule is None:
        return []
    counts = _row("A contract counts", " or ".join(rule.counts), rule, style)
    return [*counts, *_row("Available of a contract", f"x {most.value:g}", most, style)]


def _continuous_lines(region: Region, style: Style) -> list[str]:
    rule = region.continuous
    if not region.has_continuous_rule:
        return []
    said = f"x {rule.factor.value:g} from {rule.min_hours.value:g} h"
    return _row("Long-running loads", said, rule.factor, style)


def _amounts(figures: Figures) -> str:
    return ", ".join(f"{value:g}" for value in figures.values)


def _breaker_lines(region: Region, style: Style) -> Iterator[str]:
    yield style.wrap(f"Made to {region.breaker_standard}.", first="  ")
    for feeds, figures in region.usual_breakers.items():
        yield from _row(f"Breakers, {feeds}", _amounts(figures), figures, style)


def _band_lines(region: Region, style: Style) -> list[str]:
    said = f"{region.band.min_v:g} to {region.band.max_v:g} V"
    return _row("Volts of the supply", said, region.band, style)


def _house_cable_lines(region: Region, style: Style) -> Iterator[str]:
    tables = {"": practice.house_cables(region.id), "each way of a ring, ": practice.ring_cables()}
    for lead_in, table in tables.items():
        sizes = (f"{row.up_to_a:g} A: {row.size}" for row in table.rows)
        yield _listed(sizes, style, f"{lead_in}up to ")
        yield _source(table, style)


def _cord_lines(region: Region, style: Style) -> Iterator[str]:
    ratings = cord_ratings(CordFamily(region.cord_table))
    for source, rows in groupby(ratings, key=lambda row: row.source):
        yield _listed((f"{row.size}: {row.rated_a:g} A" for row in rows), style)
        yield _bracketed(source, style)


def _lead_length_lines(region: Region, style: Style) -> Iterator[str]:
    table = practice.lead_lengths(region.id)
    if table is None:
        return
    for up_to_a, rows in groupby(table.rows, key=lambda row: row.up_to_a):
        lengths = (f"{row.size} {row.longest}" for row in rows)
        yield _listed(lengths, style, f"up to {up_to_a:g} A: ")
    yield _source(table, style)


def _word_lines(region: Region, style: Style) -> list[str]:
    words = [f"{w.shown} ({', '.join(w.also)})" for w in region.words.values() if w.also]
    return [style.wrap("; ".join(words), first="  ", rest="  ")]


def _row(title: str, said: str, row: Sourced, style: Style) -> list[str]:
    return [f"  {title:<25} {said}", _source(row, style)]


def _listed(words: Iterable[str], style: Style, lead_in: str = "") -> str:
    return style.entry(lead_in + ", ".join(words))


def _source(row: Sourced, style: Style) -> str:
    is_said = row.source.endswith(row.status.value)
    return _bracketed(row.source if is_said else f"{row.source}; {row.status.value}", style)


def _bracketed(source: str, style: Style) -> str:
    return style.faint(style.wrap(f"[{source}]", first="      ", rest="      "))
