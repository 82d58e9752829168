"""What a job file may say, and what is assumed in a region, as text.

Imports ``explain`` and ``practice``.
"""

from collections.abc import Iterable, Iterator

from spreadload import practice
from spreadload.explain.job_keys import Key, Section
from spreadload.practice import Figure, Figures, Plug, Region
from spreadload.report.style import Style

_FORMS = {
    "one group": "one group of keys",
    "by id": "one group of keys for each id",
    "list": "a list, one group of keys for each entry",
    "list, of plain text too": "a list, a line of text or one group of keys for each entry",
}
_LEGEND = "`!` has to be stated, `>` is a section of its own: `spreadload keys NAME` shows it."
_FIGURES = (
    ("planning_voltage", "Volts to plan with", "V"),
    ("fixed_drop_pct", "Drop in fixed wiring", "%"),
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
    ("comfort_pct", "Comfortable on a breaker", "%"),
    ("lead_size_mm2", "Conductor of a lead", "mm²"),
    ("lead_size_awg", "Conductor of a lead", "AWG"),
    ("lead_a", "Rating of a lead", "A"),
    ("lead_drop_pct", "Drop on a lead", "%"),
    ("board_rating_a", "Power board", "A"),
    ("board_ways", "Ways of a power board", ""),
)


def section_text(section: Section, style: Style) -> str:
    """Return one section with all its keys."""
    title = section.path or "job.yaml"
    about = f": {section.meaning}" if section.meaning else ""
    lines = [style.strong(style.wrap(f"{title}{about}", rest="  "))]
    lines.append(style.wrap(f"Written as {_FORMS[section.form]}.", first="  ", rest="  "))
    lines.append("")
    for key in section.keys:
        lines += _key_lines(key, style)
    lines += ["", style.faint(style.wrap(_LEGEND))]
    return "\n".join(lines) + "\n"


def found_text(found: Iterable[tuple[Section, Key]], style: Style) -> str:
    """Return one key in every section that has it."""
    lines = []
    for section, key in found:
        lines.append(style.strong(section.path or "job.yaml"))
        lines += _key_lines(key, style)
    return "\n".join(lines) + "\n"


def region_text(region: Region, style: Style) -> str:
    """Return what is assumed in a region where a job says nothing, each figure with its source."""
    lines = [
        style.strong(f"{region.id}: {region.name}"),
        "What a job states counts; only what it leaves out is assumed, and said to be.",
    ]
    lines += style.section("Plugs, by the id to write", list(_plug_lines(region, style)))
    rows = [line for row in _FIGURES for line in _figure_lines(region, *row, style)]
    rows += _continuous_lines(region, style)
    lines += style.section("Figures", rows)
    breakers = [
        line
        for feeds, figures in region.usual_breakers.items()
        for line in _row(f"Breakers, {feeds}", _amounts(figures), figures, style)
    ]
    lines += style.section("Usual breakers [A]", breakers)
    words = [f"{w.shown} ({', '.join(w.also)})" for w in region.words.values() if w.also]
    lines += style.section("Words", [style.wrap("; ".join(words), first="  ", rest="  ")])
    return "\n".join(lines) + "\n"


def _key_lines(key: Key, style: Style) -> list[str]:
    mark = "!" if key.is_required else ">" if key.section else " "
    default = f"; {key.default} if left out" if key.default else ""
    return [
        style.wrap(f"{mark} {style.strong(key.name)}: {key.kind}{default}", rest="      "),
        style.wrap(key.meaning, first="      ", rest="      "),
    ]


def _plug_lines(region: Region, style: Style) -> Iterator[str]:
    for plug in practice.plug_family(region.id):
        ordinary = "; the ordinary one" if plug.id == region.ordinary_plug else ""
        about = f"{plug.standard}, {plug.rated_a:g} A{_fuse(plug)}{ordinary}"
        yield style.wrap(f"{plug.id:<14} {about}", first="  ", rest=" " * 17)
    others = [i for i in practice.plug_ids() if i not in region.plug_family]
    yield style.wrap(f"Also known: {', '.join(others)}.", first="  ", rest="    ")


def _fuse(plug: Plug) -> str:
    return f", fuse {plug.fuse_a:g} A" if plug.fuse_a else ""


def _figure_lines(region: Region, name: str, title: str, unit: str, style: Style) -> list[str]:
    figure: Figure | None = getattr(region, name)
    if figure is None:
        return []
    return _row(title, f"{figure.value:g} {unit}".rstrip(), figure, style)


def _continuous_lines(region: Region, style: Style) -> list[str]:
    rule = region.continuous
    if not region.has_continuous_rule:
        return []
    said = f"x {rule.factor.value:g} from {rule.min_hours.value:g} h"
    return _row("Long-running loads", said, rule.factor, style)


def _amounts(figures: Figures) -> str:
    return ", ".join(f"{value:g}" for value in figures.values)


def _row(title: str, said: str, figure: Figure | Figures, style: Style) -> list[str]:
    source = f"[{figure.source}; {figure.status.value}]"
    if figure.source.endswith(figure.status.value):
        source = f"[{figure.source}]"
    return [f"  {title:<25} {said}", style.faint(style.wrap(source, first="      ", rest="      "))]
