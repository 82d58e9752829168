"""Answers as plain text for a terminal: the answer first, then the switchboards, then the rest."""

from collections.abc import Iterable, Iterator

from spreadload.explain.answer import (
    Answer,
    Says,
    fullest,
    luck_needed,
    lucky_words,
    off_words,
)
from spreadload.explain.briefing import Briefing
from spreadload.explain.chance_words import chance_basis, chance_headline, chance_in_short
from spreadload.explain.doubtful_amps import doubtful_amps
from spreadload.explain.names import device_name
from spreadload.plan import (
    Chance,
    Impossible,
    Outcome,
    Plan,
    Solved,
    Undecided,
    Verdict,
    chance_shown,
)
from spreadload.report import sections
from spreadload.report.board import overview, setup_board
from spreadload.report.style import Style
from spreadload.report.volts_section import (
    disputed_readings,
    least_volts,
    over_on_volts,
    volts_section,
)
from spreadload.units import FULL_PCT
from spreadload.words import count_of, first_up, in_setup, row, setup_names

# Set-ups that cannot run either, told with the reason; more are only named.
_CLASHES = 3


def plan_text(
    answer: Answer,
    outcome: Outcome,
    briefing: Briefing | None,
    style: Style,
    *,
    setup: str | None = None,
    is_brief: bool = False,
) -> str:
    """Return the answer to “does it fit?” with the plan it rests on.

    Args:
        answer: The first line.
        outcome: What the search ended with.
        briefing: The plan to show: the best one, or the fullest legal one when none fits as asked.
        style: How to set text.
        setup: Show the switchboard of this set-up only.
        is_brief: Stop after the switchboards.
    """
    lines = _answer_lines(answer, style)
    chance = chance_shown(outcome)
    told = chance_lines(chance, style) if chance is not None else []
    second = _second_line(outcome, briefing, style)
    # What is said of a plan follows what makes it less than was asked.
    lines += second + told if isinstance(outcome, Impossible) else told + second
    if briefing is None:
        return "\n".join(lines)
    lines += _boards(briefing, style, setup)
    if not is_brief:
        solved = outcome if isinstance(outcome, Solved) else None
        has_told = isinstance(outcome, Solved)
        lines += _rest(briefing, solved, style, has_told=has_told, chance=chance)
    return "\n".join(lines)


def _answer_lines(answer: Answer, style: Style) -> list[str]:
    """Return the first line, and the red flags where it does not name them already."""
    lines = [style.strong(style.wrap(answer.text, rest="  "))]
    if answer.says in (Says.CANNOT, Says.NOT_DECIDED, Says.BREAKS) and answer.red_flags:
        flags = f"A red flag is open besides: {'; '.join(answer.red_flags)}."
        lines.append(style.wrap(flags, rest="  "))
    return lines


def check_text(
    answer: Answer,
    briefing: Briefing,
    style: Style,
    *,
    setup: str | None = None,
    is_brief: bool = False,
    chance: Chance | None = None,
) -> str:
    """Return what the judge says of a plan: every limit it passes, then the switchboards."""
    lines = _answer_lines(answer, style)
    lines += [] if chance is None else chance_lines(chance, style)
    lines += [style.wrap(f"{doubt.brief}.", rest="  ") for doubt in briefing.doubts]
    violations = briefing.judged.verdict.violations
    told = [style.entry(v.text) for v in violations]
    lines += style.section(f"Passes {count_of(len(violations), 'limit')}", told)
    lines += _boards(briefing, style, setup)
    if not is_brief:
        lines += goals_kept(briefing.judged.verdict, style)
        lines += _rest(briefing, None, style, has_told=True, chance=chance)
    return "\n".join(lines)


def goals_kept(verdict: Verdict, style: Style) -> list[str]:
    """Return every soft rule with its value."""
    width = max((len(goal.goal) for goal in verdict.goals), default=0)
    lines = [
        style.wrap(
            f"{goal.goal:<{width}} {goal.value:>6}  {goal.text}",
            first="  ",
            rest=" " * (width + 11),
        )
        for goal in verdict.goals
    ]
    return style.section("Soft rules, most important first; smaller is better", lines)


def _second_line(outcome: Outcome, briefing: Briefing | None, style: Style) -> list[str]:
    if not isinstance(outcome, Solved):
        return _what_could_be(outcome, briefing, style)
    if briefing is None:
        return []
    is_open = briefing.judged.facts.is_left_to_maps
    least = least_volts(briefing.judged.verdict, is_open=is_open)
    unproved = [entry for entry in briefing.assumptions if entry.about in ("supply", "wiring")]
    parts = [least] if least is not None else []
    parts += [doubt.brief for doubt in briefing.doubts]
    if not outcome.proven:
        parts.append(f"Best found in the time, not proved best: {outcome.gap}")
    if unproved:
        parts.append(f"Rests on what nobody has proved: {'; '.join(e.text for e in unproved)}")
    return [style.wrap(f"{part}.", rest="  ") for part in parts]


def chance_lines(chance: Chance, style: Style) -> list[str]:
    """Return how often unknown wiring makes a plan fail, and what that rests on."""
    head = chance_headline(chance)
    lines = [style.strong(style.wrap(f"{first_up(head)}.", rest="  "))]
    lines += [style.entry(f"{first_up(said)}.") for said in chance_in_short(chance)]
    return lines


def _basis(chance: Chance | None, style: Style) -> list[str]:
    """Return whose 100 wirings the chance is counted in."""
    said = () if chance is None else chance_basis(chance)
    lines = [style.entry(f"{first_up(s)}.") for s in said]
    return style.section("Whose 100 that is", lines)


def _what_could_be(
    outcome: Impossible | Undecided, briefing: Briefing | None, style: Style
) -> list[str]:
    lines = []
    if isinstance(outcome, Impossible) and outcome.nearest is not None and briefing is not None:
        facts = briefing.judged.facts
        plan, verdict = outcome.nearest
        usages = verdict.usages
        worst = max(usages, key=lambda usage: usage.used_pct)
        over = [u for u in usages if u.used_pct > FULL_PCT and u.setup == worst.setup]
        each = [f"{device_name(facts, u)} {u.used_pct} %{in_setup(u.setup)}" for u in over]
        each += over_on_volts(verdict)
        split = f"split if {off_words(plan)}" if plan.switched_off else "split of everything"
        if each:  # on open wiring it may pass nothing that is sure
            lines.append(style.wrap(f"Best possible {split}: {row(each)}.", rest="  "))
        if over_on_volts(verdict):
            lines += [style.wrap(said, rest="  ") for said in disputed_readings(facts)]
    if isinstance(outcome, Impossible):
        lines += _clashes_too(outcome, style)
    if outcome.reduced is not None and briefing is not None:
        chance = chance_shown(outcome)
        lines.append(style.wrap(_without(briefing, *outcome.reduced, chance), rest="  "))
    if isinstance(outcome, Impossible) and outcome.in_the_dark:
        why = "" if outcome.in_the_dark in outcome.reason else f": {outcome.in_the_dark}"
        lines.append(style.wrap(f"Not even with every head dark{why}.", rest="  "))
    if isinstance(outcome, Impossible):
        lines += [style.wrap(f"{said}.", rest="  ") for said in _doubtful(outcome, briefing)]
        lines.append(style.wrap("The ways out, and what each costs: `spreadload offers`."))
    return lines


def _clashes_too(outcome: Impossible, style: Style) -> Iterator[str]:
    """Yield the set-ups that cannot run either, beside the one that the first line names."""
    others = [c for c in outcome.conflicts if c.headline not in outcome.reason]
    for conflict in others[:_CLASHES]:
        yield style.wrap(f"Besides: {conflict.headline}.", rest="  ")
    if more := others[_CLASHES:]:
        yield style.wrap(f"Nor can {setup_names(c.setup for c in more)} run.", rest="  ")


def _doubtful(outcome: Impossible, briefing: Briefing | None) -> Iterable[str]:
    if briefing is None:
        return ()
    return doubtful_amps(briefing.judged.facts, outcome.conflicts)


def _without(briefing: Briefing, plan: Plan, verdict: Verdict, chance: Chance | None) -> str:
    facts = briefing.judged.facts
    without = sections.left_out(facts, plan.left_out)
    off = f" and if {off_words(plan)}" if plan.switched_off else ""
    luck = f" only if {needed}" if (needed := luck_needed(chance)) else ""
    tightest = lucky_words(facts, fullest(verdict), chance)
    return f"Without {without}{off} it fits{luck}: {tightest}. That plan follows."


def _boards(briefing: Briefing, style: Style, setup: str | None) -> list[str]:
    judged = briefing.judged
    lines = [] if setup is not None else overview(judged, style)
    for each in judged.facts.job.setups:
        if setup in (None, each.id):
            lines += setup_board(judged, each, style)
    if any(usage.counted_a > usage.current_a for usage in judged.verdict.usages):
        factor = judged.facts.continuous_factor
        note = f"Breakers count what runs for hours {factor:g} times."
        lines += ["", style.wrap(note, first="  ", rest="  ")]
    return lines


def _rest(
    briefing: Briefing,
    solved: Solved | None,
    style: Style,
    *,
    has_told: bool,
    chance: Chance | None,
) -> list[str]:
    facts = briefing.judged.facts
    doubts = () if has_told else briefing.doubts
    return [
        *sections.must_be_off(briefing, style),
        *sections.must_stay_on(briefing, style),
        *sections.may_run(briefing, style),
        *sections.light_that_stays(briefing, style),
        *sections.first_moves(briefing, style),
        *volts_section(briefing.judged.verdict, style, doubts, is_open=facts.is_left_to_maps),
        *sections.between_setups(briefing, style),
        *sections.pulls(briefing, style),
        *sections.why_there(briefing, style),
        *sections.other_plans(facts, solved, style),
        *_basis(chance, style),
        *sections.assumed(briefing, style),
        *sections.cautions(briefing, style),
    ]
