"""The order of switching on and of changing over, as plain text for a terminal."""

from collections.abc import Mapping

from spreadload.on_the_day.volts.turnaround import Do, Step, Turn
from spreadload.report.style import Style
from spreadload.report.untraced import untraced_lines
from spreadload.words import setup_name, setup_names

_LEAST_WAIT_S = 5.0
_MINUTE_S = 60.0


def turn_text(
    turns: tuple[Turn, ...],
    style: Style,
    *,
    setup: str | None = None,
    taken: Mapping[str, str] | None = None,
) -> str:
    """Return every change-over as a numbered list.

    Args:
        turns: What was worked out.
        style: How to set text.
        setup: Show the way into this set-up only.
        taken: The likeliest circuit of each outlet of which nobody knows it.
    """
    shown = [turn for turn in turns if setup in (None, turn.after)]
    lines = [style.strong(style.wrap(answer_words(tuple(shown)), rest="  "))]
    lines += untraced_lines(taken or {}, style)
    for turn in shown:
        lines += style.section(_title(turn), _turn(turn, style))
    return "\n".join(lines)


def _title(turn: Turn) -> str:
    if not turn.before:
        return f"Into {setup_name(turn.after)}, from dark"
    return f"{setup_name(turn.before, starts=True)} to {setup_name(turn.after)}"


def answer_words(turns: tuple[Turn, ...]) -> str:
    """Return whether the orders below pass any limit."""
    bad = [turn for turn in turns if not turn.is_safe]
    if not bad:
        return (
            "One thing at a time in this order, no limit is passed and no breaker comes near its "
            "instantaneous band."
        )
    names = setup_names(turn.after for turn in bad)
    said = f"Into {names} some step may open a breaker even in the best order; see the marks."
    if not any(step.warnings for turn in bad for step in turn.steps):
        return said
    return (
        f"{said} No other order helps there: bring a marked head up slowly on a dimmer that takes "
        "it, or strike it on a circuit of larger or slower breaker."
    )


def _turn(turn: Turn, style: Style) -> list[str]:
    lines = []
    for number, step in enumerate(turn.steps, 1):
        text = _step(step)
        lines.append(style.wrap(text, first=f"{number:>4}  ", rest="      "))
        lines += [
            style.wrap(f"! {warning}", first="      ", rest="        ")
            for warning in (*step.warnings, *step.passes)
        ]
    if not turn.steps:
        lines.append("  nothing changes")
    if turn.stays:
        lines.append(style.entry(f"stays lit: {'; '.join(turn.stays)}"))
    return lines


def _step(step: Step) -> str:
    place = f", {step.place}" if step.place else ""
    if step.do is Do.KILL:
        return f"kill    {step.what}{place} (off {step.point})"
    if step.do is Do.MOVE:
        wait = f"; it must stay dark for {step.not_before_min} min" if step.not_before_min else ""
        return f"move    {step.what}{place}, to {step.point}{wait}"
    after = (
        f", not before {step.not_before_min} min after it was killed" if step.not_before_min else ""
    )
    wait = f"; then wait {_wait(step.wait_s)}" if step.wait_s > _LEAST_WAIT_S else ""
    return f"strike  {step.what}{place} at {step.point}{after}{wait}"


def _wait(seconds: float) -> str:
    if seconds < _MINUTE_S:
        return f"{seconds:.0f} s"
    return f"{seconds / _MINUTE_S:.0f} min for it to run up"


def turn_data(turns: tuple[Turn, ...]) -> dict[str, object]:
    """Return every change-over as data."""
    return {
        "safe": all(turn.is_safe for turn in turns),
        "turns": [
            {
                "before": turn.before,
                "after": turn.after,
                "stays": list(turn.stays),
                "steps": [
                    {
                        "do": step.do.value,
                        "load": step.load,
                        "what": step.what,
                        "outlet": step.point,
                        "place": step.place,
                        "not_before_min": step.not_before_min,
                        "wait_s": step.wait_s,
                        "warnings": list(step.warnings),
                        "passes": list(step.passes),
                    }
                    for step in turn.steps
                ],
            }
            for turn in turns
        ],
    }
