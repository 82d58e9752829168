"""The switchboard as read, as text and as data."""

from typing import Any

from spreadload.derived.contract import Counted
from spreadload.report.style import Style
from spreadload.units import shown_capacity_amps
from spreadload.wiring.usable import CONTRACT, Usable, Way
from spreadload.words import setup_names

_SURE, _VERY, _LIKELY = 1.0, 0.9, 0.7
_LABEL_COLUMNS = 24
_PAIR = 2


def usable_text(found: Usable, style: Style) -> str:
    """Return what each way feeds and what the house can give in all."""
    total = shown_capacity_amps(found.usable_a)
    lines_word = f"both {found.line_word}s" if len(found.phases) == _PAIR else "all phases"
    is_by_line = len(found.phases) > 1 and found.binds != CONTRACT
    every = f" if spread evenly over {lines_word}" if is_by_line else ""
    when = ""
    if found.else_a is not None:
        left = shown_capacity_amps(found.else_a)
        when = f" in {setup_names(found.least_in)}, {left} A or more in the rest of the day"
    said = f"USABLE: {total} A{when}{every}; bound by the {found.binds}"
    lines = [style.strong(style.wrap(said))]
    lines += [style.entry(f"{phase}.") for phase in found.phases]
    source = f"Main: {found.main_source}"
    lines.append(style.entry(f"{source}."))
    if found.contract is not None:
        is_watts = found.contract.counted is Counted.WATTS
        together = " for everything together" if is_watts else ""
        contract = f"Contract: {found.contract.cap_shown}{together}"
        lines.append(style.entry(f"{contract}."))
    width = max((len(way.circuit) for way in found.ways), default=0)
    lines.append("")
    for way in found.ways:
        lines += _way_lines(way, width, style)
    return "\n".join(lines)


def sure_words(certainty: float) -> str:
    """Return a certainty in a word or two."""
    if certainty >= _SURE:
        return "sure"
    if certainty >= _VERY:
        return "very likely"
    return "likely" if certainty >= _LIKELY else "may be"


def _way_lines(way: Way, width: int, style: Style) -> list[str]:
    label = f"“{way.label}”" if way.label else "no label"
    use = way.reading.feeds.value + ("" if way.is_usable else ", not for the crew")
    lines = [
        (
            f"  {way.circuit:<{width}}  {label:<{_LABEL_COLUMNS}} "
            f"{shown_capacity_amps(way.rating_a):>6} A  {use}: {sure_words(way.reading.certainty)}"
        )
    ]
    lines.append(style.wrap(way.reading.reason, first="      ", rest="      "))
    if way.planned_a < way.rating_a:
        less = f"planned with {shown_capacity_amps(way.planned_a)} A: {way.rating_source}"
        lines.append(style.wrap(less, first="      ", rest="      "))
    if way.hint_a is not None:
        hint = (
            f"rating not read; the toggle's colour hints at {way.hint_a:g} A (common practice), "
            f"planned with {shown_capacity_amps(way.rating_a)} A until somebody reads it"
        )
        lines.append(style.wrap(hint, first="      ", rest="      "))
    return lines


def usable_data(found: Usable) -> dict[str, Any]:
    """Return the same as data."""
    return {
        "command": "board",
        "usable_a": round(found.usable_a, 3),
        "least_in": list(found.least_in),
        "usable_else_a": None if found.else_a is None else round(found.else_a, 3),
        "binds": found.binds,
        "main_source": found.main_source,
        "main_is_assumed": found.main_is_assumed,
        "contract_w": found.contract_w,
        "phases": [
            {
                "phase": p.phase,
                "circuits_a": p.circuits_a,
                "unread_phase_a": p.unread_a,
                "main_a": p.main_a,
                "house_a": p.house_a,
                "house_in": list(p.house_in),
                "usable_a": round(p.usable_a, 3),
                "binds": p.binds,
            }
            for p in found.phases
        ],
        "ways": [
            {
                "circuit": w.circuit,
                "label": w.label,
                "rating_a": w.rating_a,
                "planned_a": w.planned_a,
                "rating_source": w.rating_source,
                "hint_a": w.hint_a,
                "feeds": w.reading.feeds.value,
                "certainty": round(w.reading.certainty, 3),
                "reason": w.reading.reason,
                "is_usable": w.is_usable,
            }
            for w in found.ways
        ],
    }
