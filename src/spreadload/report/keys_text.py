"""What a job file may say, as text. Imports ``explain``."""

from collections.abc import Iterable

from spreadload.explain.job_keys import Key, Section
from spreadload.report.style import Style

_FORMS = {
    "one group": "one group of keys",
    "by id": "one group of keys for each id",
    "list": "a list, one group of keys for each entry",
    "list, of plain text too": "a list, a line of text or one group of keys for each entry",
}
_LEGEND = "`!` has to be stated, `>` is a section of its own: `spreadload keys NAME` shows it."


def section_text(section: Section, style: Style) -> str:
    """Return one section with all its keys."""
    title = section.path or "job.yaml"
    about = f": {section.meaning}" if section.meaning else ""
    lines = [style.strong(style.wrap(f"{title}{about}", rest="  "))]
    lines.append(style.wrap(f"Written as {_FORMS[section.form]}.", first="  ", rest="  "))
    lines.append("")
    for key in section.keys:
        lines += _key_lines(key, style)
    lines += ["", style.faint(style.wrap(_LEGEND))]
    return "\n".join(lines) + "\n"


def found_text(found: Iterable[tuple[Section, Key]], style: Style) -> str:
    """Return one key in every section that has it."""
    lines = []
    for section, key in found:
        lines.append(style.strong(section.path or "job.yaml"))
        lines += _key_lines(key, style)
    return "\n".join(lines) + "\n"


def _key_lines(key: Key, style: Style) -> list[str]:
    mark = "!" if key.is_required else ">" if key.section else " "
    default = f"; {key.default} if left out" if key.default else ""
    return [
        style.wrap(f"{mark} {style.strong(key.name)}: {key.kind}{default}", rest="      "),
        style.wrap(key.meaning, first="      ", rest="      "),
    ]
