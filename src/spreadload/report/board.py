"""One set-up as a switchboard: what is on each circuit, how full it is, how much is left."""

from collections.abc import Iterator

from spreadload.derived.contract import Counted
from spreadload.derived.facts import Facts
from spreadload.explain.judged import JudgedPlan, fullest_pct
from spreadload.explain.names import (
    circuit_name,
    device_name,
    one_of,
    point_name,
    units_name,
)
from spreadload.explain.plug_lines import PlugLine, lines_by_circuits
from spreadload.job.day import Setup
from spreadload.plan import Usage
from spreadload.report.style import WIDTH, Style, bar, clip, pad, shown_width
from spreadload.units import (
    MILLI,
    percent_used,
    shown_amps,
    shown_capacity_amps,
    tenths_down,
    tenths_up,
)
from spreadload.words import first_up, row, setup_name

NAME_COLUMNS = 28
PLACE_COLUMNS = 18
_SETUP_NAME_COLUMNS = 26
_LEAST_NAME = 20
# Indents and gaps around the names of a line, and the amps.
_AROUND_NAMES = 4 + 2 + 2 + 2 + 6
# Below this a limit takes two lines: its name, and its figures under it.
_ONE_LINE = 72


def overview(judged: JudgedPlan, style: Style) -> list[str]:
    """Return one line per set-up with its fullest device, or nothing for a single set-up."""
    setups = judged.facts.job.setups
    if len(setups) == 1:
        return []
    ids = max(shown_width(setup_name(setup.id)) for setup in setups)
    # Names share what the id, the per cent and the bar leave.
    room = style.width - ids - 26
    what_columns = min(_SETUP_NAME_COLUMNS, room - _LEAST_NAME - 2)
    what_columns = what_columns if what_columns >= _LEAST_NAME // 2 else 0
    name_columns = room - what_columns - 2 * bool(what_columns)
    lines = [""]
    for setup in setups:
        top = judged.fullest(setup.id)
        if top is None:
            continue
        is_open = not top.used_pct and bool(judged.by_setup[setup.id])
        said = "depends on the wiring" if is_open else "nothing is on"
        said = device_name(judged.facts, top) if top.used_pct else said
        name = pad(clip(said, name_columns), name_columns)
        what = f"{pad(clip(setup.name, what_columns), what_columns)}  " if what_columns else ""
        start = f"  {pad(setup_name(setup.id), ids)}  {what}{name}"
        used = "" if is_open else f" {top.used_pct:>4} %  {bar(top.used_pct)}"
        lines.append(f"{start}{used}".rstrip())
    return lines


def setup_board(judged: JudgedPlan, setup: Setup, style: Style) -> list[str]:
    """Return the switchboard of one set-up."""
    lines = ["", style.strong(_title(setup, style))]
    if not judged.by_setup[setup.id] and not judged.wired(setup.id):
        return [*lines, "  Nothing is on."]
    lines.append(style.faint(_heading(judged, style)))
    by_circuits = lines_by_circuits(judged, setup.id)
    for circuit_id in judged.facts.circuits:
        under = by_circuits.pop((circuit_id,), [])
        lines += _circuit(judged, setup.id, circuit_id, under, style)
    for circuits, under in by_circuits.items():
        note = f"{one_of(circuits)}: not known which, {_counted(judged.facts)}"
        lines.append(style.entry(note))
        lines += _item_lines(judged, under, style)
    lines += [_device(judged.facts, usage, style) for usage in _upstream(judged, setup.id)]
    lines += _untraced(judged, setup.id, style)
    lines += _neutral(judged, setup.id, style)
    lines += _contract(judged, setup.id, style)
    lines += _leakage(judged, setup.id, style)
    lines += _free(judged, setup.id, style)
    return lines


def _counted(facts: Facts) -> str:
    return "counted on every wiring still possible" if facts.is_left_to_maps else "counted on each"


def _title(setup: Setup, style: Style) -> str:
    window = f"{setup.from_} to {setup.to}" if setup.from_ and setup.to else ""
    name = setup_name(setup.id, starts=True)
    head = clip(f"{name}  {setup.name}".rstrip(), style.width - len(window) - 2)
    return f"{pad(head, style.width - len(window))}{window}".rstrip()


def _heading(judged: JudgedPlan, style: Style) -> str:
    words = PlugLine("outlet", "what", "stands at", "amps", "run")
    return _set(words, _columns(judged, style), style)[0]


def _columns(judged: JudgedPlan, style: Style) -> tuple[int, int, int]:
    """Return widths of the outlet, item and place columns, the same for every set-up."""
    groups = judged.groups.items()
    facts = judged.facts
    outlets = [shown_width(point_name(facts.points[group[3]])) for group, _ in groups]
    items = [shown_width(units_name(facts, g[1], [p.unit for p in units])) for g, units in groups]
    items += [shown_width(d.load) for setup in facts.demands for d in judged.wired(setup)]
    places = [shown_width(group[2] or "") for group, _ in groups]
    # The amps stay on the line whatever the names are.
    room = style.width - _AROUND_NAMES
    outlet = min(max([6, *outlets]), room // 3)
    place = min(max([9, *places]), PLACE_COLUMNS, room // 3)
    return outlet, min(max([4, *items]), room - outlet - place), place


def _circuit(
    judged: JudgedPlan, setup: str, circuit_id: str, under: list[PlugLine], style: Style
) -> list[str]:
    poles = [u for u in judged.usages[setup] if u.kind == "circuit" and u.id == circuit_id]
    loaded = [usage for usage in poles if usage.counted_a > 0]
    if not loaded and not under:
        return []
    return [
        *(_device(judged.facts, usage, style) for usage in loaded),
        *_item_lines(judged, under, style),
    ]


def _item_lines(judged: JudgedPlan, under: list[PlugLine], style: Style) -> list[str]:
    columns = _columns(judged, style)
    return [text for line in under for text in _set(line, columns, style)]


def _set(line: PlugLine, columns: tuple[int, int, int], style: Style) -> list[str]:
    """Return a line; its run goes under it where there is no room beside it."""
    names = zip((line.outlet, line.item, line.place), columns, strict=True)
    start = "    " + "  ".join(pad(clip(name, width), width) for name, width in names)
    start = f"{start}  {line.amps:>6}"
    whole = f"{start}  {line.run}".rstrip()
    if shown_width(whole) <= style.width:
        return [whole]
    return [start, f"{line.run:>{style.width}}"]


def _device(facts: Facts, usage: Usage, style: Style) -> str:
    is_counted = usage.kind in ("circuit", "feed")
    used = usage.counted_a if is_counted else usage.current_a
    name = device_name(facts, usage)
    if usage.kind not in ("circuit", "rcd amps"):  # an id stays as the job writes it
        name = first_up(name)
    return meter(name, (used, usage.limit_a, "A"), usage.used_pct, style)


def meter(name: str, amounts: tuple[float, float, str], used_pct: int, style: Style) -> str:
    """Return one limit: name, used of limit, what is left, per cent and a bar.

    On one line, or on a narrow terminal on two.
    """
    used, limit, unit = amounts
    up, down = (str, str) if unit == "W" else (tenths_up, tenths_down)
    left = down(max(limit - used, 0))
    over = f"{up(used - limit)} {unit} over" if used > limit else f"{left} {unit} left"
    said = f"{up(used)} of {down(limit)} {unit}"
    figures = f"{said:>17}{over:>13}{used_pct:>6} %  {bar(used_pct)}"
    if style.width < _ONE_LINE:
        return f"  {clip(name, style.width - 2)}\n{figures:>{style.width - 1}}"
    columns = NAME_COLUMNS + style.width - WIDTH
    return f"  {pad(clip(name, columns), columns)}{figures}"


def _upstream(judged: JudgedPlan, setup: str) -> Iterator[Usage]:
    for usage in judged.usages[setup]:
        # An RCD over a single circuit of the same rating says nothing the breaker has not said.
        if usage.kind == "rcd amps" and usage.used_pct > _circuits_pct(judged, setup, usage.id):
            yield usage
        if usage.kind in ("feed", "phase") and usage.current_a > 0:
            yield usage


def _untraced(judged: JudgedPlan, setup: str, style: Style) -> list[str]:
    """Return what may come on top of what is sure on each phase or leg, where wiring is open."""
    facts = judged.facts
    if not facts.is_left_to_maps or len(facts.supply.phases) == 1:
        return []
    more = {phase: _may_add_ma(judged, setup, phase) for phase in facts.supply.phases}
    each = [
        f"{shown_amps(added / MILLI)} A to {facts.supply.line_name(phase)}"
        for phase, added in more.items()
        if added
    ]
    said = f"What is not traced may add up to {row(each, 'or')}."
    return [style.entry(said)] if each else []


def _may_add_ma(judged: JudgedPlan, setup: str, phase: str) -> int:
    facts = judged.facts
    added = 0
    for p in judged.by_setup[setup]:
        exposure = facts.points[p.point].exposure
        may_be = {line for c in exposure.maybe for line in facts.circuits[c].phases}
        if phase in may_be and phase not in exposure.phases:
            added += judged.unit_ma(p)
    return added


def _neutral(judged: JudgedPlan, setup: str, style: Style) -> list[str]:
    """Return what the neutral may carry, where harmonics put more on it than on any phase."""
    return [
        meter("Neutral, harmonics", (u.current_a, u.limit_a, "A"), u.used_pct, style)
        for u in judged.verdict.neutral
        if u.setup == setup
    ]


def _contract(judged: JudgedPlan, setup: str, style: Style) -> list[str]:
    """Return the supply contract in what it counts, where there is one."""
    usage, supply = judged.contract.get(setup), judged.facts.supply
    if usage is None or supply.contract is None:
        return []
    if supply.contract.counted is Counted.AMPS:
        amounts = (usage.current_a, usage.limit_a, "A")
        return [meter("Contract, both legs", amounts, usage.used_pct, style)]
    taken_w = round(usage.current_a * supply.planning_v)
    watts = (taken_w, supply.contract.cap, "W")
    return [meter("The supply contract", watts, usage.used_pct, style)]


def _circuits_pct(judged: JudgedPlan, setup: str, rcd: str) -> int:
    """Return the per cent used on the fullest circuit behind an RCD."""
    behind = {circuit.id for circuit in judged.facts.circuits.values() if rcd in circuit.rcds}
    return fullest_pct(u for u in judged.usages[setup] if u.kind == "circuit" and u.id in behind)


def _leakage(judged: JudgedPlan, setup: str, style: Style) -> list[str]:
    """Return RCDs whose standing leakage passes the guide figure."""
    lines = []
    for rcd in judged.facts.rcds.values():
        used_ua = judged.leakage_ua(setup, rcd.id)
        if used_ua > rcd.guide_ua:
            amounts = (used_ua / MILLI, rcd.may_trip_ua / MILLI, "mA")
            used_pct = percent_used(used_ua, rcd.may_trip_ua)
            lines.append(meter(f"{rcd.id} standing leakage", amounts, used_pct, style))
    return lines


def _free(judged: JudgedPlan, setup: str, style: Style) -> list[str]:
    if judged.facts.is_left_to_maps:
        return []  # what looks free may carry loads whose circuit is not known
    loaded = {u.id for u in judged.usages[setup] if u.kind == "circuit" and u.counted_a > 0}
    free = [
        f"{circuit_name(judged.facts, c.id)} {shown_capacity_amps(c.cap_ma / MILLI)} A"
        for c in judged.facts.circuits.values()
        if c.is_usable and c.id not in loaded
    ]
    return [style.entry("Free: " + ", ".join(free))] if free else []
