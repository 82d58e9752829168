"""What to do after a trip, readable in the dark: the radio line, then people, then the rest."""

from spreadload import practice
from spreadload.check.words import in_100
from spreadload.on_the_day.scene.limits import Kind
from spreadload.on_the_day.trip.causes import LEAST_TOLD
from spreadload.on_the_day.trip.diagnosis import TripAnswer
from spreadload.on_the_day.trip.lines import radio_line
from spreadload.on_the_day.trip.words import board_name, device_words
from spreadload.report.style import Style
from spreadload.report.trip_load_text import load_lines
from spreadload.report.trip_moves_text import back_lines, moves_lines, moves_title
from spreadload.units import FULL_PCT
from spreadload.wiring.settling import Dispute
from spreadload.words import first_down, row, setup_name

PEOPLE = (
    "People first: stand still, torches on. Anyone hurt, a tingle, smell, heat or buzzing: "
    "nobody resets anything."
)
_LOOK_AGAIN = "Hard to believe: look again before it goes back on"
_SHOWN = 3
# What opens these leaves the rest of the house as it was.
_OF_A_PART = frozenset({Kind.CIRCUIT, Kind.FEED, Kind.SOCKET, Kind.LEAKAGE})


def trip_text(
    answer: TripAnswer, style: Style, logged: str = "", *, is_setup_named: bool = True
) -> str:
    """Return the answer as text for a terminal.

    Args:
        answer: What was worked out.
        style: How to set text.
        logged: What became of the log entry, in a sentence.
        is_setup_named: Whether the crew said which set-up runs.
    """
    lines = [style.strong(style.wrap(radio_line(answer))), style.wrap(PEOPLE)]
    if answer.must_stay_on:
        lines.append(style.wrap(_precious(answer)))
    if not is_setup_named and len(answer.scene.facts.demands) > 1:
        lines.append(style.wrap(_taken(answer)))
    lines += style.section("What opened", _causes(answer, style))
    lines += load_lines(answer, style)
    lines += style.section(_LOOK_AGAIN, _odd(answer, style))
    lines += style.section(moves_title(answer), moves_lines(answer, style))
    lines += style.section("Back on, in this order", back_lines(answer, style))
    lines += style.section("Learnt", _learnt(answer, style, logged))
    lines += style.section("Take care", _cautions(answer, style))
    return "\n".join(lines)


def _precious(answer: TripAnswer) -> str:
    """Return what must stay on and may be dark, before anybody walks to the board."""
    named, it = answer.must_stay_on, "it" if len(answer.must_stay_on) == 1 else "them"
    said = f"Must stay on and may be dark: {row(named)}. See to {it} first"
    is_a_part = answer.limit is not None and answer.limit.kind in _OF_A_PART
    if not is_a_part:
        return f"{said}, and tell the owner."
    return f"{said}; if this takes long, run {it} from an outlet that is still lit."


def _taken(answer: TripAnswer) -> str:
    setup = answer.scene.setup
    others = row((each for each in answer.scene.facts.demands if each != setup), "or")
    said = f"Reckoned for {setup_name(setup)}, as no set-up was named"
    return f"{said}; if another runs: --setup {others}."


def _causes(answer: TripAnswer, style: Style) -> list[str]:
    facts = answer.scene.facts
    shown = [c for c in answer.causes[:_SHOWN] if c.share >= LEAST_TOLD]
    return [
        style.wrap(
            f"{_share(cause.share)} {device_words(facts, cause)}: {cause.sign.sign}",
            first="  ",
            rest="     ",
        )
        for cause in shown
    ]


def _share(share: float) -> str:
    # Only what nothing else fits is told as certain.
    whole = 100 if share == 1 else min(round(share * 100), 99)
    return f"{whole:>3} in 100"


def _learnt(answer: TripAnswer, style: Style, logged: str) -> list[str]:
    facts, learnt = answer.scene.facts, answer.learnt
    said = []
    by_circuit: dict[str, list[str]] = {}
    for outlet, circuit in learnt.found.items():
        by_circuit.setdefault(circuit, []).append(outlet)
    for circuit, outlets in by_circuit.items():
        verb = "is" if len(outlets) == 1 else "are"
        said.append(f"{row(outlets)} {verb} on {board_name(facts, circuit)} for sure.")
    said += _narrowed(answer)
    if learnt.ruled_out_pct >= 1 and not answer.disputes:
        share = round(learnt.ruled_out_pct)
        gone = f"{share} of 100" if share < FULL_PCT else "all but a few of the"
        said.append(f"It rules out {gone} ways this house could be wired.")
    said += [_dispute(answer, d) for d in answer.disputes]
    said += _known_of_misfits(answer)
    said += [logged] if logged else []
    return style.entries(said)


def _odd(answer: TripAnswer, style: Style) -> list[str]:
    """Return what was found and was unlikely until now, with the test that costs nothing."""
    facts, found = answer.scene.facts, answer.doubted[:_SHOWN]
    if not found:
        return []
    said = []
    for each in found:
        was = f"{each.outlet} {'dark' if each.is_dark else 'lit'}"
        if each.known_on:
            said.append(f"{was}: until now it was on {board_name(facts, each.known_on)}.")
        else:
            said.append(f"{was}: until now that was so on {in_100(100 * each.chance)} wirings.")
    lamps = row([each.outlet for each in found])
    said.append(f"A lamp in {lamps} now, while it is down, settles it and costs nothing.")
    return style.entries(said)


def _dispute(answer: TripAnswer, dispute: Dispute) -> str:
    """Return what cannot all be true, this trip by that name and not by a number to come."""
    own = f"log entry {answer.number}:"
    names = [
        "this trip" if fact.name.startswith(own) else fact.name for fact in dispute.clash.facts
    ]
    said = f"Cannot all be true: {' clashes with '.join(names)}"
    if answer.number not in dispute.set_aside:
        return f"{said}; the trip is believed. {dispute.repeat}."
    others = [f"log entry {n}" for n in dispute.set_aside if n != answer.number]
    aside = row(["this trip", *others])
    later = f"Once it is back on, {first_down(dispute.repeat)}."
    return f"{said}. Until it is settled {aside} will not count. {later}"


def _known_of_misfits(answer: TripAnswer) -> list[str]:
    """Return where the outlets that do not fit together are known to be."""
    facts = answer.scene.facts
    known = {
        o: chances for o in answer.misfits if len(chances := answer.scene.maps.chances(o)) == 1
    }
    said = [f"{o} on {board_name(facts, next(iter(chances)))}" for o, chances in known.items()]
    return [f"Known until now: {row(said)}."] if said else []


def _narrowed(answer: TripAnswer) -> list[str]:
    """Return what outlets are not on, or the few circuits they are still on, the shorter."""
    facts, learnt = answer.scene.facts, answer.learnt
    alike: dict[tuple[bool, tuple[str, ...]], list[str]] = {}
    for outlet, left in learnt.narrowed.items():
        gone = learnt.gone[outlet]
        is_gone = len(gone) < len(left)
        alike.setdefault((is_gone, gone if is_gone else left), []).append(outlet)
    said = []
    for (is_gone, circuits), outlets in alike.items():
        verb = ("is" if len(outlets) == 1 else "are") + (" not on" if is_gone else " on")
        names = row([board_name(facts, c) for c in circuits], "or")
        said.append(f"{row(outlets)} {verb} {names}.")
    return said


def _cautions(answer: TripAnswer, style: Style) -> list[str]:
    rows = practice.cautions(answer.scene.facts.job.region)
    return [style.entry(r.text) for r in rows if r.when == "after a trip"]
