"""Reasons in one or two plain sentences with numbers."""

from spreadload.derived.facts import Facts
from spreadload.explain.binding import Share
from spreadload.explain.day_moves import Carried
from spreadload.explain.names import circuit_name, point_name, units_name
from spreadload.explain.reasons import Elsewhere, Reason
from spreadload.units import tenths_down, tenths_up
from spreadload.words import first_up, row


def headline(facts: Facts, reason: Reason) -> str:
    """Return what is plugged in where: ``DH1800 #2 → A12 (P2), 20 m lead``."""
    who = units_name(facts, reason.load, reason.units)
    on = row(reason.on, "or")
    return f"{who} → {point_name(facts.points[reason.point])} ({on}){_run(facts, reason)}"


def reason_text(facts: Facts, reason: Reason) -> str:
    """Return why it is there: what binds, why not nearer, what the next best costs."""
    parts = [_binds(facts, reason)]
    if reason.is_only_way:
        parts.append("The only outlet it may use")
    elif reason.nearest is not None:
        parts.append(_at(facts, "Nearest is", reason.nearest))
    elif reason.place is not None:
        parts.append("Nothing it can use is nearer")
    if reason.next_best is not None and not _is_same(reason.next_best, reason.nearest):
        parts.append(_at(facts, "Next best", reason.next_best))
    elif reason.next_best is None and not reason.is_only_way:
        parts.append("No other outlet found that can take it as the rest stands")
    return ". ".join(parts)


def share_words(share: Share) -> str:
    """Return a share with its numbers: ``8.9 of 10.0 A``."""
    return f"{tenths_up(share.used)} of {tenths_down(share.limit)} {share.unit}"


def _binds(facts: Facts, reason: Reason) -> str:
    full, circuit = reason.fullest, reason.circuit
    if circuit is None or circuit == full:
        return f"{_capital(full.name)} is at {full.used_pct} %, {share_words(full)}"
    on = circuit_name(facts, reason.on[0]) if len(reason.on) == 1 else circuit.name
    binds = f"fullest is {full.name} at {full.used_pct} %, {share_words(full)}"
    return f"{on} is at {circuit.used_pct} %; {binds}"


def _at(facts: Facts, opening: str, there: Elsewhere) -> str:
    return f"{opening} {point_name(facts.points[there.point])}: {there.text}"


def _is_same(one: Elsewhere, other: Elsewhere | None) -> bool:
    return other is not None and one.point == other.point


def _run(facts: Facts, reason: Reason) -> str:
    words = run_words(facts, (reason.board, reason.board_lead, reason.lead))
    return f", {words}" if words else ""


def run_words(facts: Facts, run: tuple[int | None, int | None, int | None]) -> str:
    """Return how a plug gets to its socket: ``10 m lead``, ``board on 20 m lead, 5 m lead``.

    Args:
        facts: The job, worked out.
        run: Indices of the power board, of the lead it hangs on, and of the unit's own lead.
    """
    board, board_lead, lead = run
    parts: list[str] = []
    if board is not None:
        hangs = "" if board_lead is None else f" on {lead_words(facts, board_lead)}"
        parts.append(f"board{hangs}")
    if lead is not None:
        parts.append(lead_words(facts, lead))
    return ", ".join(parts)


def lead_words(facts: Facts, lead: int) -> str:
    """Return a lead by its length: ``10 m lead``; an unknown one by its number."""
    if not 0 <= lead < len(facts.leads):
        return f"lead {lead}?"
    return f"{facts.leads[lead].written} lead"


def carried_words(facts: Facts, carried: Carried) -> str:
    """Return what is carried while its plug stays: ``2 soft table → sofa (all still on O3)``."""
    several = f"{carried.units} " if carried.units > 1 else ""
    stays = "still on" if carried.units == 1 else "all still on"
    point = point_name(facts.points[carried.point])
    return f"{several}{carried.load} {carried.from_place} → {carried.to_place} ({stays} {point})"


def _capital(name: str) -> str:
    return first_up(name) if name.startswith(("its ", "the ", "leakage")) else name
