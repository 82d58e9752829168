"""Slips that tear one statement into several entries: put together again, with one fault for each.

Brackets of another kind around a position, a comma left out of one, and a whole section that is not
indented below its heading. Imports only its neighbours and ``errors``.
"""

import re
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from spreadload.errors import Fault
from spreadload.io.cures import split
from spreadload.io.shape import Kind, bare, fields, is_model, kind, options
from spreadload.io.source import Entry, Source, group, row, shown

_POSITION = re.compile(r"(board_)?at(_ft)?")
_FIRST, _SECOND = re.compile(r"\(?[-+]?[\d.]+"), re.compile(r"[-+]?[\d.]+\)?")
_TWO_NUMBERS = re.compile(r"[-+]?\d+(\.\d+)?[\s;/]+[-+]?\d+(\.\d+)?")
_INDENT = "start them two blanks further in than their heading"


def mended(source: Source, model: Any) -> tuple[Source, tuple[Fault, ...]]:  # noqa: ANN401
    """Return a source with what was torn apart put together, and a fault for each place."""
    faults: list[Fault] = []
    root = _outdented(source.root, model, faults)
    root = _indented(root, model, faults)
    root = _positions(root, "", faults)
    return (replace(source, root=root) if faults else source), tuple(faults)


def _outdented(root: Entry, model: Any, faults: list[Fault]) -> Entry:  # noqa: ANN401
    """Put a heading that stands among the names of a section beside it, with what follows."""
    known = fields(model)
    if not isinstance(root.value, dict):
        return root
    children: dict[str, Entry] = {}
    for name, section in root.value.items():
        children[name] = section
        if not isinstance(section.value, dict) or name not in known or _models(known[name]):
            continue
        at, kept = name, dict[str, Entry]()
        for key, child in section.value.items():
            is_heading = child.is_blank and key in known and key not in root.value
            if is_heading and Kind.GROUP in _kinds(known[key]):
                children[at] = group(children[at].place, kept)
                problem = f"this heading stands below `{name}`, as if it were one of its entries"
                remedy = f"start it in the same column as `{name}`"
                where = child.place
                faults.append(Fault(where.file, where.line, shown(key), problem, remedy=remedy))
                children[key], at, kept = child, key, {}
            else:
                kept[key] = child
        if at != name:
            children[at] = group(children[at].place, kept)
    return group(root.place, children) if faults else root


def _models(annotation: Any) -> list[Any]:  # noqa: ANN401
    return [model for option in options(annotation) if is_model(model := bare(option))]


def _kinds(annotation: Any) -> set[Kind]:  # noqa: ANN401
    return {kind(option) for option in options(annotation)}


def _indented(root: Entry, model: Any, faults: list[Fault]) -> Entry:  # noqa: ANN401
    """Put entries that stand beside an empty heading below it."""
    known = fields(model)
    if not isinstance(root.value, dict):
        return root
    children: dict[str, Entry] = {}
    heading = ""
    for key, child in root.value.items():
        if key in known or not heading or not _is_of(heading, known, key, child):
            is_heading = child.is_blank and key in known and Kind.GROUP in _kinds(known[key])
            heading = key if is_heading else ""
            children[key] = child
            continue
        place, below = children[heading].place, children[heading].value
        if not isinstance(below, dict):
            problem = f"this stands beside `{heading}`, not below it, and what follows does so too"
            where = child.place
            faults.append(Fault(where.file, where.line, shown(key), problem, remedy=_INDENT))
            below = {}
        children[heading] = group(place, {**below, key: child})
    return group(root.place, children) if faults else root


def _is_of(heading: str, known: dict[str, Any], key: str, child: Entry) -> bool:
    """Whether an entry beside an empty heading is one that belongs below it."""
    if models := _models(known[heading]):
        return any(key in fields(model) for model in models)
    return isinstance(child.value, dict) or child.is_blank


def _positions(entry: Entry, key: str, faults: list[Fault], above: str = "") -> Entry:
    """Put positions in round brackets, or without a comma, together again."""
    path = f"{above}.{shown(key)}" if above else shown(key)
    if isinstance(entry.value, tuple):
        if _POSITION.fullmatch(key) and len(entry.value) == 1 and _is_two(entry.value[0]):
            faults.append(_fault(path, entry, entry.value[0].raw))
            return split(entry.value[0])
        items = [_positions(child, f"{n}", faults, path) for n, child in enumerate(entry.value, 1)]
        return row(entry.place, items)
    if not isinstance(entry.value, dict):
        return entry
    children = {}
    for name, child, text in _joined(entry.value):
        if text:
            where = f"{path}.{name}" if path else name
            faults.append(_fault(where, child, text))
        children[name] = split(replace(child, raw=text)) if text else child
    return group(
        entry.place, {n: _positions(child, n, faults, path) for n, child in children.items()}
    )


def _joined(children: dict[str, Entry]) -> Iterator[tuple[str, Entry, str]]:
    """Yield the entries of a group; with the whole text of one torn apart at a comma, else ""."""
    each = iter(children.items())
    for name, child in each:
        if not (_POSITION.fullmatch(name) and _FIRST.fullmatch(child.raw)):
            yield name, child, ""
            continue
        rest, other = next(each, ("", child))
        if _SECOND.fullmatch(rest) and other.is_blank:
            yield name, child, f"{child.raw}, {rest}"
        else:
            yield name, child, ""
            if rest:
                yield rest, other, ""


def _is_two(entry: Entry) -> bool:
    return isinstance(entry.value, str) and bool(_TWO_NUMBERS.fullmatch(entry.raw))


def _fault(key: str, entry: Entry, text: str) -> Fault:
    numbers = re.findall(r"[-+]?\d+(?:\.\d+)?", text)
    place, remedy = entry.place, f"write [{', '.join(numbers)}]"
    problem = "not a position as it is read here"
    return Fault(
        place.file, place.line, key, problem, shown(text), "x, y in metres or feet", remedy
    )
