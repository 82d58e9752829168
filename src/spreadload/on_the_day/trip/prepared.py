"""First moves in words, worked out before the day: for the plan's text and for the sheet.

Never imports the solver.
"""

from dataclasses import replace

from spreadload.derived.facts import Facts
from spreadload.derived.records import Point
from spreadload.explain.briefing import Briefing
from spreadload.explain.first_moves import FirstMove, carried_ma
from spreadload.explain.first_moves import first_moves as moves_by_reason
from spreadload.explain.names import unit_name
from spreadload.job.job import Job
from spreadload.job.observations import Log
from spreadload.on_the_day.replug.first_moves import FirstMove as Prepared
from spreadload.on_the_day.replug.first_moves import first_moves
from spreadload.on_the_day.scene.steps import Step
from spreadload.on_the_day.trip.words import shed_words, step_words
from spreadload.units import MILLI, shown_amps
from spreadload.wiring.model import WiringModel
from spreadload.words import row


def prepared_moves(
    job: Job,
    log: Log,
    briefing: Briefing,
    model: WiringModel | None = None,
    *,
    every_setup: bool = False,
) -> tuple[FirstMove, ...]:
    """Return a first move for every circuit a plan loads well.

    Of a plan that does not hold, such as one made before the job changed, no move makes anything
    worse that it passes already. Where nothing on a circuit can be moved or left off as a whole,
    what the reasons of the plan offer stands in.

    Args:
        job: The job; it must not clash with its log.
        log: What was seen so far.
        briefing: The plan, explained.
        model: The wirings the house may have by job and log, where the caller knows them.
        every_setup: Whether to look in every set-up that has something on a circuit, not in the one
            alone that loads it most.
    """
    judged, facts = briefing.judged, briefing.judged.facts
    by_reason = {(m.setup, m.circuit): m for m in moves_by_reason(briefing)}
    found = []
    for move in first_moves(job, log, judged.plan, model, every_setup=every_setup):
        told = _in_words(facts, move) or by_reason.get((move.setup, move.circuit))
        if told is not None:
            sure_a = shown_amps(carried_ma(judged, move.setup, move.circuit) / MILLI)
            is_likely = told.before_a != sure_a
            found.append(replace(told, is_likely=is_likely))
    return tuple(found)


def _in_words(facts: Facts, prepared: Prepared) -> FirstMove | None:
    move, off = prepared.move, prepared.shed
    if move is not None:
        text = row(step_words(facts, step) for step in move.steps)
        brief = ", ".join(_step_in_short(facts, step) for step in move.steps)
        after_ma = move.after_ma
    elif off is not None and not (off.dark and prepared.is_for_room):
        text, after_ma = shed_words(facts, off), off.after_ma
        brief = text.removeprefix("leave ")
    else:
        return None
    before, after = shown_amps(prepared.before_ma / MILLI), shown_amps(after_ma / MILLI)
    return FirstMove(
        prepared.setup, prepared.circuit, text, before, after, brief, prepared.is_for_room
    )


def _step_in_short(facts: Facts, step: Step) -> str:
    there, to = (_socket_in_short(facts.points[p.point]) for p in (step.unit, step.to))
    return f"{unit_name(facts, step.unit.load, step.unit.unit)} {there} → {to}"


def _socket_in_short(point: Point) -> str:
    """Return an outlet, and of a box standing there only the phase."""
    return point.id if point.box is None else f"{point.outlet} {point.box_phase}"
