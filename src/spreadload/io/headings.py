"""Headings and sections in the wrong column: put where they belong, with one fault for each.

Imports only its neighbours and ``errors``.
"""

from dataclasses import replace
from typing import Any

from spreadload.errors import Fault
from spreadload.io.shape import Kind, bare, fields, is_model, kind, options
from spreadload.io.source import Entry, Source, group, shown

_INDENT = "start them two blanks further in than their heading"


def in_columns(source: Source, model: Any) -> tuple[Source, tuple[Fault, ...]]:  # noqa: ANN401
    """Return a source with each section below its own heading, and a fault for each that was not.

    Args:
        source: What was read.
        model: What it is read as; its keys are the headings.
    """
    faults: list[Fault] = []
    root = _outdented(source.root, model, faults)
    root = _indented(root, model, faults)
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
