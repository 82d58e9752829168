"""What to move before anything goes back on, and the order in which it comes back."""

from itertools import groupby
from shlex import quote

from spreadload.explain.names import unit_name, units_name
from spreadload.on_the_day.scene.limit_of import circuit_limit
from spreadload.on_the_day.scene.limits import Kind
from spreadload.on_the_day.scene.steps import Move, Step
from spreadload.on_the_day.trip.causes import Cause
from spreadload.on_the_day.trip.diagnosis import TripAnswer
from spreadload.on_the_day.trip.words import at, limit_name, move_line, shed_words
from spreadload.plan import Placement
from spreadload.report.style import Style
from spreadload.units import MILLI, tenths_down
from spreadload.words import first_down, first_up, row, setup_names

# Handles, buttons and fuses each have their own way back; nobody of the crew opens a board.
_ONCE = "handle fully off, then on, once"
_WAYS = {
    Cause.CUT_OUT: "press the button of the power board once",
    Cause.PLUG_FUSE: "unplug it; a new plug fuse of the same rating, never a bigger one",
    Cause.ITEM: "try it in another socket; if it stays dark, leave it unplugged",
    Cause.GFCI: "with nothing plugged in behind it, press its reset button in, once",
    Cause.RCBO: f"with nothing plugged in on it, {_ONCE}",
    Cause.FUSE: "a new fuse of the same rating, never a bigger one, by whoever may fit it",
    Cause.RCD: f"with nothing plugged in behind it, {_ONCE}",
    Cause.METER: "re-arm at the meter, as it says there",
}
_NOTHING_OF_OURS = (
    "Nothing of ours has to move: take off what is not in the plan. If nothing is found, it was no "
    "overload: leave it off, licensed electrician."
)
_NOTHING_TO_TAKE_OFF = (
    "The plan itself has too much on it, and nothing of it can be moved or switched off: leave it "
    "off until whoever owns what is on it says what can wait."
)
_WIRED_ONLY = (
    "Nothing of ours has to move: what the house has wired to it is the owner's, and opened it "
    "without a plug of ours."
)
_BARE_TELLS = (
    "Nothing of ours has to move: take off what is not in the plan. If it opens again with nothing "
    "plugged in, leave it off: licensed electrician."
)
_CONTRACT_MAY_BE_LESS = (
    "Nothing of ours has to move: take off what is not in the plan. If nothing is found, the "
    "contract gives less than was stated: keep something off, and read the bill."
)
_LESS_BY_THEN = (
    "By the time it is replaced less must be on: find what is not in the plan, and ask the "
    "operator what the supply may give."
)
# What `replan` can be told to do without.
_MAY_STAY_OFF = frozenset({Kind.CIRCUIT, Kind.FEED, Kind.LEAKAGE})
_NEVER_BY_US = frozenset({Cause.SERVICE_FUSE, Cause.NETWORK, Cause.PHASE, Cause.NEUTRAL})


def moves_title(answer: TripAnswer) -> str:
    """Return what the moves are for."""
    if answer.is_second:
        return "It stays off; use the others"
    return "Before it goes back on"


def moves_lines(answer: TripAnswer, style: Style) -> list[str]:
    """Return what to re-plug, or what to leave off."""
    said: list[str] = []
    if answer.is_second:
        said = _emptied(answer)
    elif answer.is_of_what_was_switched_on:
        said = [_suspect_stays_off(answer)]
    elif answer.move is not None:
        said = _with_move(answer, answer.move)
    elif answer.shed is not None:
        said = _with_shed(answer)
    elif answer.limit is not None and answer.limit.kind is not Kind.LEAKAGE:
        said = [_nothing_to_move(answer), *_room_made(answer)]
    said = [*_walk_first(answer), *said]
    return style.entries(said)


def _emptied(answer: TripAnswer) -> list[str]:
    """Return what goes elsewhere, what cannot, and which outlet to try with a lamp first."""
    facts = answer.scene.facts
    said = []
    if answer.may_be_dead:
        which = row(answer.may_be_dead)
        dead = "it" if len(answer.may_be_dead) == 1 else "they"
        said.append(f"A lamp in {which} first: {dead} may be dead as well.")
    for move in answer.away:
        steps = "; ".join(_step_words(answer, step) for step in move.steps)
        said.append(f"Move {steps}.")
    if answer.stranded:
        left = row(
            [f"{unit_name(facts, p.load, p.unit)} at {at(facts, p)}" for p in answer.stranded]
        )
        verb, it = ("stays", "it") if len(answer.stranded) == 1 else ("stay", "them")
        said.append(f"{left} {verb} dark: no other outlet takes {it} as the rest stands.")
    said = said or ["Nothing of ours is on it: leave it off."]
    return [*said, *_later(answer), _or_the_same(answer)]


def _or_the_same(answer: TripAnswer) -> str:
    """Return what to do where the earlier entry is this very trip, typed once before."""
    last = answer.earlier[-1]
    return (
        f"Is log entry {last} this very trip, typed before, and nobody put it back on? Then note "
        f"--strike {last}, and ask again."
    )


def _later(answer: TripAnswer) -> list[str]:
    """Return how to plan the set-ups after this one without what stays off."""
    limit, later = answer.limit, answer.scene.remaining[1:]
    if limit is None or not later or limit.kind not in _MAY_STAY_OFF:
        return []
    return [f"Later set-ups: replan --from {quote(later[0])} --off {quote(limit.id)}."]


def _nothing_to_move(answer: TripAnswer) -> str:
    if answer.is_wired_only:
        return _WIRED_ONLY
    if answer.is_over:
        return _NOTHING_TO_TAKE_OFF
    match answer.causes[0].cause:
        case Cause.SERVICE_FUSE:
            return _LESS_BY_THEN
        case Cause.METER:
            return _CONTRACT_MAY_BE_LESS
        case Cause.RCBO | Cause.ARC_FAULT:
            return _BARE_TELLS
        case _:
            return _NOTHING_OF_OURS


def _room_made(answer: TripAnswer) -> list[str]:
    """Return what makes room for what was found and somebody cannot do without."""
    move = answer.room
    if move is None:
        return []
    left = tenths_down((move.after.cap - move.after.counted) / MILLI)
    words = _move_words(answer, move)
    return [f"What was found has to stay on? Make room first, {left} A of it: {words}."]


def _suspect_stays_off(answer: TripAnswer) -> str:
    what = answer.just or "what was just switched on"
    return (
        f"Nothing has to move. {first_up(what)} stays unplugged: a short in it opens "
        "the next breaker as well. Only what is known for its inrush may be tried again, last and "
        "alone, once."
    )


def _walk_first(answer: TripAnswer) -> list[str]:
    """Return where to look for what is not in the plan, unless the first line said so already."""
    limit, found = answer.limit, answer.intruder
    if answer.is_of_what_was_switched_on:
        return []
    if limit is None or limit.kind not in (Kind.CIRCUIT, Kind.FEED) or answer.is_second:
        return []
    is_said = found is not None and (bool(found.named) or not answer.is_over)
    if is_said or (answer.move is None and answer.shed is None):
        return []
    name = limit_name(answer.scene.facts, limit)
    spared = "" if answer.is_over else " If something is found, nothing of ours has to move."
    return [f"Walk {name} first: what is not in the plan comes off.{spared}"]


def _with_move(answer: TripAnswer, move: Move) -> list[str]:
    words = _move_words(answer, move)
    is_spare = answer.intruder is not None and not answer.is_over
    said = [f"If nothing is found there: {words}" if is_spare else words]
    if answer.further is not None:
        line = move_line(answer.scene.facts, answer.further)
        said.append(f"Warm breakers open early: with time, also {first_down(line)}")
    if answer.plan_is_broken:
        is_now = answer.scene.setup in answer.plan_is_broken
        said.append(
            f"The plan itself still passes a limit in {setup_names(answer.plan_is_broken)}: "
            f"replan {'as soon as you can' if is_now else 'before then'}."
        )
    return said


def _with_shed(answer: TripAnswer) -> list[str]:
    off, limit = answer.shed, answer.limit
    if off is None or limit is None:
        return []
    why = (
        f"No re-plugging lowers the whole house's {'amps' if limit.is_amps else 'watts'}."
        if limit.kind is Kind.CONTRACT
        else "No plug, and no pair of plugs, clears it."
    )
    words = shed_words(answer.scene.facts, off)
    is_spare = answer.intruder is not None and not answer.is_over
    spare = "If nothing is found there: " if is_spare else ""
    said = [f"{why} {spare}{words if is_spare else first_up(words)}: leaves {off.used_pct} %."]
    if not off.is_enough:
        said.append("That is not enough: the rest is not ours to switch off; ask whose it is.")
    return said


def _move_words(answer: TripAnswer, move: Move) -> str:
    steps = "; ".join(_step_words(answer, step) for step in move.steps)
    if all(step.is_proven for step in move.steps):
        sure = "proven circuit"
    elif move.is_proven:
        sure = "holds whichever circuit that is"
    else:
        sure = f"the wiring is a guess: {max(round(move.risk * 100), 1)} of 100 wirings still trip"
    return f"{steps}: leaves {move.used_pct} %; {sure}"


def _step_words(answer: TripAnswer, step: Step) -> str:
    facts = answer.scene.facts
    lead = "" if step.to.lead is None else f" on a {facts.leads[step.to.lead].name} lead"
    lies = " (the one lying there)" if lead and not step.has_new_lead else ""
    board = ", on the power board there" if step.to.board is not None else ""
    wait = f", {step.cool_down_min} min dark" if step.cool_down_min else ""
    shot = ", in shot" if step.is_in_shot else ""
    stay = f", for {setup_names(step.setups)}" if len(answer.scene.remaining) > 1 else ""
    name = unit_name(facts, step.unit.load, step.unit.unit)
    return f"{name} to {at(facts, step.to)}{lead}{lies}{board}{wait}{shot}{stay}"


def back_lines(answer: TripAnswer, style: Style) -> list[str]:
    """Return how to bring it back, and in which order to switch on again."""
    back, top = answer.back, answer.causes[0] if answer.causes else None
    is_left_off = answer.is_second or answer.is_wired_only
    if back is None or top is None or is_left_off or top.cause in _NEVER_BY_US:
        return []
    if answer.alone is not None:
        return _lone_plug_back(answer, answer.alone, style)
    facts = answer.scene.facts
    is_all = back.limit is None or back.limit.kind in (Kind.CONTRACT, Kind.PHASE)
    named = "everything" if is_all or back.limit is None else limit_name(facts, back.limit)
    names = row([named, *(limit_name(facts, circuit_limit(answer.scene, c)) for c in back.tied)])
    what = "everything" if is_all else f"all on {names}"
    if top.cause is Cause.ITEM:
        return [style.wrap(_WAYS[top.cause].capitalize() + ".", first="  ", rest="  ")]
    lines = [f"Switch {what} off; {_WAYS.get(top.cause, _ONCE)}."]
    if back.tied:
        # NEC 210.4(B) ties them; older boards may not, and both go off by hand all the same.
        shared = f"{names} share a neutral"
        handles = "their handles are tied, or ought to be, and go off and on together"
        fuse = "a fuse has no handle that ties them, so tell whoever fits the new one"
        lines.insert(0, f"{shared}: {fuse if top.cause is Cause.FUSE else handles}.")
    if back.order:
        in_turn = groupby(back.order, key=lambda p: p.load)
        order = ", ".join(units_name(facts, load, [p.unit for p in on]) for load, on in in_turn)
        wait = f" Discharge last, cool: {back.cool_down_min} min." if back.cool_down_min else ""
        lines.append(f"{order}.{wait} Read amps, hold a minute.")
    return [style.wrap(text, first="  ", rest="  ") for text in lines]


def _lone_plug_back(answer: TripAnswer, alone: Placement, style: Style) -> list[str]:
    cool_min = answer.scene.facts.loads[alone.load].replug_cost - 1
    wait = f" Cool first: {cool_min} min." if cool_min else ""
    text = f"{_WAYS[Cause.PLUG_FUSE].capitalize()}; plug in, switch on.{wait}"
    return [style.wrap(text, first="  ", rest="  ")]
