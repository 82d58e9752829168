"""What to do after a trip, readable in the dark: the radio line, then people, then the rest."""

from math import inf
from typing import Any

from spreadload import practice
from spreadload.explain.names import point_name, row, unit_name, units_name
from spreadload.on_the_day.bring_back import BringBack
from spreadload.on_the_day.lines import (
    band_words,
    board_name,
    device_words,
    move_line,
    radio_line,
)
from spreadload.on_the_day.replug import Move
from spreadload.on_the_day.scene import Scene
from spreadload.on_the_day.trip import TripAnswer
from spreadload.plan import Placement
from spreadload.report.style import Style
from spreadload.units import MILLI, shown_amps, shown_capacity_amps, whole_milliamps

PEOPLE = (
    "People first: stand still, torches on. Anyone hurt, a tingle, smell, heat or buzzing: "
    "nobody resets anything."
)
_SHOWN = 3
_LEAST_SHARE = 0.02


def trip_text(answer: TripAnswer, style: Style, logged: str = "") -> str:
    """Return the answer as text for a terminal.

    Args:
        answer: What was worked out.
        style: How to set text.
        logged: What became of the log entry, in a sentence.
    """
    lines = [style.strong(style.wrap(radio_line(answer))), style.wrap(PEOPLE)]
    lines += style.section("What opened", _causes(answer, style))
    lines += _load(answer, style)
    lines += style.section(_moves_title(answer), _moves(answer, style))
    lines += style.section("Back on, in this order", _back(answer, style))
    lines += style.section("Learnt", _learnt(answer, style, logged))
    lines += style.section("Take care", _cautions(answer, style))
    return "\n".join(lines)


def _causes(answer: TripAnswer, style: Style) -> list[str]:
    facts = answer.scene.facts
    shown = [c for c in answer.causes[:_SHOWN] if c.share >= _LEAST_SHARE]
    return [
        style.wrap(
            f"{_share(cause.share)} {device_words(facts, cause)}: {cause.sign.sign}",
            first="  ",
            rest="     ",
        )
        for cause in shown
    ]


def _share(share: float) -> str:
    return f"{min(round(share * 100), 99) if share < 1 else 100:>3} in 100"


def _load(answer: TripAnswer, style: Style) -> list[str]:
    if answer.circuit is None:
        return _leakage(answer, style)
    scene, circuit = answer.scene, answer.circuit
    cap = shown_capacity_amps(scene.cap_ma(circuit) / MILLI)
    title = (
        f"On {board_name(scene.facts, circuit)} by the plan: {shown_amps(answer.planned_a)} of "
        f"{cap} A, {answer.used_pct} %"
    )
    each = [
        f"{_name(scene, p)} {shown_amps(scene.counted_ma(p) / MILLI)} at {_at(scene, p)}"
        for p in scene.on_circuit(circuit)
    ]
    lines = [style.wrap(", ".join(each) or "nothing", first="  ", rest="  ")]
    lines += [style.wrap(text, first="  ", rest="  ") for text in _clock(answer)]
    return style.section(title, lines)


def _clock(answer: TripAnswer) -> list[str]:
    said = []
    delay, intruder = answer.delay, answer.intruder
    if delay is not None:
        band = f"{delay.low:.1f} to {delay.high:.1f}" if delay.high < inf else f"{delay.low:.1f} up"
        tells = (
            "says nothing about the steady load"
            if delay.says_nothing
            else f"means {band} times its rating"
        )
        said.append(f"After {_duration(delay.seconds)}: {delay.words}; {tells}.")
    if intruder is not None and intruder.low_a > 0:
        said.append(
            f"{band_words(intruder)[:1].upper()}{band_words(intruder)[1:]} is on it that is not in "
            "the plan: look for a heater, kettle or dryer, not for a wrong plate."
        )
    if intruder is not None and intruder.named:
        said.append(f"The {intruder.named} is not in the plan there: unplug it first.")
    return said


def _leakage(answer: TripAnswer, style: Style) -> list[str]:
    found = answer.leaking
    if found is None:
        return []
    facts = answer.scene.facts
    title = (
        f"Behind {found.rcd} by the plan: {whole_milliamps(found.sum_ua)} mA standing leakage; "
        f"may open from {found.may_trip_ua // MILLI} mA"
    )
    each = [
        f"{_name(answer.scene, p)} {facts.loads[p.load].leakage_ua / MILLI:.1f} at "
        f"{_at(answer.scene, p)}"
        for p in found.suspects
    ]
    why = (
        "The sum alone explains it: move an electronic ballast to another RCD."
        if found.is_sum
        else "The sum does not explain it: one item is damp or faulty; newest first."
    )
    return style.section(
        title, [style.wrap(text, first="  ", rest="  ") for text in (", ".join(each), why)]
    )


def _moves_title(answer: TripAnswer) -> str:
    if answer.is_second:
        return "It stays off; use the others"
    return "Before the handle goes back up"


def _moves(answer: TripAnswer, style: Style) -> list[str]:
    said: list[str] = []
    if answer.is_second:
        said = [move_line(answer.scene.facts, move) for move in answer.away]
        said = said or ["Nothing on it can be moved: leave it dark."]
    elif answer.move is not None:
        said = [_move_words(answer, answer.move)]
        if answer.further is not None:
            said.append(
                f"Warm breakers open early: with time, also {_lower(answer, answer.further)}"
            )
        if answer.plan_is_broken:
            said.append(
                f"The plan itself still passes a limit in {row(answer.plan_is_broken)}: "
                "replan before then."
            )
    elif answer.circuit is not None and answer.shed is None:
        said = ["Nothing more has to move; take off what is not in the plan."]
    elif answer.shed is not None:
        said = ["No plug, and no pair of plugs, clears it."]
    return [style.wrap(text, first="  ", rest="    ") for text in said]


def _move_words(answer: TripAnswer, move: Move) -> str:
    facts = answer.scene.facts
    parts = []
    for step in move.steps:
        lead = "" if step.to.lead is None else f" on a {facts.leads[step.to.lead].name} lead"
        lies = " (the one lying there)" if lead and not step.has_new_lead else ""
        board = ", on the power board there" if step.to.board is not None else ""
        wait = f", {step.cool_down_min} min dark" if step.cool_down_min else ""
        stay = f", for {row(step.setups)}" if len(answer.scene.remaining) > 1 else ""
        parts.append(f"{_name(answer.scene, step.unit)} to {_at(answer.scene, step.to)}")
        parts[-1] += f"{lead}{lies}{board}{wait}{stay}"
    risk = (
        "proven circuit"
        if move.is_proven
        else f"the wiring there is a guess: {_fails(move.risk)} of 100 wirings still trip"
    )
    return f"{'; '.join(parts)}: leaves {move.used_pct} %; {risk}"


def _fails(risk: float) -> str:
    return f"{max(round(risk * 100), 1)}"


def _lower(answer: TripAnswer, move: Move) -> str:
    line = move_line(answer.scene.facts, move)
    return line[:1].lower() + line[1:]


def _back(answer: TripAnswer, style: Style) -> list[str]:
    back = answer.back
    if back is None or answer.is_second or not back.order:
        return []
    scene = answer.scene
    named = None if back.circuit is None else board_name(scene.facts, back.circuit)
    what = "everything" if named is None else f"all on {named}"
    first = f"Switch {what} off; handle fully off, then on, once."
    order = ", ".join(_grouped(scene, back))
    wait = f" Discharge last, cool: {back.cool_down_min} min." if back.cool_down_min else ""
    lines = [first, f"{order}.{wait} Read amps, hold a minute."]
    return [style.wrap(text, first="  ", rest="  ") for text in lines]


def _grouped(scene: Scene, back: BringBack) -> list[str]:
    found: dict[str, list[int]] = {}
    for p in back.order:
        found.setdefault(p.load, []).append(p.unit)
    return [units_name(scene.facts, load, units) for load, units in found.items()]


def _learnt(answer: TripAnswer, style: Style, logged: str) -> list[str]:
    said = []
    by_circuit: dict[str, list[str]] = {}
    for outlet, circuit in (answer.taught or {}).items():
        by_circuit.setdefault(circuit, []).append(outlet)
    for circuit, outlets in by_circuit.items():
        verb = "is" if len(outlets) == 1 else "are"
        said.append(f"{row(outlets)} {verb} on {board_name(answer.scene.facts, circuit)} for sure.")
    said += [f"{str(d)[:1].upper()}{str(d)[1:]}." for d in answer.disputes]
    said += [logged] if logged else []
    return [style.wrap(text, first="  ", rest="    ") for text in said]


def _cautions(answer: TripAnswer, style: Style) -> list[str]:
    rows = practice.cautions(answer.scene.facts.job.region)
    return [style.wrap(r.text, first="  ", rest="    ") for r in rows if r.when == "after a trip"]


def _name(scene: Scene, p: Placement) -> str:
    return unit_name(scene.facts, p.load, p.unit)


def _at(scene: Scene, p: Placement) -> str:
    return point_name(scene.facts.points[p.point])


def _duration(seconds: float) -> str:
    if seconds < 1:
        return "no time at all"
    if seconds < 60:  # noqa: PLR2004 - seconds in a minute
        return f"{seconds:.0f} s"
    minutes = seconds / 60
    return f"{minutes:.0f} min" if minutes < 60 else f"{minutes / 60:.2g} h"  # noqa: PLR2004


def trip_data(answer: TripAnswer) -> dict[str, Any]:
    """Return the answer as data."""
    facts = answer.scene.facts
    return {
        "say": radio_line(answer),
        "causes": [
            {
                "cause": c.cause.value,
                "device": c.device,
                "share": round(c.share, 4),
                "sign": c.sign.sign,
                "do": c.sign.do,
            }
            for c in answer.causes
        ],
        "circuit": answer.circuit,
        "second_trip": answer.is_second,
        "planned_a": answer.planned_a,
        "used_pct": answer.used_pct,
        "unseen_a": _unseen(answer),
        "move": None if answer.move is None else _move_data(answer.scene, answer.move),
        "further": None if answer.further is None else _move_data(answer.scene, answer.further),
        "leave_off": _shed_data(answer),
        "bring_back": [
            {"load": p.load, "unit": p.unit} for p in (answer.back.order if answer.back else ())
        ],
        "learnt": dict(answer.taught or {}),
        "contradicts": [str(d) for d in answer.disputes],
        "still_broken": list(answer.plan_is_broken),
        "region": facts.job.region,
    }


def _unseen(answer: TripAnswer) -> dict[str, float | str | None] | None:
    found = answer.intruder
    if found is None:
        return None
    high = None if found.high_a == inf else found.high_a
    return {"low_a": found.low_a, "high_a": high, "named": found.named}


def _shed_data(answer: TripAnswer) -> dict[str, Any] | None:
    found = answer.shed
    if found is None:
        return None
    return {
        "waits": [f"{p.load} {p.unit}" for p in found.waits],
        "dark": [f"{p.load} {p.unit}" for p in found.dark],
        "after_a": found.after_ma / MILLI,
    }


def _move_data(scene: Scene, move: Move) -> dict[str, Any]:
    return {
        "say": move_line(scene.facts, move),
        "steps": [
            {
                "load": s.unit.load,
                "unit": s.unit.unit,
                "from": s.unit.point,
                "to": s.to.point,
                "lead": s.to.lead,
                "setups": list(s.setups),
                "cool_down_min": s.cool_down_min,
            }
            for s in move.steps
        ],
        "circuit": move.circuit,
        "before_a": move.before_ma / MILLI,
        "after_a": move.after_ma / MILLI,
        "fails_pct": round(100 * move.risk, 2),
    }
