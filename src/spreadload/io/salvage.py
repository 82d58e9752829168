"""What can still be checked of a file with slips nobody can guess the cure of.

The refused values are taken out and the rest is read again, so that one pass shows every fault.
Imports only its neighbours.
"""

from collections.abc import Iterator, Mapping
from copy import deepcopy
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from pydantic import BaseModel

from spreadload.io.as_meant import read_as
from spreadload.io.mistakes import Mistake
from spreadload.io.source import Path, Source, step_into
from spreadload.io.tidy import tidy

M = TypeVar("M", bound=BaseModel)
_MAX_ROUNDS = 5
_IN_ENTRY = 2
_GONE = object()
_NAME = "id"
_NAMED_BY = frozenset({_NAME, "name"})


@dataclass(frozen=True)
class Salvaged(Generic[M]):
    """What is left of a file.

    Attributes:
        valid: The rest as a model.
        lost: Paths of what was taken out.
        names: Ids that stood in what was taken out.
        groups: Groups at the top that what was taken out may have been, or was.
        has_stray: Whether what was taken out may be entries of any group at the top.
        has_nameless: Whether an entry of a list, such as a set-up, was kept without its own name.
    """

    valid: M
    lost: tuple[Path, ...] = ()
    names: frozenset[str] = frozenset()
    groups: frozenset[str] = frozenset()
    has_stray: bool = False
    has_nameless: bool = False


def salvage(source: Source, model: type[M], stand_ins: Mapping[str, Any]) -> Salvaged[M] | None:
    """Return what is left without the refused values, or None when too little would be left.

    An entry of a list stays in its place, under a name of ours if it has none, or else the lines of
    those after it would shift.

    Args:
        source: A file as meant.
        model: What it is read as.
        stand_ins: What to put in the place of a key at the top that a file must have.
    """
    data = tidy(source.root, model)
    lost: dict[Path, Any] = {}
    has_nameless = False
    for _ in range(_MAX_ROUNDS):
        valid, refused = read_as(data, model)
        if valid is not None:
            names = frozenset(name for path, gone in lost.items() for name in _names(path, gone))
            has_stray = _has_stray(model, lost)
            groups = frozenset(_groups(model, data, lost, has_stray=has_stray))
            return Salvaged(valid, tuple(lost), names, groups, has_stray, has_nameless)
        nameless = [path[:-1] for path in (m.spot.path for m in refused if _lacks_name(m))]
        for path in nameless:
            _name(data, path)
            lost[path] = None
        has_nameless = has_nameless or bool(nameless)
        paths = {_taken_out(mistake) for mistake in refused if not _lacks_name(mistake)}
        for path in sorted(paths, key=len, reverse=True):
            gone = _take_out(data, path, stand_ins)
            if gone is _GONE:
                return None
            lost[path] = gone
    return None


def _has_stray(model: type[BaseModel], lost: Mapping[Path, Any]) -> bool:
    """Whether something with entries of its own stood at the top under a name nobody knows."""
    tops = ((path[0], gone) for path, gone in lost.items() if len(path) == 1)
    return any(
        isinstance(gone, dict | list) and key not in model.model_fields for key, gone in tops
    )


def _groups(
    model: type[BaseModel], data: dict[str, Any], lost: Mapping[Path, Any], *, has_stray: bool
) -> set[str]:
    """Return the groups that are not as they were meant: taken out, or there under another name."""
    known = model.model_fields.keys()
    absent = {key for key in known if not data.get(key)} if has_stray else set()
    return absent | {str(path[0]) for path in lost if len(path) == 1 and path[0] in known}


def _names(path: Path, gone: Any) -> Iterator[str]:  # noqa: ANN401 - a tree of dicts, lists and scalars
    yield from (str(step) for step in path[-1:])
    if isinstance(gone, dict):
        for key, value in gone.items():
            yield from _names((value if key in _NAMED_BY else key,), value)
    elif isinstance(gone, list):
        for value in gone:
            yield from _names((), value) if isinstance(value, dict | list) else [str(value)]


def _lacks_name(mistake: Mistake) -> bool:
    """Whether an entry of a list lacks the id that others name it by."""
    path = mistake.spot.path
    return mistake.type == "missing" and path[-1] == _NAME and isinstance(path[-2], int)


def _name(data: Any, path: Path) -> None:  # noqa: ANN401 - a tree of dicts, lists and scalars
    for step in path:
        data = step_into(data, step)
    data[_NAME] = f"({path[-1]})"


def _taken_out(mistake: Mistake) -> Path:
    """Return the path to take out: an entry goes when a key it needs is missing.

    Of a short list inside an entry, such as a position, the whole list goes.
    """
    path = mistake.spot.path
    if mistake.type in ("missing", "too_short") and len(path) > 1:
        path = path[:-1]
    while len(path) > _IN_ENTRY and isinstance(path[-1], int):
        path = path[:-1]
    return path


def _take_out(data: Any, path: Path, stand_ins: Mapping[str, Any]) -> Any:  # noqa: ANN401
    """Take a value out and return it, or ``_GONE`` where there is none to take."""
    if len(path) == 1 and path[0] in stand_ins:
        gone = data.get(path[0])
        data[path[0]] = deepcopy(stand_ins[str(path[0])])
        return gone
    if not path:
        return _GONE
    for step in path[:-1]:
        data = step_into(data, step)
    if isinstance(data, list) and isinstance(path[-1], int) and path[-1] < len(data):
        # Taking out a list entry would shift those after it, and with them every line number.
        gone = data[path[-1]]
        data[path[-1]] = [] if isinstance(gone, list) and gone else {}
        return gone
    return data.pop(path[-1], _GONE) if isinstance(data, dict) else _GONE
