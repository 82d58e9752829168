"""Which test to make before the day, as text: the answer first, then the others, then a session."""

from typing import Any

from spreadload.check.words import in_100
from spreadload.report.headed import headed
from spreadload.report.session_text import session_data, session_line, session_text
from spreadload.report.style import Style
from spreadload.report.trace_answer import TraceAnswer, TraceSays
from spreadload.report.trial_words import (
    lamp_words,
    note_line,
    short_words,
    steps_of,
    trial_words,
)
from spreadload.solver.tracing.worth import WORTH, Tracing, Worth
from spreadload.units import FULL_PCT
from spreadload.wiring.trials import TrialKind
from spreadload.words import first_up, row

_SHOWN = 6
_LEAST_SHOWN = 0.0005
_HALF = 0.5
_SAFE = (
    "Nobody opens a board or takes a cover off: breakers and buttons only, with the owner's leave, "
    "and a licensed electrician for anything behind a cover."
)
_ASK_FIRST = (
    "Photograph the board and its card; labels are free.",
    "Ask: what has tripped, and what went dark? A memory is a test already made.",
    "Ask: has anyone added or moved wiring?",
    "Ask: what must never lose power, and for how long may it? Which clocks need resetting?",
)


def trace_text(answer: TraceAnswer, style: Style) -> str:
    """Return what each test is worth and which one to make."""
    lines = [style.strong(style.wrap(headline(answer)))]
    lines += style.entries([str(d) for d in answer.disputes[1:]])
    tracing = answer.tracing
    if tracing is None or answer.says is TraceSays.NO_PLAN:
        return "\n".join(lines)
    best = tracing.best
    lines += style.entries(_second_lines(answer, tracing))
    if best is not None:
        steps = steps_of(best.trial, best.disturbance, answer.facts)
        lines += style.section("How", style.entries(steps))
    lines += style.section("What each test is worth", _table(answer, tracing, style))
    asked = style.entries([*_ASK_FIRST, *_about(tracing)])
    lines += style.section("Ask first; no switching", asked)
    if tracing.session is not None and answer.with_session:
        lines += session_text(tracing.session, style)
    elif answer.with_session:
        lines += style.section("Trace all of it in one go", style.entries([_NO_SESSION]))
    elif tracing.session is not None and best is not None:
        lines += style.section(*session_line(tracing.session, style))
    return "\n".join([*lines, *style.section("Take care", style.entries([_SAFE]))])


_NO_SESSION = (
    "Not by the leave given: no breaker may be switched, so circuits are told apart by what the "
    "tests above show. Ask the owner what may go off, and for how long."
)


def headline(answer: TraceAnswer) -> str:
    """Return the answer in one line."""
    tracing = answer.tracing
    if answer.says is TraceSays.SETTLE:
        return f"Settle this first: {answer.disputes[0]}"
    if tracing is None:
        return answer.why_not
    now = in_100(tracing.now * FULL_PCT)
    if answer.says is TraceSays.NO_PLAN:
        return "No test helps: every plan trips, however this house is wired; see plan and offers."
    if answer.says is TraceSays.PLAN_AGAIN and tracing.planned is not None:
        return (
            f"Plan again before you test: the plan in hand trips on "
            f"{in_100(tracing.planned * FULL_PCT)} ways this house could be wired, the best one on "
            f"{now}."
        )
    if tracing.best is None:
        return f"No test needed: the best plan trips on {now} ways this house could be wired."
    trial = tracing.best.trial
    words = trial_words(trial, answer.facts)
    after = in_100(tracing.best.after * FULL_PCT)
    return (
        f"{first_up(words)}: trips on {after} ways this house could be wired instead "
        f"of {now}, for {trial.minutes:.0f} min."
    )


def _second_lines(answer: TraceAnswer, tracing: Tracing) -> list[str]:
    said = []
    known = in_100(tracing.known * FULL_PCT)
    best = tracing.best
    if not tracing.now:
        said.append("It holds on every wiring looked at.")
    elif best is None and tracing.now - tracing.known < WORTH.value:
        said.append(f"Even the whole map would leave {known}: the plan is spread wide enough.")
    elif best is None:
        said.append(f"The whole map would leave {known}, but no single test gets near that.")
    else:
        said.append(f"The whole map would leave {known}.")
        said += _instead(tracing, best)
    if answer.known_lamps:
        known_ones = row(answer.known_lamps)
        said.append(f"No lamp needed in {known_ones}: the circuit is known.")
    if tracing.is_cut_short:
        said.append("Time ran out: the figures may be too high; give it longer with --time-limit.")
    if tracing.lost:
        many = "tests take" if tracing.lost > 1 else "test takes"
        said.append(f"{tracing.lost} more {many} longer than the minutes given.")
    return said


def _instead(tracing: Tracing, best: Worth) -> list[str]:
    """Return what a second test adds, and which outlet one could leave alone instead."""
    said = []
    if best.then is not None:
        trial, more = best.then
        verdict = "worth it too" if more >= WORTH.value else "hardly worth it"
        what = f"{row(trial.off)} off" if trial.rcd is None else trial.rcd
        said.append(f"A second one, {what}, is {verdict} ({more * FULL_PCT:.1f} in 100 less).")
    said += [
        f"Or leave {outlet} alone instead: {in_100(risk * FULL_PCT)}, no test at all."
        for outlet, risk in tracing.avoid.items()
        if risk <= best.after + WORTH.value * _HALF
    ]
    return said


def _about(tracing: Tracing) -> list[str]:
    """Return the outlets whose circuit the owner may remember."""
    outlets = [w.trial.lamps[0] for w in tracing.questions]
    return [f"Ask above all about {row(outlets)}: what trips when that does?"] if outlets else []


def _table(answer: TraceAnswer, tracing: Tracing, style: Style) -> list[str]:
    tests = [w for w in tracing.worths if w.trial.kind is not TrialKind.ASK]
    telling = [w for w in tests if w.gain >= _LEAST_SHOWN]
    lines = [_table_row(answer, w, style) for w in telling[:_SHOWN]]
    idle = [short_words(w.trial, answer.facts) for w in tests if w.gain < _LEAST_SHOWN]
    said = [f"Worth nothing here: {', '.join(dict.fromkeys(idle))}."] if idle else []
    if tracing.refused:
        names = dict.fromkeys(short_words(t, answer.facts) for t in tracing.refused)
        said.append(f"Not allowed by the leave given: {', '.join(names)}.")
    if tests:
        said.append(_basis(tracing))
    return lines + style.entries(said)


def _basis(tracing: Tracing) -> str:
    best_of = f"After each outcome the best of {tracing.plans} plans"
    if not tracing.noise:
        return f"{best_of}, all {tracing.maps} possible wirings counted."
    return (
        f"{best_of}, measured on {tracing.maps} wirings; less than "
        f"{tracing.noise * FULL_PCT:.1f} in 100 is chance."
    )


def _table_row(answer: TraceAnswer, worth: Worth, style: Style) -> str:
    parts = [trial_words(worth.trial, answer.facts), lamp_words(worth.trial)]
    return style.wrap(
        f"{worth.gain * FULL_PCT:>4.1f} in 100 less  {worth.trial.minutes:>2.0f} min  "
        f"{'; '.join(part for part in parts if part)}",
        first="  ",
        rest=" " * 26,
    )


def trace_data(answer: TraceAnswer) -> dict[str, Any]:
    """Return the answer as data; the shape is told in README.md."""
    tracing = answer.tracing
    said = {
        "answer": answer.says.value,
        "text": headline(answer),
        "contradicts": [str(d) for d in answer.disputes],
        "tests": [],
        "session": None,
    }
    data = headed("trace", said)
    if tracing is None:
        return data
    return data | {
        "now_pct": _pct(tracing.now),
        "planned_pct": None if tracing.planned is None else _pct(tracing.planned),
        "whole_map_pct": _pct(tracing.known),
        "wirings": tracing.maps,
        "plans": tracing.plans,
        "cut_short": tracing.is_cut_short,
        "next": None if tracing.best is None else _worth_data(tracing.best),
        "tests": [_worth_data(w) for w in tracing.worths],
        "refused": [
            {"kind": t.kind.value, "off": list(t.off), "rcd": t.rcd} for t in tracing.refused
        ],
        "leave_alone": {o: _pct(risk) for o, risk in tracing.avoid.items()},
        "session": None if tracing.session is None else session_data(tracing.session),
    }


def _worth_data(worth: Worth) -> dict[str, Any]:
    trial = worth.trial
    return {
        "kind": trial.kind.value,
        "off": list(trial.off),
        "rcd": trial.rcd,
        "lamps": list(trial.lamps),
        "minutes": round(trial.minutes, 1),
        "after_pct": _pct(worth.after),
        "gain_pct": _pct(worth.gain),
        "ask_leave": list(worth.disturbance.ask_leave),
        "shut_down": list(worth.disturbance.shut_down),
        "dark_minutes": round(worth.disturbance.dark_min, 1),
        "note": note_line(trial),
    }


def _pct(share: float) -> float:
    return round(share * FULL_PCT, 3)
