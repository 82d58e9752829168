"""The answer to “why not there?” as text and as data."""

from typing import Any

from spreadload.explain.why_not import Why, WhyNot
from spreadload.report.data import elsewhere_data
from spreadload.report.headed import VERSION
from spreadload.report.style import Style


def why_text(answers: tuple[WhyNot, ...], held_against: str, style: Style) -> str:
    """Return one answer per set-up, each with its price goal by goal.

    Args:
        answers: One per set-up that asks for the load.
        held_against: The plan the prices are held against, in a few words.
        style: How to set text.
    """
    if not answers:
        none = style.wrap(f"There is no plan to hold it against. {held_against}.", rest="  ")
        return style.strong(none)
    lines: list[str] = []
    for why in answers:
        lines.append(style.strong(style.wrap(why.text, rest="  ")))
        if why.says is not Why.IS_THERE and why.now_at:
            lines.append(style.wrap(f"In the plan it is at {', '.join(why.now_at)}.", first="  "))
    lines += ["", style.faint(style.wrap(f"Held against {held_against}.", rest="  "))]
    return "\n".join(lines)


def why_data(answers: tuple[WhyNot, ...], held_against: str) -> dict[str, Any]:
    """Return the same as data."""
    return {
        "format": "spreadload why answer",
        "version": VERSION,
        "held_against": held_against,
        "answers": [_one(why) for why in answers],
    }


def _one(why: WhyNot) -> dict[str, Any]:
    return {
        "setup": why.setup,
        "load": why.load,
        "outlet": why.outlet,
        "answer": why.says.value,
        "text": why.text,
        "now_at": list(why.now_at),
        "alone": elsewhere_data(why.alone),
        "costs": [
            {"goal": c.goal, "plan": c.before, "forced": c.after, "text": c.text} for c in why.costs
        ],
        "forced_plan": None if why.forced is None else why.forced[0].model_dump(mode="json"),
    }
