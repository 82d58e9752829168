"""One line for the radio: what to say first, short enough to be said once.

Never imports the solver.
"""

from spreadload.explain.names import unit_name
from spreadload.on_the_day.scene.limits import Kind, Limit
from spreadload.on_the_day.trip.causes import (
    LEAST_TOLD,
    NO_HANDLE,
    NOT_OF_AMPS_ALONE,
    OF_EVERYTHING,
    Cause,
    Opened,
)
from spreadload.on_the_day.trip.diagnosis import TripAnswer
from spreadload.on_the_day.trip.unseen import Intruder
from spreadload.on_the_day.trip.words import (
    amount,
    at,
    band_words,
    board_name,
    cap_words,
    device_words,
    limit_name,
    move_line,
    shed_line,
    shed_words,
    step_words,
)
from spreadload.plan import Placement
from spreadload.units import MILLI, shown_amps, shown_capacity_amps
from spreadload.words import first_up, row

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
# These are things at a place; breakers, RCDs and phases go by their own names.
_AT_A_PLACE = frozenset({Cause.CUT_OUT, Cause.PLUG_FUSE, Cause.GFCI, Cause.FEED})
_BRIGHT = (
    "If any lamp got brighter: main off at once, unplug everything. Else switch off what is dead: "
    "network operator or licensed electrician."
)


def radio_line(answer: TripAnswer) -> str:
    """Return what to say on the radio first."""
    if not answer.causes:
        return _unexplained(answer)
    if answer.is_second:
        named = device_words(answer.scene.facts, answer.causes[0])
        entries = entries_words(answer.earlier)
        stop = f"Stop. {first_up(named)} has tripped before (log {entries}): leave it off."
        return f"{stop} Licensed electrician, and tell the owner."
    if answer.is_certain or len(answer.causes) == 1:
        return _what_to_do(answer)
    return f"{look_line(answer)} {_meanwhile(answer)}".strip()


def entries_words(numbers: tuple[int, ...]) -> str:
    """Return ``entry 1`` or ``entries 1 and 3``."""
    noun = "entry" if len(numbers) == 1 else "entries"
    return f"{noun} {row(str(n) for n in numbers)}"


def _meanwhile(answer: TripAnswer) -> str:
    """Return what to do that is right before anybody has looked."""
    top = answer.causes[0]
    if answer.earlier:
        named = device_words(answer.scene.facts, top)
        return f"If it is {named}: stop, it has tripped before."
    if _is_of_amps(answer):
        return _what_to_do(answer)
    if top.cause in (Cause.PHASE, Cause.NEUTRAL):
        return _BRIGHT
    if top.cause in OF_EVERYTHING:
        return "Switch everything off meanwhile."
    if top.cause is Cause.ITEM or answer.alone is not None:
        return "Try another lamp in the same socket."
    return _unplug_meanwhile(answer)


def _unplug_meanwhile(answer: TripAnswer) -> str:
    if answer.leaking is not None and answer.suspect is not None:
        return f"{_unplug(answer, answer.suspect)} meanwhile."
    named = answer.intruder.named if answer.intruder else ""
    return f"Unplug the {named}." if named else ""


def look_line(answer: TripAnswer) -> str:
    """Return the question that settles what opened."""
    asked = [c for c in answer.causes[:2] if c.share >= LEAST_TOLD]
    names = [_with_article(answer, c) for c in asked]
    has_comma = any(" or " in name for name in names)
    joined = ", or ".join(names) if has_comma else row(names, "or")
    only_board = all(c.cause not in NO_HANDLE for c in asked)
    return f"Look at the board: is it {joined}?" if only_board else f"Look: is it {joined}?"


def _with_article(answer: TripAnswer, cause: Opened) -> str:
    """Return a cause as it is asked for: what has no name of its own gets an article."""
    named = device_words(answer.scene.facts, cause)
    if cause.device and cause.cause not in _AT_A_PLACE:
        return named
    return f"{'a' if cause.cause in _ANY else 'the'} {named}"


def _unexplained(answer: TripAnswer) -> str:
    if answer.misfits:
        first, *others = answer.misfits
        then = f", then at {row(others, 'and')}" if others else ""
        return (
            f"What is dark and lit does not fit together: look at {first} again{then}. Which "
            "handle is down?"
        )
    if not answer.has_no_handle_down:
        return "Look at the board: nothing known explains what is dark. Which handle is down?"
    return (
        "Nothing known leaves these dark with every handle up: look again for one half way. If "
        "there is none, stop: it may be a loose joint. Leave it off, licensed electrician."
    )


def _is_of_amps(answer: TripAnswer) -> bool:
    return answer.limit is not None and answer.limit.kind in (Kind.CIRCUIT, Kind.FEED, Kind.SOCKET)


def _what_to_do(answer: TripAnswer) -> str:
    top = answer.causes[0]
    if answer.alone is not None:
        return _lone_plug_line(answer, answer.alone)
    if answer.limit is None or top.cause is Cause.SERVICE_FUSE:
        return f"{first_up(device_words(answer.scene.facts, top))}: {top.sign.do}."
    if answer.limit.kind is Kind.LEAKAGE:
        return _leakage_line(answer, answer.limit)
    if answer.limit.kind is Kind.CONTRACT or top.cause is Cause.METER:
        return _contract_line(answer, answer.limit)
    if answer.is_wired_only:
        name = limit_name(answer.scene.facts, answer.limit)
        return f"Leave {name} off: it feeds no outlet. Tell the owner, licensed electrician."
    return _amps_line(answer, answer.limit)


def _lone_plug_line(answer: TripAnswer, alone: Placement) -> str:
    facts = answer.scene.facts
    name = unit_name(facts, alone.load, alone.unit)
    draws_ma, fuse_ma = answer.scene.unit_ma(alone), facts.loads[alone.load].plug_ma
    draws = f"{shown_amps(draws_ma / MILLI)} of {shown_capacity_amps(fuse_ma / MILLI)} A"
    plug = f"Plug fuse of {name} at {at(facts, alone)}, {draws}"
    if draws_ma > fuse_ma:
        return f"{plug}: too much for its plug. Leave it unplugged."
    return (
        f"{plug}: unplug it; a new fuse of the same rating, once. If that blows too, {name} or "
        "its lead has a fault: leave it unplugged."
    )


def _leakage_line(answer: TripAnswer, limit: Limit) -> str:
    facts = answer.scene.facts
    behind = limit_name(facts, limit)
    if answer.suspect is None:
        return f"Unplug everything on {behind}, reset it bare. If it goes again bare: stop."
    if answer.move is not None:
        return f"{move_line(facts, answer.move)} Reset {behind} bare, add one by one."
    first = _unplug(answer, answer.suspect)
    return f"{first}. {first_up(behind)}: reset bare, add one by one."


def _unplug(answer: TripAnswer, unit: Placement) -> str:
    facts = answer.scene.facts
    return f"Unplug {unit_name(facts, unit.load, unit.unit)} at {at(facts, unit)}"


def _contract_line(answer: TripAnswer, limit: Limit) -> str:
    facts, carried = answer.scene.facts, answer.carried
    if answer.shed is not None and carried is not None:
        return f"{shed_line(facts, answer.shed, limit, carried)} Then re-arm at the meter."
    if carried is None:
        return "Look for a heater. Then re-arm at the meter."
    on = f" on {limit_name(facts, limit)}" if len(facts.supply.phases) > 1 else ""
    on = on if limit.kind is Kind.PHASE else ""
    ours = f"ours is {amount(limit, carried.counted)} of {cap_words(limit, limit.cap)}{on}"
    if not carried.is_within:
        return f"Leave it off: {ours} by the plan, and nothing of it can wait. Ask what can."
    left = f"{cap_words(limit, carried.cap - carried.counted)} or more is not in the plan"
    return f"{_unseen_first(answer)}: {ours}, so {left}. Then re-arm at the meter."


def _unseen_first(answer: TripAnswer) -> str:
    """Return where to look first for what the plan has not on: what was named, then what is off."""
    if answer.intruder is not None and answer.intruder.named:
        return f"Unplug the {answer.intruder.named}"
    if answer.kept_off:
        return f"{_see_that_it_is_off(answer)}, then look for a heater"
    return "Look for a heater"


def _see_that_it_is_off(answer: TripAnswer, see: str = "See") -> str:
    verb = "is" if len(answer.kept_off) == 1 else "are"
    return f"{see} that {row(answer.kept_off)} {verb} off"


def _amps_line(answer: TripAnswer, limit: Limit) -> str:
    facts = answer.scene.facts
    name = limit_name(facts, limit)
    # The whole house is dark: nothing may start by itself when the main goes back up.
    kill = "Kill everything. " if answer.causes[0].cause is Cause.MAIN else ""
    if answer.is_of_what_was_switched_on:
        what = answer.just or "what was just switched on"
        back = _back_on(answer, name)
        return f"{kill}Unplug {what}: inrush or a fault in it. Then {back} without it."
    if answer.intruder is not None and not answer.is_over:
        if answer.intruder.named:
            named = answer.intruder.named
            back = _back_on(answer, name)
            return f"{kill}Unplug the {named}: it is not in the plan. Then {back}."
        if answer.causes[0].cause not in NOT_OF_AMPS_ALONE:
            return f"{kill}{_look_for(answer, answer.intruder, name)}"
    first, last = _about_the_unseen(answer.intruder)
    if answer.move is not None:
        return f"{kill}{first}{move_line(facts, answer.move)}{last}"
    if answer.shed is not None and answer.carried is not None:
        return f"{kill}{first}{shed_line(facts, answer.shed, limit, answer.carried)}{last}"
    return _walk_line(answer, limit, name)


def _look_for(answer: TripAnswer, found: Intruder, name: str) -> str:
    unseen = f"{band_words(found)} is not in the plan"
    if not found.is_beyond_plugs:
        return f"Look for a heater on {name}: {unseen}."
    first = f"Unplug {answer.just}. " if answer.just else ""
    return f"{first}Look for a fault on {name}, or several heaters: {unseen}."


def _about_the_unseen(intruder: Intruder | None) -> tuple[str, str]:
    """Return what to say before and after a move: what is named goes first, a guess last."""
    if intruder is None:
        return "", ""
    return (
        (f"Unplug the {intruder.named}. ", "")
        if intruder.named
        else ("", " Look for a heater too.")
    )


def _walk_line(answer: TripAnswer, limit: Limit, name: str) -> str:
    """Return what to say where our own load is no reason to trip."""
    if answer.causes[0].cause is Cause.ARC_FAULT and answer.suspect is not None:
        unplug = _unplug(answer, answer.suspect)
        return f"{unplug}: drivers and motors open {name}. Then back on once."
    if answer.causes[0].cause is Cause.RCBO and not answer.is_over:
        return _rcbo_line(answer, limit, name)
    ours = "" if answer.carried is None else amount(limit, answer.carried.counted)
    if answer.is_over:
        return (
            f"Leave {name} off: {ours} of {cap_words(limit, limit.cap)} by the plan, and nothing "
            "on it can be moved. Ask what can wait."
        )
    is_ours = answer.carried is not None and answer.carried.counted > 0
    only = f"ours is only {ours} of {cap_words(limit, limit.cap)}"
    only = only if is_ours else "nothing of ours is on it"
    if answer.causes[0].cause is Cause.MAIN:
        on = f" on {name}" if len(answer.scene.facts.supply.phases) > 1 and is_ours else ""
        starts = "look for what the house switched on by itself"
        if answer.kept_off:
            starts = f"{_see_that_it_is_off(answer, 'see')}, {starts}"
        return f"Kill everything. {first_up(only)}{on}: {starts}. Then main on, bring up in order."
    return (
        f"Walk {name}, unplug what is not in the plan: {only}. Then {_back_on(answer, name)} once."
    )


def _rcbo_line(answer: TripAnswer, limit: Limit, name: str) -> str:
    """Return what to say where amps or leakage opened it and our own amps are no reason."""
    facts = answer.scene.facts
    ours = "" if answer.carried is None else amount(limit, answer.carried.counted)
    why = f"amps or leakage, and ours is only {ours} of {cap_words(limit, limit.cap)}"
    if answer.suspect is None:
        return f"Unplug all on {name}: {why}. Then {_back_on(answer, name)} bare, once."
    first = unit_name(facts, answer.suspect.load, answer.suspect.unit)
    unplug = f"Unplug what is not in the plan on {name}, then {first}"
    return f"{unplug}: {why}. Then {_back_on(answer, name)} bare, add one by one."


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
