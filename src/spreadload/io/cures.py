"""What a remedy says to write, as a change to the tree of a file.

Whoever reads on after a slip reads what its remedy asks for, so that every fault of a file comes in
one pass and the remedy is known to work. Lines stay those of the file. Imports only its neighbours.
"""

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import NamedTuple

from spreadload.io.scalars import meaning
from spreadload.io.source import Entry, Path, Scalar, group, row

Change = Callable[[Entry], Entry | None]
_NUMBERS = re.compile(r"[-+]?\d+(?:\.\d+)?")
_NUMBERS_ALONE = re.compile(r"[\d\s.,;/x()+-]+")
_NAMES = ("id", "name")


class Cure(NamedTuple):
    """What to read instead: another key, another value, or both; neither where nobody can tell.

    A change gives None for an entry that it is not made for.
    """

    key: str = ""
    change: Change | None = None

    def __bool__(self) -> bool:
        """Whether there is anything to do."""
        return bool(self.key or self.change)


def written(value: Scalar) -> Change:
    """Return the change to another scalar; what was written is still told as it was."""
    return lambda entry: replace(entry, value=value)


def retyped(text: str) -> Change:
    """Return the change to what a file would hold had somebody written this text."""
    bare = text.strip("\"'")
    return lambda entry: Entry(entry.place, meaning(bare) if bare == text else bare, bare)


def alone(entry: Entry) -> Entry:
    """Return an entry as the only one of a list."""
    return row(entry.place, [entry])


def only(entry: Entry) -> Entry | None:
    """Return the one entry of a list, or None where there is not just one."""
    is_one = isinstance(entry.value, tuple) and len(entry.value) == 1
    return entry.value[0] if is_one and isinstance(entry.value, tuple) else None


def listed(text: str) -> list[str]:
    """Return the names in a text with commas, without the brackets it may stand in."""
    return [part for name in text.split(",") if (part := name.strip(" ()[]{}"))]


def split(entry: Entry) -> Entry:
    """Return a text with commas, or several numbers, as the list it was meant to be."""
    parts = _NUMBERS.findall(entry.raw) if _NUMBERS_ALONE.fullmatch(entry.raw) else None
    texts = parts or listed(entry.raw)
    return row(entry.place, [Entry(entry.place, meaning(text), text) for text in texts])


def by_name(entry: Entry) -> Entry | None:
    """Return a list of entries with a name each as a group; None where one lacks a name of its own.

    ``[{id: P1, breaker_a: 16}]`` becomes ``{P1: {breaker_a: 16}}``.
    """
    if not isinstance(entry.value, tuple):
        return None
    named: dict[str, Entry] = {}
    for child in entry.value:
        if not isinstance(child.value, dict):
            return None
        key = next((key for key in _NAMES if key in child.value), "")
        name = child.value[key].raw if key else ""
        if not name or name in named:
            return None
        rest = {other: value for other, value in child.value.items() if other != key}
        named[name] = group(child.place, rest)
    return group(entry.place, named) if named else None


def with_ids(entry: Entry) -> Entry | None:
    """Return a group of named entries as a list of entries with an id; None for anything else."""
    if not isinstance(entry.value, dict) or not entry.value:
        return None
    entries = []
    for name, child in entry.value.items():
        if not isinstance(child.value, dict) or "id" in child.value:
            return None
        entries.append(group(child.place, {"id": Entry(child.place, name, name), **child.value}))
    return row(entry.place, entries)


def cured(entry: Entry, cures: Mapping[Path, Cure]) -> Entry:
    """Return a tree with every cure made, all of them at once.

    Args:
        entry: The root.
        cures: What to do, by the path of the entry as it now is.
    """
    below: dict[str | int, dict[Path, Cure]] = {}
    for path, cure in cures.items():
        below.setdefault(path[0], {})[path[1:]] = cure
    if isinstance(entry.value, dict):
        children = {}
        for name, child in entry.value.items():
            here = below.get(name, {})
            own = here.pop((), Cure())
            children[own.key or name] = _made(child, own, here)
        return group(entry.place, children)
    if isinstance(entry.value, tuple):
        items = []
        for at, child in enumerate(entry.value):
            here = below.get(at, {})
            items.append(_made(child, here.pop((), Cure()), here))
        return row(entry.place, items)
    return entry


def _made(child: Entry, own: Cure, here: dict[Path, Cure]) -> Entry:
    child = cured(child, here) if here else child
    return (own.change(child) if own.change else None) or child
