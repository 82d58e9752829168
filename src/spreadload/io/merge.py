"""Lay one file over another: groups join key by key, anything else is replaced.

Imports only ``source``.
"""

from typing import NamedTuple

from spreadload.io.source import Entry, Path, group, plain


class Clash(NamedTuple):
    """The same key with two values in two files, neither of which pulls in the other."""

    path: Path
    first: Entry
    second: Entry


def overlay(base: Entry, top: Entry) -> Entry:
    """Return ``base`` with everything ``top`` states laid over it.

    Groups join at every depth, so a file may change one key of a pulled-in entry. Lists and scalars
    replace. A heading with nothing under it adds nothing.
    """
    if isinstance(base.value, dict) and top.is_blank:
        return base
    if not (isinstance(base.value, dict) and isinstance(top.value, dict)):
        return top
    joined = dict(base.value)
    for key, entry in top.value.items():
        joined[key] = overlay(joined[key], entry) if key in joined else entry
    return group(top.place, joined)


def clashes(first: Entry, second: Entry, path: Path = ()) -> list[Clash]:
    """Return every key that both trees state with different values."""
    if first is second or first.is_blank or second.is_blank:
        return []
    if isinstance(first.value, dict) and isinstance(second.value, dict):
        shared = (key for key in first.value if key in second.value)
        return [
            clash
            for key in shared
            for clash in clashes(first.value[key], second.value[key], (*path, key))
        ]
    return [] if plain(first) == plain(second) else [Clash(path, first, second)]
