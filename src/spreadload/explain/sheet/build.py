"""A briefing put in the order a sheet needs it."""

from collections import defaultdict
from collections.abc import Sequence

from spreadload.derived.contract import Counted
from spreadload.derived.facts import Facts
from spreadload.explain import told_once
from spreadload.explain.answer import Answer
from spreadload.explain.briefing import Briefing
from spreadload.explain.chance_words import chance_headline, chance_sentences
from spreadload.explain.first_moves import FirstMove
from spreadload.explain.judged import JudgedPlan
from spreadload.explain.light import Staying
from spreadload.explain.names import circuit_name, units_name
from spreadload.explain.sheet.board import main_setup, setup_pages, ways_in_order
from spreadload.explain.sheet.drawing import levels
from spreadload.explain.sheet.live import live_data
from spreadload.explain.sheet.moves import moves_in_order
from spreadload.explain.sheet.paper import paper
from spreadload.explain.sheet.records import Made, Sheet
from spreadload.explain.sheet.rivals import note_on_others, side_by_side
from spreadload.explain.sheet.tables import SIGNED_BY, tables
from spreadload.job.job import Job
from spreadload.job.observations import Log
from spreadload.plan import Chance, Outcome, Plan, Solved
from spreadload.units import MILLI, shown_capacity_amps
from spreadload.words import setup_names

SHOWN_LIT = 3


def sheet(
    briefing: Briefing,
    answer: Answer,
    made: Made,
    *,
    stated: Job | None = None,
    outcome: Outcome | None = None,
    chance: Chance | None = None,
    log: Log | None = None,
    others: Sequence[Plan] = (),
) -> Sheet:
    """Return everything a sheet says.

    Args:
        briefing: The plan, explained, with reasons and first moves.
        answer: The first line.
        made: When and from what.
        stated: The job as the crew states it; the plan's own may have guesses left open.
        outcome: What the search ended with, when there was one: brings alternatives.
        chance: How often unknown wiring makes the plan fail, when that was looked for.
        log: What was observed so far.
        others: Further plans kept with the one on the sheet, where none was looked for.
    """
    judged = briefing.judged
    moves = _in_order(judged, briefing.first_moves)
    job = judged.facts.job
    pages, main = setup_pages(judged, moves), main_setup(judged)
    return Sheet(
        title=job.title or "Power plan",
        region=job.region,
        length_word=judged.facts.lengths.word,
        made=made,
        answer=answer.text,
        says=answer.says.value,
        second=_second(outcome),
        supply=_supply(judged.facts),
        main=main,
        breaks=tuple(v.text for v in judged.verdict.violations),
        setups=pages,
        must_be_off=told_once.must_be_off(briefing.idle),
        may_run=told_once.may_run(briefing.idle),
        stay_on=briefing.stay_on,
        stay_on_shared=tuple(each.words(judged.facts) for each in briefing.shared),
        staying=_staying(briefing),
        moves=moves_in_order(briefing),
        first_moves=moves,
        whys=told_once.whys(briefing.judged.facts, briefing.reasons),
        others=side_by_side(judged, outcome, others),
        others_note=note_on_others(outcome),
        unproven=tuple(f"{a.about}: {a.text}" for a in briefing.assumptions),
        chance=() if chance is None else (chance_headline(chance), *chance_sentences(chance)),
        cautions=(*briefing.cautions, *judged.verdict.notes),
        pulls=", ".join(f"{p.needed} x {p.name}" for p in briefing.pulls),
        needs_signature_of=SIGNED_BY,
        levels=levels(judged, stated or job),
        tables=tables(briefing, log),
        paper=paper(briefing, next(page for page in pages if page.id == main)),
        live=live_data(judged, moves, log),
    )


def _in_order(judged: JudgedPlan, moves: tuple[FirstMove, ...]) -> tuple[FirstMove, ...]:
    """Return moves in the order of day and wall."""
    day, wall = list(judged.facts.demands), ways_in_order(judged)
    return tuple(sorted(moves, key=lambda move: (day.index(move.setup), wall.index(move.circuit))))


def _second(outcome: Outcome | None) -> tuple[str, ...]:
    if isinstance(outcome, Solved) and not outcome.proven:
        return (f"best found in the time, not proved best: {outcome.gap}",)
    return ()


def _supply(facts: Facts) -> str:
    supply = facts.supply
    phases = {1: "one phase", 2: "split-phase", 3: "three phases"}[len(supply.phases)]
    each = " each" if len(supply.phases) > 1 else ""
    limit = shown_capacity_amps(supply.cap_ma / MILLI)
    contract = ""
    if supply.contract is not None:
        is_watts = supply.contract.counted is Counted.WATTS
        said = supply.contract.source if is_watts else f"contract {supply.contract.cap_shown}"
        contract = f"; {said}"
    volts = f"planned at {supply.planning_v:g} V"
    return f"{phases}, {volts}, limit {limit} A{each} ({supply.source}){contract}"


def _staying(briefing: Briefing) -> tuple[str, ...]:
    devices = dict.fromkeys((entry.kind, entry.device) for entry in briefing.staying)
    return tuple(_stays(briefing, kind, device) for kind, device in devices)


def _stays(briefing: Briefing, kind: str, device: str) -> str:
    facts = briefing.judged.facts
    name = circuit_name(facts, device) if kind == "circuit" else device
    by_words: dict[str, list[str]] = defaultdict(list)
    for entry in briefing.staying:
        if (entry.kind, entry.device) == (kind, device):
            by_words[_lit(facts, entry)].append(entry.setup)
    each = "; ".join(f"{setup_names(setups)} {words}" for words, setups in by_words.items())
    return f"{name}: {each}"


def _lit(facts: Facts, entry: Staying) -> str:
    by_load: dict[str, list[int]] = defaultdict(list)
    for placement in entry.lit:
        by_load[placement.load].append(placement.unit)
    names = [units_name(facts, load, units) for load, units in by_load.items()]
    more = len(names) - SHOWN_LIT
    shown = ", ".join(names[:SHOWN_LIT]) or "NONE"
    return shown + (f" +{more} kinds" if more > 0 else "")
