"""Plain data from one or more files that still knows where each value was written.

Imports only ``errors``.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, NamedTuple

from spreadload.errors import Fault

Path = tuple[str | int, ...]
Scalar = str | int | float | bool | None
_MAX_SHOWN = 60


class Place(NamedTuple):
    """A line of a file, the file as the user named it."""

    file: str
    line: int

    def __str__(self) -> str:
        """Return ``file:line``."""
        return f"{self.file}:{self.line}"


@dataclass(frozen=True, slots=True)
class Entry:
    """One value of a file: a scalar, a group of keys or a list.

    Attributes:
        place: Where it was written; for the value of a key, where the key stands.
        value: The scalar, or the entries below.
        raw: A scalar as written, "" when nothing was written.
        refused: A fault was already reported for this very value.
        size: Entries in this tree with every alias written out.
        depth: Levels in this tree with every alias written out.
    """

    place: Place
    value: "Scalar | dict[str, Entry] | tuple[Entry, ...]"
    raw: str = ""
    refused: bool = False
    size: int = 1
    depth: int = 1

    @property
    def is_blank(self) -> bool:
        """Whether a key was written with nothing after it."""
        return self.value is None and not self.raw

    def below(self, step: str | int) -> "Entry | None":
        """Return the entry one step down, or None when there is none."""
        if isinstance(self.value, dict) and isinstance(step, str):
            return self.value.get(step)
        if isinstance(self.value, tuple) and isinstance(step, int) and 0 <= step < len(self.value):
            return self.value[step]
        return None


def plain(entry: Entry) -> Any:  # noqa: ANN401 - a tree of dicts, lists and scalars
    """Return the tree as dicts, lists and scalars, without places."""
    if isinstance(entry.value, dict):
        return {key: plain(child) for key, child in entry.value.items()}
    if isinstance(entry.value, tuple):
        return [plain(child) for child in entry.value]
    return entry.value


def entry_of(data: Any, place: Place) -> Entry:  # noqa: ANN401 - a tree of dicts, lists and scalars
    """Return plain data as a tree whose places are all the same."""
    if isinstance(data, dict):
        return group(place, {key: entry_of(value, place) for key, value in data.items()})
    if isinstance(data, list):
        return row(place, [entry_of(value, place) for value in data])
    return Entry(place, data, "" if data is None else str(data))


def step_into(data: Any, step: str | int) -> Any:  # noqa: ANN401 - a tree of dicts, lists and scalars
    """Return what stands one step down in a tree without places, or None when nothing does."""
    if isinstance(data, dict):
        return data.get(step)
    if isinstance(data, list) and isinstance(step, int) and step < len(data):
        return data[step]
    return None


def group(place: Place, children: dict[str, Entry]) -> Entry:
    """Return a group of keys with its size and depth counted."""
    return Entry(place, children, size=_size(children.values()), depth=_depth(children.values()))


def row(place: Place, children: Sequence[Entry]) -> Entry:
    """Return a list with its size and depth counted."""
    return Entry(place, tuple(children), size=_size(children), depth=_depth(children))


def _size(children: Iterable[Entry]) -> int:
    return 1 + sum(child.size for child in children)


def _depth(children: Iterable[Entry]) -> int:
    return 1 + max((child.depth for child in children), default=0)


def shown(text: str) -> str:
    """Return text fit for one line of a message: no control characters, at most 60 characters."""
    line = "".join(char if char.isprintable() else "?" for char in " ".join(text.split()))
    return line if len(line) <= _MAX_SHOWN else line[: _MAX_SHOWN - 3] + "..."


@dataclass(frozen=True)
class Source:
    """What was read from a file and the files it pulls in.

    Attributes:
        root: The tree of entries; always a group of keys.
        files: Every file read, as the user named it, the first one first.
        faults: What is wrong with the files themselves; ``faults.validate`` reports them together
            with whatever the model refuses.
        complete: False when part of a file could not be read, so that a key may only seem missing.
        doubled: Groups at the top of which something was given twice, and only the first is read.
    """

    root: Entry
    files: tuple[str, ...] = ()
    faults: tuple[Fault, ...] = ()
    complete: bool = True
    doubled: frozenset[str] = frozenset()

    @cached_property
    def data(self) -> dict[str, Any]:
        """Everything read, as dicts, lists and scalars."""
        whole: dict[str, Any] = plain(self.root)
        return whole

    def entry(self, path: Path) -> Entry | None:
        """Return the entry at a path of keys and indices, or None."""
        found: Entry | None = self.root
        for step in path:
            found = found.below(step) if found else None
        return found

    def where(self, path: Path) -> Place:
        """Return where the value at ``path`` was written, or the nearest group it belongs to."""
        found = self.root
        for step in path:
            child = found.below(step)
            if child is None:
                break
            found = child
        return found.place

    def raw(self, path: Path) -> str:
        """Return a scalar exactly as written, or "" when there is none at ``path``."""
        found = self.entry(path)
        return found.raw if found else ""

    def key(self, path: Path) -> str:
        """Return a path as people read it, such as ``setups.S2.from`` or ``leads[3].length_m``.

        A list entry is named by its ``id`` if it has one, otherwise counted from one.
        """
        text = ""
        for depth, step in enumerate(path):
            if isinstance(step, str):
                text += f".{shown(step)}" if text else shown(step)
                continue
            name = self.raw((*path[: depth + 1], "id"))
            text += f".{shown(name)}" if name else f"[{step + 1}]"
        return text

    def fault(self, path: Path, problem: str, *, limit: str = "", remedy: str = "") -> Fault:
        """Return a fault about the value at ``path``, with its place and the value as written."""
        place = self.where(path)
        value = shown(self.raw(path))
        return Fault(place.file, place.line, self.key(path), problem, value, limit, remedy)
