"""What stops a list and what would make it fit, side by side, for a terminal and as data."""

from collections import Counter, defaultdict
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from spreadload.check.words import in_100
from spreadload.explain.answer import off_words
from spreadload.explain.doubtful_amps import doubtful_amps
from spreadload.explain.names import device_name as usage_name
from spreadload.job.costs import Costs
from spreadload.plan import Chance, Conflict, Usage
from spreadload.report.style import Style, bar
from spreadload.report.volts_section import disputed_readings
from spreadload.units import FULL_PCT, tenths_down
from spreadload.words import in_setup, labelled, row, setup_name, setup_names

if TYPE_CHECKING:
    from spreadload.derived.facts import Facts
    from spreadload.solver.what_if.offers import Offer, Offers

Where = Callable[[tuple[str | int, ...]], str]


def offers_text(
    facts: "Facts",
    offers: "Offers",
    conflicts: tuple[Conflict, ...],
    where: Where,
    style: Style,
    chance: Chance | None = None,
) -> str:
    """Return the answer in half a minute: what stops it, the offers side by side, their costs.

    Args:
        facts: The job, worked out.
        offers: What was found.
        conflicts: What clashes in the set-ups that cannot run.
        where: Look-up from entries to file and line.
        style: How to set text.
        chance: Where the job runs as asked on some wirings: how often its best plan fails.
    """
    answer = headline(facts, offers, conflicts) if chance is None else _only_by_chance(chance)
    lines = [style.strong(style.wrap(answer, rest="  "))]
    # Reasons of their own are about volts, and so may a clash be: these rest on what was read.
    if offers.reasons or any(conflict.kind == "volts" for conflict in conflicts):
        lines += [style.wrap(said, rest="  ") for said in disputed_readings(facts)]
    remedies = dict.fromkeys(conflict.remedy for conflict in conflicts)
    lines += [style.wrap(f"Way out: {remedy}.", rest="  ") for remedy in remedies]
    lines += [style.wrap(f"{said}.", rest="  ") for said in doubtful_amps(facts, conflicts)]
    sure = "" if chance is None else " that hold whatever the wiring"
    lines += style.section(f"Offers{sure}, the cheapest first", _table(facts, offers, style))
    for number, offer in enumerate(offers.offers, start=1):
        lines += _offer(facts, offers, number, offer, style)
    for conflict in conflicts:
        lines += _conflict(conflict, where, style)
    lines += _ending(offers, style)
    return "\n".join(lines)


def headline(facts: "Facts", offers: "Offers", conflicts: tuple[Conflict, ...]) -> str:
    """Return the first line."""
    trouble = setup_names(offers.in_trouble)
    if conflicts:
        said = f"CANNOT RUN AS ASKED: {conflicts[0].headline}"
        others = setup_names(c.setup for c in conflicts[1:])
        return f"{said}; nor can {others}" if others else said
    if not offers.in_trouble:
        under = f" under {offers.target_pct} %" if offers.target_pct < FULL_PCT else ""
        off = "" if offers.as_asked is None else off_words(offers.as_asked)
        only = f"FITS ONLY IF {off}{under}" if off else f"FITS AS ASKED{under}"
        return f"{only}{_tightest(facts, offers.fullest)}"
    if offers.reasons:
        undecided = set(offers.in_trouble) <= set(offers.unsure)
        said = "NOT DECIDED whether it runs as asked" if undecided else "CANNOT RUN AS ASKED"
        return f"{said}: {offers.reasons[0]}"
    if offers.target_pct < FULL_PCT:
        return f"NOT UNDER {offers.target_pct} % AS ASKED in {trouble}"
    return f"FITS ONLY WITH LAST-RESORT OUTLETS in {trouble}"


def _only_by_chance(chance: Chance) -> str:
    often = in_100(chance.fails_pct)
    return f"RUNS AS ASKED, but fails in {often} ways this house could be wired"


def _tightest(facts: "Facts", full: Usage | None) -> str:
    if full is None:
        return ""
    return f": tightest is {usage_name(facts, full)} at {full.used_pct} %{in_setup(full.setup)}"


def _conflict(conflict: Conflict, where: Where, style: Style) -> list[str]:
    lines = []
    for member in conflict.members:
        unsure = "" if member.is_sure else " (not proved to be needed)"
        told = f"{member.words}{unsure}  [{where(member.path)}]"
        lines.append(style.wrap(told, first="  ", rest="      "))
    title = f"What clashes{in_setup(conflict.setup)}; without any one of these the rest could hold"
    return style.section(title, lines)


def _table(facts: "Facts", offers: "Offers", style: Style) -> list[str]:
    if not offers.offers:
        return []
    lines = [style.faint("  #  tightest          light lost      money  minutes")]
    for number, offer in enumerate(offers.offers, start=1):
        used = offer.used_pct(offers.in_trouble)
        light = f"{offer.cost.light_w} W" if offer.cost.light_w else "none"
        lines.append(
            f"  {number}  {bar(used)} {used:>3} %  {light:>10} "
            f"{money(facts.job.costs, offer.cost.money):>10} {offer.cost.minutes:>8.0f}"
        )
        told = "; ".join(change.words for change in offer.changes)
        lines.append(style.wrap(told, first="     ", rest="     "))
    return lines


def money(costs: Costs, amount: float) -> str:
    """Return an amount in the job's currency."""
    return f"{costs.currency}{amount:.0f}" if amount else "none"


def _offer(
    facts: "Facts", offers: "Offers", number: int, offer: "Offer", style: Style
) -> list[str]:
    lines = [style.wrap(f"Must agree: {_people_row(_people(offer))}.", first="  ", rest="  ")]
    for setup in offers.in_trouble:
        lines += _circuits(offer, setup, style)
        lines += _above_the_circuits(facts, offer, setup, style)
    volts = [v for v in offer.verdict.volts if v.setup in offers.in_trouble and not v.collapse]
    if volts:
        low = min(volts, key=lambda seen: seen.lowest_v)
        least = f"Lowest volts: {tenths_down(low.lowest_v)} V at {low.lowest}{in_setup(low.setup)}"
        lines.append(style.entry(least))
    proof = "" if offer.is_proven else " (not proved the cheapest in the time)"
    kinds = row(dict.fromkeys(change.kind.value for change in offer.changes))
    return style.section(style.wrap(f"Offer {number}: {kinds}{proof}", rest="  "), lines)


def _people(offer: "Offer") -> list[str]:
    """Return those who have to agree, each once; who has agreed to all asked of him, last."""
    asked = dict.fromkeys(who for c in offer.changes if not c.is_agreed for who in c.agrees)
    agreed = dict.fromkeys(who for c in offer.changes if c.is_agreed for who in c.agrees)
    return [*asked, *(f"{who} (agreed)" for who in agreed if who not in asked)]


def _people_row(people: list[str]) -> str:
    """Return names in a row; without a last "and" where a name has one of its own."""
    return ", ".join(people) if any(" and " in who for who in people) else row(people)


def _circuits(offer: "Offer", setup: str, style: Style) -> list[str]:
    """Return what hangs on each circuit in a set-up; what only may be on several is told last."""
    told: list[str] = []
    only_maybe: dict[str, list[tuple[int, str]]] = defaultdict(list)
    heads = [p for p in offer.plan.placements if p.setup == setup]
    for usage in offer.verdict.usages:
        if usage.setup == setup and usage.kind == "circuit" and usage.used_pct:
            hung = Counter((p.load, p.point) for p in heads if _may_be_on(offer, p.point, usage))
            there = [
                f"{'' if _is_sure(offer, point) else 'maybe '}"
                f"{f'{count} ' if count > 1 else ''}{load} ({point})"
                for (load, point), count in hung.items()
            ]
            name = labelled(usage.id, offer.job.circuits[usage.id].label)
            if any(_is_sure(offer, point) for _, point in hung):
                told.append(f"{setup_name(setup)} {name} {usage.used_pct} %: {', '.join(there)}")
            elif there:  # hard-wired loads alone are the house's own business
                only_maybe[", ".join(there)].append((usage.used_pct, name))
    for loads, circuits in only_maybe.items():
        names, most = row(name for _, name in circuits), max(used for used, _ in circuits)
        told.append(f"{setup_name(setup)} {names}, {most} % at most: {loads}")
    return [style.wrap(line, first="  ", rest="      ") for line in told]


def _is_sure(offer: "Offer", point: str) -> bool:
    return len(offer.points[point].exposure.might_be_on) == 1


def _above_the_circuits(facts: "Facts", offer: "Offer", setup: str, style: Style) -> list[str]:
    """Return what is fuller than every circuit of a set-up, such as a leg or the contract."""
    here = [u for u in (*offer.verdict.usages, *offer.verdict.contract) if u.setup == setup]
    fullest = max(here, key=lambda usage: usage.used_pct, default=None)
    circuits = (usage.used_pct for usage in here if usage.kind == "circuit")
    if fullest is None or fullest.used_pct <= max(circuits, default=0):
        return []
    line = f"{setup_name(setup)} {usage_name(facts, fullest)} {fullest.used_pct} %"
    return [style.wrap(line, first="  ", rest="      ")]


def _may_be_on(offer: "Offer", point: str, usage: Usage) -> bool:
    exposed = offer.points[point].exposure
    return any(
        name == usage.id and (not pole or pole == usage.phase) for name, pole in exposed.circuits
    )


def _else(offers: "Offers") -> str:
    return "else " if offers.as_asked is not None and offers.as_asked.switched_off else ""


def _ending(offers: "Offers", style: Style) -> list[str]:
    lines = []
    if offers.unsure:
        told = f"Not decided in the time whether {setup_names(offers.unsure)} fits as asked."
        lines.append(style.wrap(told, rest="  "))
    if offers.in_trouble and not offers.offers:
        none = "No package of changes was found" + (
            "; it is proved that this menu has none." if offers.is_complete else " in the time."
        )
        lines.append(style.wrap(none, rest="  "))
    if not offers.in_trouble:
        lines.append(
            style.wrap(f"Nothing {_else(offers)}has to change; --margin 80 asks for more room.")
        )
    else:
        told = (
            "Prices are the job's own under `costs`, or common practice. Fixed wiring is for a "
            "licensed electrician; local codes come first."
        )
        lines.append(style.wrap(told, rest="  "))
    return ["", *lines] if lines else []


def offers_data(offers: "Offers", conflicts: tuple[Conflict, ...], where: Where) -> dict[str, Any]:
    """Return the same as data."""
    return {
        "target_pct": offers.target_pct,
        "in_trouble": list(offers.in_trouble),
        "not_decided": list(offers.unsure),
        "conflicts": [
            {
                "setup": c.setup,
                "kind": c.kind,
                "headline": c.headline,
                "remedy": c.remedy,
                "members": [
                    {"words": m.words, "where": where(m.path), "is_sure": m.is_sure}
                    for m in c.members
                ],
            }
            for c in conflicts
        ],
        "switched_off": [
            entry.model_dump(mode="json")
            for entry in (offers.as_asked.switched_off if offers.as_asked is not None else ())
        ],
        "offers": [_offer_data(offer) for offer in offers.offers],
        "proved_that_there_are_no_more": offers.is_complete,
    }


def _offer_data(offer: "Offer") -> dict[str, Any]:
    return {
        "changes": [
            {
                "kind": c.kind.value,
                "words": c.words,
                "agrees": _people_row(list(c.agrees)),
                "light_w": c.cost.light_w,
                "money": c.cost.money,
                "minutes": c.cost.minutes,
            }
            for c in offer.changes
        ],
        "light_w": offer.cost.light_w,
        "money": offer.cost.money,
        "minutes": offer.cost.minutes,
        "price": round(offer.cost.price, 2),
        "tightest": None if offer.fullest is None else offer.fullest.model_dump(mode="json"),
        "is_proven": offer.is_proven,
        "target_pct": offer.target_pct,
        "plan": offer.plan.model_dump(mode="json"),
    }
