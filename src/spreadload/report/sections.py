"""The parts of a plan's text below the switchboards, each a titled block of lines."""

from collections import defaultdict

from spreadload.derived.facts import Facts
from spreadload.explain import told_once
from spreadload.explain.answer import fullest as fullest_of
from spreadload.explain.answer import tightest_words
from spreadload.explain.briefing import Briefing
from spreadload.explain.day_moves import Change
from spreadload.explain.differences import differences
from spreadload.explain.goal_words import price_of_another
from spreadload.explain.names import circuit_name, point_name, units_name
from spreadload.explain.sentences import carried_words
from spreadload.plan import LeftOut, Placement, Solved
from spreadload.report.style import Style
from spreadload.words import count_of, in_setup, row, setup_name

SHOWN_LIT = 4
SHOWN_DIFFERENCES = 5


def must_be_off(briefing: Briefing, style: Style) -> list[str]:
    """Return what must not run, with what it would break."""
    return style.section("Must be off", style.entries(told_once.must_be_off(briefing.idle)))


def may_run(briefing: Briefing, style: Style) -> list[str]:
    """Return idle loads that one could add, and where."""
    said = told_once.may_run(briefing.idle)
    return style.section("May run as well, one at a time", style.entries(said))


def must_stay_on(briefing: Briefing, style: Style) -> list[str]:
    """Return what was agreed to stay on, and what of it a trip of ours would take along."""
    if not briefing.stay_on:
        return []
    said = (row(briefing.stay_on), *(s.words(briefing.judged.facts) for s in briefing.shared))
    return style.section("Must stay on", style.entries(said))


def light_that_stays(briefing: Briefing, style: Style) -> list[str]:
    """Return what stays lit when a circuit drops or an RCD opens, in detail where it is little.

    What is the same for several is told once.
    """
    facts = briefing.judged.facts
    alike: dict[tuple[str, str], list[str]] = {}
    plenty: list[int] = []
    for kind, device in dict.fromkeys((entry.kind, entry.device) for entry in briefing.staying):
        entries = [e for e in briefing.staying if (e.kind, e.device) == (kind, device)]
        least = min(len(e.lit) for e in entries)
        if least > SHOWN_LIT:
            plenty.append(least)
            continue
        name = circuit_name(facts, device) if kind == "circuit" else device
        event = "drops" if kind == "circuit" else "opens"
        each = "; ".join(f"{setup_name(e.setup)} {_lit(facts, e.lit)}" for e in entries)
        alike.setdefault((event, each), []).append(name)
    lines = [
        style.entry(f"If {row(names, 'or')} {event}: {each}")
        for (event, each), names in alike.items()
    ]
    if plenty:
        which = "any other" if lines else "any one"
        lines.append(f"  If {which} circuit drops: {min(plenty)} heads or more stay lit")
    return style.section("Light that stays", lines)


def first_moves(briefing: Briefing, style: Style) -> list[str]:
    """Return what to do first if a circuit goes, one line per circuit that has such a move."""
    facts = briefing.judged.facts
    ours, for_room = (
        [
            style.entry(f"{circuit_name(facts, m.circuit)}{in_setup(m.setup)}: {m.text} ({m.amps})")
            for m in briefing.first_moves
            if m.is_for_room is wanted
        ]
        for wanted in (False, True)
    )
    return [
        *style.section("If it trips, first: look for what is not in the plan, then", ours),
        *style.section(
            "If it trips, first: what is not in the plan comes off; ours moves for room only",
            for_room,
        ),
    ]


def _lit(facts: Facts, lit: tuple[Placement, ...]) -> str:
    if not lit:
        return "none"
    if len(lit) > SHOWN_LIT:
        return f"{len(lit)} heads"
    by_load: dict[str, list[int]] = defaultdict(list)
    for placement in lit:
        by_load[placement.load].append(placement.unit)
    return ", ".join(units_name(facts, load, units) for load, units in by_load.items())


def between_setups(briefing: Briefing, style: Style) -> list[str]:
    """Return what changes outlet from one set-up to the next."""
    lines: list[str] = []
    for change in briefing.changes:
        lines += _one_change(briefing.judged.facts, change, style)
    return style.section("Between set-ups", lines)


def _one_change(facts: Facts, change: Change, style: Style) -> list[str]:
    counts = [
        f"{verb} {len(units)}"
        for verb, units in (("unplug", change.struck), ("plug in", change.added))
        if units
    ]
    together: dict[tuple[str, str, str, int], list[int]] = defaultdict(list)
    for r in change.replugs:
        together[r.load, r.from_point, r.to_point, r.cool_down_min].append(r.unit)
    moves = [
        f"{units_name(facts, load, units)} {point_name(facts.points[was])} → "
        f"{point_name(facts.points[now])}" + (f" ({dark_min} min dark)" if dark_min else "")
        for (load, was, now, dark_min), units in together.items()
    ]
    carried = [carried_words(facts, each) for each in change.carried]
    said = f"move {', '.join(moves)}" if moves else "no plug moves" if carried else "nothing moves"
    carry = f"; carry {', '.join(carried)}" if carried else ""
    more = carry + (f"; {', '.join(counts)}" if counts else "")
    head = f"{setup_name(change.before)} to {setup_name(change.after)}: "
    return [style.entry(f"{head}{said}{more}")]


def pulls(briefing: Briefing, style: Style) -> list[str]:
    """Return leads, power boards and boxes to take off the van."""
    if not briefing.pulls:
        return []
    unlisted = briefing.judged.facts.leads_are_assumed
    each = []
    for pull in briefing.pulls:
        is_lead = pull.kind == "lead"
        stock = "" if is_lead and unlisted else f" of {pull.in_stock}"
        each.append(f"{pull.needed} x {pull.name}{' lead' if is_lead else ''}{stock}")
    return style.section("Pull for the day", [style.wrap(", ".join(each), first="  ", rest="  ")])


def why_there(briefing: Briefing, style: Style) -> list[str]:
    """Return the reason for every placement, the same one in several set-ups only once."""
    lines: list[str] = []
    for why in told_once.whys(briefing.judged.facts, briefing.reasons):
        lines.append(style.entry(f"{why.setups}  {why.head}"))
        lines.append(style.wrap(why.text, first="      ", rest="      "))
    return style.section("Why there", lines)


def other_plans(facts: Facts, solved: Solved | None, style: Style) -> list[str]:
    """Return what each further plan does differently and what it costs."""
    lines: list[str] = []
    if solved is None:
        return lines
    ranked = solved.plans
    for number, (plan, verdict) in enumerate(ranked[1:], start=2):
        price = price_of_another(solved, number - 1, facts.lengths)
        tightest = tightest_words(facts, fullest_of(verdict))
        lines.append(style.entry(f"Plan {number}: {tightest}; {price}"))
        differs = differences(facts, ranked[0][0], plan)
        shown = differs[:SHOWN_DIFFERENCES]
        lines += [style.wrap(d.text, first="    ", rest="      ") for d in shown]
        if len(differs) > SHOWN_DIFFERENCES:
            more = count_of(len(differs) - SHOWN_DIFFERENCES, "more difference")
            lines.append(f"    and {more}")
    return style.section("Other plans", lines)


def assumed(briefing: Briefing, style: Style) -> list[str]:
    """Return what nobody has proved."""
    lines = [style.entry(f"{entry.about}: {entry.text}") for entry in briefing.assumptions]
    return style.section("Not proved", lines)


def cautions(briefing: Briefing, style: Style) -> list[str]:
    """Return short cautions."""
    return style.section("Take care", style.entries(briefing.cautions))


def left_out(facts: Facts, entries: tuple[LeftOut, ...]) -> str:
    """Return heads left out, by set-up: ``LED150 in SU2``."""
    by_load: dict[tuple[str, str], int] = defaultdict(int)
    for entry in entries:
        by_load[entry.load, entry.setup] += 1
    each = [
        f"{count} {load}{in_setup(setup)}"
        if facts.loads[load].count > 1
        else f"{load}{in_setup(setup)}"
        for (load, setup), count in by_load.items()
    ]
    return row(each)
