"""Forgive what loses nothing before a strict model sees it.

A number where only text fits is taken as written (a circuit labelled 20); a key with nothing after
it counts as not written; a name with nothing under it, such as a room, is an entry of which nothing
more is known. Imports only ``shape`` and ``source``.
"""

from typing import Any

from spreadload.io.shape import Kind, bare, below, fields, is_model, kind, meant, options
from spreadload.io.source import Entry, plain


def tidy(entry: Entry, annotation: Any) -> Any:  # noqa: ANN401 - any data, any annotation
    """Return the plain data of an entry, made to fit the annotation where that loses nothing."""
    members = options(annotation)
    kinds = {kind(option) for option in members}
    if isinstance(entry.value, dict):
        return _group(entry.value, meant(members, entry.value))
    if isinstance(entry.value, tuple):
        option = meant(members, entry.value)
        return [tidy(child, below(option, at)) for at, child in enumerate(entry.value)]
    if _is_number(entry.value) and Kind.TEXT in kinds and not kinds & {Kind.NUMBER, Kind.ANY}:
        return entry.raw
    is_nothing = entry.value is None and not entry.refused
    if is_nothing and Kind.NOTHING not in kinds and any(is_model(bare(m)) for m in members):
        return {}
    return plain(entry)


def _group(children: dict[str, Entry], option: Any) -> dict[str, Any]:  # noqa: ANN401
    model = bare(option)
    known = fields(model) if is_model(model) else {}
    return {
        key: tidy(child, below(option, key))
        for key, child in children.items()
        if not (key in known and _leaves_out(child, below(option, key)))
    }


def _leaves_out(child: Entry, annotation: Any) -> bool:  # noqa: ANN401
    return child.is_blank and Kind.NOTHING not in {kind(option) for option in options(annotation)}


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)
