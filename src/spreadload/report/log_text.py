"""The log as text: what was noted, what each entry taught, what is struck out or in dispute."""

from collections.abc import Mapping, Sequence
from math import floor
from typing import TYPE_CHECKING, Any

from spreadload.job.observations import UNREADABLE, Log, Observation, Seen
from spreadload.report.style import Style
from spreadload.wiring.taught import Taught
from spreadload.words import row

if TYPE_CHECKING:
    from spreadload.io.log_file import LoadedLog

_SHOWN = 8
_NEARLY_ALL = 99.95
_HARDLY_ANY = 0.05


def noted_text(
    entries: Sequence[tuple[int, Observation]],
    log: Log,
    lessons: Mapping[int, Taught],
    clashes: Sequence[str],
    style: Style,
    *,
    is_written: bool,
    was_there: int = 0,
) -> str:
    """Return what came of noting something in a log as it now stands."""
    if not is_written:
        lines = [style.strong(style.wrap("Not noted: it cannot all be true."))]
        lines += style.entries(clashes)
        lines.append(
            style.wrap(
                "If you are sure, note it with --keep: then none of these counts until one is "
                "struck out.",
                first="  ",
                rest="  ",
            )
        )
        return "\n".join(lines)
    lines = []
    for number, entry in entries:
        lines.append(style.strong(style.wrap(_noted_words(number, entry, log))))
        if number in lessons:
            lines.append(style.wrap(lesson_words(lessons[number]), first="  ", rest="  "))
    if was_there or not entries:
        said = "Nothing new" if not entries else "The rest"
        entries_were = "1 entry was" if was_there == 1 else f"{was_there} entries were"
        lines.append(f"{said}: {entries_were} there already")
    for text in clashes:
        lines.append(style.wrap(f"In dispute, set aside until settled: {text}", rest="  "))
    return "\n".join(lines)


def log_text(loaded: "LoadedLog", lessons: Mapping[int, Taught], style: Style) -> str:
    """Return every entry with what it taught."""
    log = loaded.log
    if not log.numbered:
        return "Nothing noted yet"
    doubted = {n for n, o in loaded.settled.log.numbered if o.in_doubt}
    lines = []
    for number, entry in log.numbered:
        if entry == UNREADABLE:
            lines.append(f"{number:>3}  [{entry.note}]")
            continue
        state = "struck out" if number in log.struck else "in dispute" if number in doubted else ""
        said = f"{number:>3}  {entry_words(entry)}" + (f"  [{state}]" if state else "")
        lines.append(style.wrap(said, rest="     "))
        if number in lessons and not state:
            lines.append(style.wrap(lesson_words(lessons[number]), first="     ", rest="     "))
    disputes = [style.entry(f"{dispute}") for dispute in loaded.settled.disputes]
    return "\n".join([*lines, *style.section("In dispute", disputes)])


def entry_words(entry: Observation) -> str:
    """Return an entry in one line, as somebody might have typed it."""
    said = [entry.what.value]
    match entry.what:
        case Seen.RCD:
            said.append(str(entry.rcd))
        case Seen.LOAD_STEP:
            said.append(
                f"at {entry.loaded}, read {entry.read}: {entry.idle_v:g} to {entry.loaded_v:g} V, "
                f"supply {entry.supply_drop_v:g} V"
            )
        case _:
            said.append(row(entry.circuits))
    if entry.hours is not None:
        said.append(f"{entry.hours:g} h")
    parts = [f"{o} {a:g} A" for o, a in entry.loads_a.items()]
    parts += [f"dark {' '.join(entry.dark)}"] if entry.dark else []
    parts += [f"lit {' '.join(entry.still_on)}"] if entry.still_on else []
    by = ", ".join(p for p in (entry.who, entry.when, entry.how) if p)
    text = " ".join(said) + (f": {', '.join(parts)}" if parts else "")
    return text + (f" ({by})" if by else "")


def lesson_words(lesson: Taught) -> str:
    """Return what an entry taught in one sentence."""
    said = []
    by_circuit: dict[str, list[str]] = {}
    for outlet, circuit in lesson.found.items():
        by_circuit.setdefault(circuit, []).append(outlet)
    for circuit, outlets in by_circuit.items():
        said.append(f"{row(outlets)} on {circuit}")
    narrowed = list(lesson.narrowed.items())
    said += [f"{o} on {row(left, 'or')}" for o, left in narrowed[:_SHOWN]]
    if len(narrowed) > _SHOWN:
        said.append(f"{len(narrowed) - _SHOWN} more outlets narrowed")
    if lesson.is_soft:
        said.append("makes some wirings likelier, rules none out")
    else:
        said.append(_ruled_out(lesson.ruled_out_pct))
    return f"Taught: {'; '.join(said)}"


def _ruled_out(pct: float) -> str:
    if pct > _NEARLY_ALL:
        return "rules out nearly every way this house was thought to be wired: look again"
    if pct < _HARDLY_ANY:
        return "confirms what was known"
    return f"rules out {max(floor(pct), 1)} of 100 ways this house could be wired"


def _noted_words(number: int, entry: Observation, log: Log) -> str:
    """Return what was noted; for what strikes out an earlier entry, which one that was."""
    if entry.what is not Seen.STRIKE:
        return f"Noted as {number}: {entry_words(entry)}"
    same = [n for n, other in log.numbered if other.key == entry.strikes]
    # Of several alike the last one to be set aside; from another log it may set nothing aside.
    struck = max((n for n in same if n in log.struck), default=0)
    if not struck:
        return f"Noted as {number}: an entry that is not in this log is struck out"
    return f"Struck out {struck}: {entry_words(log.observations[struck - 1])}"


def noted_data(
    entries: Sequence[tuple[int, Observation]],
    lessons: Mapping[int, Taught],
    clashes: Sequence[str],
    *,
    is_written: bool,
) -> dict[str, Any]:
    """Return what came of noting something as data."""
    return {
        "written": is_written,
        "clashes": list(clashes),
        "entries": [_entry_data(n, o, lessons.get(n)) for n, o in entries],
    }


def log_data(loaded: "LoadedLog", lessons: Mapping[int, Taught]) -> dict[str, Any]:
    """Return every entry with what it taught as data."""
    doubted = {n for n, o in loaded.settled.log.numbered if o.in_doubt}
    entries = [
        _entry_data(n, o, lessons.get(n))
        | {"struck": n in loaded.log.struck, "in_doubt": n in doubted}
        for n, o in loaded.log.numbered
    ]
    return {"entries": entries, "disputes": [str(d) for d in loaded.settled.disputes]}


def _entry_data(number: int, entry: Observation, lesson: Taught | None) -> dict[str, Any]:
    stated = entry.model_dump(mode="json", exclude_defaults=True, exclude={"in_doubt", "struck"})
    told: dict[str, Any] = {"number": number, "key": entry.key, "entry": stated}
    if lesson is not None:
        told |= {
            "found": dict(lesson.found),
            "narrowed": {o: list(left) for o, left in lesson.narrowed.items()},
            "ruled_out_pct": round(lesson.ruled_out_pct, 2),
        }
    return told
