"""What the volts do, as plain text for a terminal: the answer first, then each set-up."""

from collections.abc import Mapping

from spreadload.check.doubts import ComesOn
from spreadload.electrical.neutral import GENERATOR_BALANCE_PCT, phase_balance
from spreadload.electrical.source import Strength
from spreadload.network.records import HouseVolts, UnitVolts
from spreadload.on_the_day.volts.protection import Loaded
from spreadload.on_the_day.volts.sag import Sag, SetupSag
from spreadload.report.style import Style, clip
from spreadload.report.untraced import untraced_lines
from spreadload.units import shown_amps, shown_capacity_amps, tenths_down, tenths_up
from spreadload.words import first_up, in_setup, row, setup_name

_NAME_WIDTH = 40
# Less than this between the lines is nothing to speak of; as the goal `balance` counts.
_LEAST_SPREAD_A = 5.0
_INDENT = "  "
_HANG = "    "
_OTHER_COUNT = (
    "Its own volts are those of the wiring at its best for each head, so it may call fewer heads "
    "short than are here."
)


def sag_text(
    told: Sag,
    style: Style,
    *,
    setup: str | None = None,
    taken: Mapping[str, str] | None = None,
) -> str:
    """Return what the volts do.

    Args:
        told: What was worked out.
        style: How to set text.
        setup: Show this set-up only.
        taken: The likeliest circuit of each outlet of which nobody knows it.
    """
    lines = [style.strong(style.wrap(answer_words(told, taken), rest=_INDENT))]
    lines += untraced_lines(taken or {}, style, _OTHER_COUNT)
    lines += style.section("Supply", _wrapped(style, _supply(told)))
    for each in told.setups:
        if setup in (None, each.setup):
            title = f"{setup_name(each.setup, starts=True)}  {each.name}".rstrip()
            lines += style.section(title, _setup(told, each, style))
    wires = [f"{name}: {words}" for name, words in sorted(told.wires.items())]
    lines += style.section("Wiring counted with", _wrapped(style, wires))
    more = [*told.joints, *told.shared_neutrals, *told.lead_lengths]
    lines += style.section("Look at", _wrapped(style, [_sentence(text) for text in more]))
    return "\n".join(lines)


def answer_words(told: Sag, taken: Mapping[str, str] | None = None) -> str:
    """Return the answer in one or two sentences; ``taken`` is what ``sag_text`` takes."""
    return f"{_verdict_words(told, is_likeliest=bool(taken))} {_budget_words(told)}"


def _budget_words(told: Sag) -> str:
    """Return what the main limit is worth once the volts are asked too."""
    budget = told.budget
    limit = f"the {shown_capacity_amps(budget.limit_a)} A of the main limit"
    if budget.is_tighter:
        real = f"{shown_capacity_amps(budget.current_a)} A{_per_line(told)}"
        return (
            f"The real budget is {real}, not {limit}: beyond it the board falls below "
            f"{budget.min_v:g} V."
        )
    if any(each.likely.short for each in told.setups):
        return (
            f"At the board the volts would allow all of {limit}: it stays above "
            f"{budget.min_v:g} V. What is short is lost in the wiring and the leads behind it."
        )
    return f"The volts allow all of {limit}: the board stays above {budget.min_v:g} V."


def _per_line(told: Sag) -> str:
    if len(told.facts.supply.phases) == 1:
        return ""
    alone = shown_capacity_amps(told.budget.alone_a)
    word = told.facts.supply.line_word
    return f" per {word} with the {word}s evenly loaded, {alone} A on one {word} alone"


def _verdict_words(told: Sag, *, is_likeliest: bool) -> str:
    supposed = _supposed(told, is_likeliest=is_likeliest)
    bad = [each for each in told.setups if each.likely.short or each.likely.collapse]
    if not bad:
        lows = [(u.volts, e.setup, u) for e in told.setups if (u := e.likely.lowest) is not None]
        least = ""
        if lows:
            volts, setup, low = min(lows, key=lambda each: each[0])
            when = in_setup(setup) if len(told.setups) > 1 else ""
            least = f"; the least is {tenths_down(volts)} V at {_called(low)}{when}"
        start = f"{supposed}, yes" if supposed else "Yes"
        return f"{start}: every {_lit(told)} gets the volts it works at{least}."
    start = f"{supposed}, no" if supposed else "No"
    worst = bad[0].likely
    if worst.collapse:
        return f"{start}: in {setup_name(worst.setup)} {worst.collapse}."
    low_unit = worst.short[0]
    return (
        f"{start}: in {setup_name(worst.setup)} at {shown_amps(max(worst.line_a))} A the board "
        f"falls to {tenths_down(worst.board_v)} V and {_count(len(worst.short))} too little; "
        f"{_called(low_unit)} gets {tenths_down(low_unit.volts)} V "
        f"and works from {tenths_up(low_unit.min_v)} V."
    )


def _supposed(told: Sag, *, is_likeliest: bool) -> str:
    """Return what the answer takes for granted, as the start of a sentence."""
    is_read = told.house.service.strength is Strength.MEASURED
    if is_read:
        return "If the wiring is as is likeliest" if is_likeliest else ""
    likeliest = " and the wiring as is likeliest" if is_likeliest else ""
    return f"If the supply is as assumed{likeliest}"


def _lit(told: Sag) -> str:
    """Return which heads are spoken of: a plan that leaves some dark proves nothing for those."""
    dark = len(told.left_out)
    return f"head that is lit ({dark} left dark by this plan)" if dark else "head"


def _count(heads: int) -> str:
    return "1 head gets" if heads == 1 else f"{heads} heads get"


def _supply(told: Sag) -> list[str]:
    service, budget = told.house.service, told.budget
    most, least = (shown_capacity_amps(amps) for amps in (budget.current_a, budget.low_a))
    gives = f"it gives {most} A, at the high end of that impedance {least} A"
    if budget.low_a >= budget.limit_a:
        gives = f"it could give {least} A and more, so amps are the limit, not volts"
    gives = f"At {budget.min_v:g} V at the board ({budget.why}) {gives}."
    lines = [f"{tenths_down(service.idle_v)} V with nothing on; impedance {service.words}.", gives]
    if service.strength is Strength.ASSUMED:
        lines.append(
            "Nothing is refused on an assumed supply. Read the volts at the board with nothing on "
            "and with a kettle on, and the current it takes."
        )
    if service.strength is Strength.WEAK:
        lines.append("The reading is weak, so nothing is refused on it; read with a larger load.")
    return lines + [_sentence(note) for note in service.notes]


def _setup(told: Sag, each: SetupSag, style: Style) -> list[str]:
    load = each.likely
    if load.collapse:
        return _wrapped(style, [_sentence(load.collapse), *_goes_out(each), *_relief(each)])
    board = (
        f"board {tenths_down(load.board_v)} V ({tenths_down(each.at_worst.board_v)} V at the high "
        f"end of the impedance), {_lines(load)} A, {load.losses_w:.0f} W lost on the way"
    )
    out = _wrapped(style, [board])
    out += _volts_table(told, load)
    out += _wrapped(style, _findings(told, each))
    return out


def _lines(load: HouseVolts) -> str:
    return " / ".join(shown_amps(amps) for amps in load.line_a)


def _volts_table(told: Sag, load: HouseVolts) -> list[str]:
    rows = [(f"sub-board {board}", volts, "") for board, volts in sorted(load.sub_boards_v.items())]
    at: dict[str, list[UnitVolts]] = {}
    for unit in load.units:
        outlet = told.facts.points[unit.point].outlet if unit.point else f"wired to {unit.circuit}"
        at.setdefault(outlet, []).append(unit)
    lines = [_row(*each) for each in rows]
    for outlet in dict.fromkeys((*load.outlets_v, *at)):
        if outlet in load.outlets_v:
            lines.append(_row(outlet, load.outlets_v[outlet], ""))
        else:
            lines.append(_INDENT + outlet)
        lines += [_unit_row(unit) for unit in at.get(outlet, ())]
    return lines


def _unit_row(unit: UnitVolts) -> str:
    notes = []
    if unit.is_short:
        what = "drops out" if unit.is_head else "may stop"
        notes.append(f"! {what} below {tenths_up(unit.min_v)} V")
    if unit.is_head and unit.min_v == 0 and round(unit.light_pct) < 100:  # noqa: PLR2004 - all of it
        notes.append(f"{unit.light_pct:.0f} % of its light")
    several = f" {unit.unit}" if unit.unit else ""
    stands = f", {unit.place}" if unit.place else ""
    return _row(f"{_INDENT}{unit.load}{several}{stands}", unit.volts, "; ".join(notes))


def _row(name: str, volts: float, note: str) -> str:
    column = f"{clip(name, _NAME_WIDTH):<{_NAME_WIDTH}}"
    return f"{_INDENT}{column} {tenths_down(volts):>6} V  {note}".rstrip()


def _findings(told: Sag, each: SetupSag) -> list[str]:
    found = []
    high = [unit.name for unit in each.at_worst.short if unit.name not in _names(each.likely.short)]
    if high and not each.likely.short:
        names = row(dict.fromkeys(high))
        found.append(f"Close: at the high end of the impedance {names} would get too little.")
    found += [_comes_on(event, each) for event in each.comes_on]
    found += _goes_out(each)
    found += _leads(each)
    found += _relief(each)
    for loaded in each.protection:
        grouped = _in_warmth(told, loaded)
        carries = f"{loaded.name} carries {shown_amps(loaded.current_a)} A"
        if not loaded.is_sure:
            carries = (
                f"{loaded.name} might carry {shown_amps(loaded.current_a)} A, with everything on "
                "it that may be"
            )
        found.append(f"{carries}: {loaded.alone.words}{grouped}.")
    found += _balance(told, each)
    if each.neutral_a:
        found.append(f"The neutral may carry {shown_amps(each.neutral_a)} A, harmonics included.")
    if each.broken is not None and each.broken.worst_pct > 1:
        found.append(
            f"Should the shared neutral come loose, the lighter side would see about "
            f"{each.broken.worst_v:.0f} V; if lamps brighten on one side while others dim, switch "
            "everything off and call a licensed electrician."
        )
    return found


def _balance(told: Sag, each: SetupSag) -> list[str]:
    """Return how uneven the lines are, where one is well off the mean."""
    if len(each.likely.line_a) == 1:
        return []
    even = phase_balance(each.likely.line_a)
    if even.worst_pct <= GENERATOR_BALANCE_PCT.value or even.spread_a < _LEAST_SPREAD_A:
        return []
    line = told.facts.supply.phases[even.worst_line]
    apart = f"{shown_amps(even.spread_a)} A apart, {line} {even.worst_pct:.0f} % off their mean"
    return [f"The {told.facts.supply.line_word}s are {apart}; the neutral carries what is uneven."]


def _in_warmth(told: Sag, loaded: Loaded) -> str:
    """Return what a warm or full board does to a device, where it makes a difference."""
    is_told = told.board_c is not None or loaded.grouped.outcome is not loaded.alone.outcome
    if loaded.factor >= 1 or not is_told:
        return ""
    warm = [] if told.board_c is None else [f"at {told.board_c:g} °C in the board"]
    if loaded.neighbours > 1:
        warm.append(f"among {loaded.neighbours} loaded breakers side by side")
    words = loaded.grouped.words.replace(" of its rating", " of that", 1)
    return f"; {' and '.join(warm)} {loaded.factor:.2g} of the rating is left: {words}"


def _goes_out(each: SetupSag) -> list[str]:
    """Return which heads go out by themselves, and whether the rest stays on."""
    gone = each.goes_out
    if gone is None or not gone.units:
        return []
    names = [_called(unit) for unit in gone.units]
    then = f", then {row(dict.fromkeys(names[1:]))}" if names[1:] else ""
    rest = "the volts collapse all the same" if gone.collapses else "the rest stays on"
    return [f"Left alone, {names[0]} goes out first{then}; after that {rest}."]


def _relief(each: SetupSag) -> list[str]:
    if not each.relief:
        return []
    without = row(dict.fromkeys(_called(unit) for unit in each.relief))
    return [f"Without {without} every head left gets the volts it works at."]


def _comes_on(event: ComesOn, each: SetupSag) -> str:
    now = {unit.name for unit in each.likely.short}
    running = event.running
    if running.collapse:
        return f"When {event.what} comes on, {running.collapse}."
    text = (
        f"{event.what} is counted as running"
        if event.was_on
        else f"When {event.what} comes on, the board falls to {tenths_down(running.board_v)} V"
    )
    more = [name for name in _names(running.short) if name not in now]
    if more:
        text += f" and {row(dict.fromkeys(more))} would drop out"
    start = event.starting
    if start is None:
        return f"{text}."
    if start.collapse:
        return f"{text}; as it starts, {start.collapse}."
    text += f"; as it starts, the board dips to {tenths_down(start.board_v)} V for a second or so"
    dark = [name for name in _names(start.short) if name not in {*now, *more}]
    return f"{text}, enough for {row(dict.fromkeys(dark))} to drop out." if dark else f"{text}."


def _leads(each: SetupSag) -> list[str]:
    """Return which leads help; outlets that are too low themselves are told once."""
    found = [
        f"{advice.name}: on a {advice.better} lead in place of {advice.now} it would get "
        f"{tenths_down(advice.better_v)} V."
        for advice in each.leads
        if advice.better
    ]
    hopeless = [advice for advice in each.leads if not advice.better]
    low = [advice for advice in hopeless if advice.outlet_v < advice.min_v]
    if low:
        names = row(dict.fromkeys(advice.name for advice in low))
        found.append(f"No lead helps {names}: the outlets themselves have too little.")
    found += [
        f"{advice.name}: no lead on the van is enough; the best leaves "
        f"{tenths_down(advice.better_v)} V of the {tenths_down(advice.outlet_v)} V at its outlet."
        for advice in hopeless
        if advice not in low
    ]
    return found


def _called(unit: UnitVolts) -> str:
    return f"{unit.name} at {unit.place}" if unit.place else unit.name


def _names(units: tuple[UnitVolts, ...]) -> list[str]:
    return [unit.name for unit in units]


def _wrapped(style: Style, texts: list[str]) -> list[str]:
    return [style.wrap(text, first=_INDENT, rest=_HANG) for text in texts]


def _sentence(text: str) -> str:
    return f"{first_up(text).rstrip('.')}." if text else text
