"""Which circuits an answer took for granted where nobody traced the outlets, in one sentence."""

from collections import defaultdict
from collections.abc import Mapping

from spreadload.report.style import Style
from spreadload.words import row


def untraced_lines(taken: Mapping[str, str], style: Style, more: str = "") -> list[str]:
    """Return what an answer rests on, or nothing where every outlet in use is traced.

    Args:
        taken: The circuit taken for each outlet of which nobody knows it.
        style: How to set text.
        more: What else a reader should know who holds it against another answer.
    """
    if not taken:
        return []
    on: dict[str, list[str]] = defaultdict(list)
    for outlet, circuit in taken.items():
        on[circuit].append(outlet)
    each = "; ".join(f"{row(outlets)} on {circuit}" for circuit, outlets in on.items())
    said = f"Not traced, taken as is likeliest: {each}. `plan` says how often that may be wrong."
    return [style.wrap(f"{said} {more}".rstrip(), rest="  ")]
