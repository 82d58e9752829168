"""One line for the radio: what to say first, short enough to be said once.

Never imports the solver.
"""

from spreadload.explain.names import row, unit_name
from spreadload.on_the_day.causes import NO_HANDLE, Cause, Opened
from spreadload.on_the_day.limits import Kind, Limit
from spreadload.on_the_day.suspects import like_an_arc
from spreadload.on_the_day.trip import TripAnswer
from spreadload.on_the_day.unseen import Intruder
from spreadload.on_the_day.words import (
    amount,
    at,
    band_words,
    board_name,
    cap_words,
    device_words,
    first_up,
    limit_name,
    move_line,
    shed_line,
    shed_words,
    step_words,
)

__all__ = [
    "band_words",
    "board_name",
    "device_words",
    "look_line",
    "move_line",
    "radio_line",
    "shed_line",
    "shed_words",
    "step_words",
]


_ANY = frozenset({Cause.NETWORK, Cause.NEUTRAL})


def radio_line(answer: TripAnswer) -> str:
    """Return what to say on the radio first."""
    if not answer.causes:
        return "Look at the board: nothing known explains what is dark. Which handle is down?"
    if answer.is_second:
        named = device_words(answer.scene.facts, answer.causes[0])
        entries = row([str(n) for n in answer.earlier])
        stop = f"Stop. {first_up(named)} has tripped before (log entry {entries}): leave it off."
        return f"{stop} Licensed electrician, and tell the owner."
    said = _what_to_do(answer)
    if answer.is_certain or len(answer.causes) == 1:
        return said
    if answer.earlier:
        named = device_words(answer.scene.facts, answer.causes[0])
        return f"{look_line(answer)} If it is {named}: stop, it has tripped before."
    if _is_of_amps(answer):
        return f"{look_line(answer)} {said}"
    named = answer.intruder.named if answer.intruder else ""
    return f"{look_line(answer)} Unplug the {named}." if named else look_line(answer)


def look_line(answer: TripAnswer) -> str:
    """Return the question that settles what opened."""
    names = [_with_article(answer, c) for c in answer.causes[:2]]
    joined = row(names, "or")
    only_board = all(c.cause not in NO_HANDLE for c in answer.causes[:2])
    return f"Look at the board: is it {joined}?" if only_board else f"Look: is it {joined}?"


def _with_article(answer: TripAnswer, cause: Opened) -> str:
    """Return a cause as it is asked for: what has no name of its own gets an article."""
    named = device_words(answer.scene.facts, cause)
    if cause.device:
        return named
    return f"{'a' if cause.cause in _ANY else 'the'} {named}"


def _is_of_amps(answer: TripAnswer) -> bool:
    return answer.limit is not None and answer.limit.kind in (Kind.CIRCUIT, Kind.FEED, Kind.SOCKET)


def _what_to_do(answer: TripAnswer) -> str:
    top = answer.causes[0]
    if answer.limit is None or top.cause is Cause.SERVICE_FUSE:
        return f"{first_up(device_words(answer.scene.facts, top))}: {top.sign.do}."
    if answer.limit.kind is Kind.LEAKAGE:
        return _leakage_line(answer, answer.limit)
    if answer.limit.kind is Kind.CONTRACT:
        return _contract_line(answer, answer.limit)
    return _amps_line(answer, answer.limit)


def _leakage_line(answer: TripAnswer, limit: Limit) -> str:
    facts = answer.scene.facts
    if answer.leaking is None or not answer.leaking.suspects:
        return f"Unplug everything on {limit.id}, reset it bare. If it goes again bare: stop."
    if answer.move is not None:
        return f"{move_line(facts, answer.move)} Reset {limit.id} bare, add one by one."
    first = answer.leaking.suspects[0]
    name = unit_name(facts, first.load, first.unit)
    return f"Unplug {name} at {at(facts, first)}. {limit.id}: reset bare, add one by one."


def _contract_line(answer: TripAnswer, limit: Limit) -> str:
    facts, carried = answer.scene.facts, answer.carried
    if answer.shed is not None and carried is not None:
        return f"{shed_line(facts, answer.shed, limit, carried)} Then re-arm at the meter."
    left_w = 0 if carried is None else max(carried.cap - carried.counted, 0)
    ours = "" if carried is None else f"ours is {carried.counted} of {cap_words(limit, limit.cap)}"
    named = f"Unplug the {answer.intruder.named}" if answer.intruder else "Look for a heater"
    return f"{named}: {ours}, so {left_w} W or more is not in the plan. Then re-arm at the meter."


def _amps_line(answer: TripAnswer, limit: Limit) -> str:
    facts = answer.scene.facts
    name = limit_name(facts, limit)
    if answer.is_at_once and not answer.is_over:
        what = answer.just or "what was just switched on"
        return f"Unplug {what}: inrush or a fault in it. Then {_back_on(answer, name)} without it."
    if answer.intruder is not None and not answer.is_over:
        if answer.intruder.named:
            named = answer.intruder.named
            return f"Unplug the {named}: it is not in the plan. Then {_back_on(answer, name)}."
        return f"Look for a heater on {name}: {band_words(answer.intruder)} is not in the plan."
    first = _intruder_first(answer.intruder)
    if answer.move is not None:
        return f"{first}{move_line(facts, answer.move)}"
    if answer.shed is not None and answer.carried is not None:
        return f"{first}{shed_line(facts, answer.shed, limit, answer.carried)}"
    return _walk_line(answer, limit, name)


def _intruder_first(intruder: Intruder | None) -> str:
    if intruder is None:
        return ""
    return f"Unplug the {intruder.named}. " if intruder.named else "Look for a heater too. "


def _walk_line(answer: TripAnswer, limit: Limit, name: str) -> str:
    """Return what to say where our own load is no reason to trip."""
    if answer.causes[0].cause is Cause.ARC_FAULT:
        items = like_an_arc(answer.scene, limit)
        if items:
            first = items[0]
            unit = unit_name(answer.scene.facts, first.load, first.unit)
            where = at(answer.scene.facts, first)
            return f"Unplug {unit} at {where}: drivers and motors open {name}. Then back on once."
    ours = "" if answer.carried is None else amount(limit, answer.carried.counted)
    if answer.is_over:
        return (
            f"Leave {name} off: {ours} of {cap_words(limit, limit.cap)} by the plan, and nothing "
            "on it can be moved. Ask what can wait."
        )
    return (
        f"Walk {name}, unplug what is not in the plan: ours is only {ours} of "
        f"{cap_words(limit, limit.cap)}. Then {_back_on(answer, name)} once."
    )


def _back_on(answer: TripAnswer, name: str) -> str:
    match answer.causes[0].cause:
        case Cause.FUSE:
            return f"a new fuse of the same rating for {name}, by whoever may fit it,"
        case Cause.CUT_OUT:
            return "press its button"
        case Cause.PLUG_FUSE:
            return "a new plug fuse of the same rating"
        case Cause.MAIN:
            return "main back on"
        case _:
            return f"{name} back on"
