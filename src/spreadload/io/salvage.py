"""What can still be checked of a file that a model refuses, so that one pass shows every fault.

The refused values are taken out and the rest is read again. Imports only its neighbours.
"""

import json
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from pydantic import BaseModel, ValidationError

from spreadload.io.mistakes import Mistake, mistakes, shadowed
from spreadload.io.source import Path, Source, step_into
from spreadload.io.tidy import tidy

M = TypeVar("M", bound=BaseModel)
_MAX_ROUNDS = 5
_IN_ENTRY = 2
_GONE = object()
_NAME = "id"


@dataclass(frozen=True)
class Salvaged(Generic[M]):
    """What is left of a file.

    Attributes:
        valid: The rest as a model.
        lost: Paths of what was taken out.
        has_nameless: Whether an entry of a list, such as a set-up, was kept without its own name.
    """

    valid: M
    lost: tuple[Path, ...]
    has_nameless: bool = False

    def is_lost(self, name: str) -> bool:
        """Whether an entry of this name was taken out whole."""
        return any(name in (path[-1], str(path[-1])) for path in self.lost)


def salvage(source: Source, model: type[M]) -> Salvaged[M] | None:
    """Return what is left without the refused values, or None when too little would be left.

    A whole top-level group is never taken out, because everything that names its entries would then
    look wrong; a line that stands alone there names nothing. An entry of a list stays in its place,
    under a name of ours if it has none, or else the lines of those after it would shift.
    """
    if not source.complete:
        return None
    data = tidy(source.root, model)
    lost: list[Path] = []
    has_nameless = False
    for _ in range(_MAX_ROUNDS):
        refused = shadowed(model, data)
        try:
            valid = model.model_validate_json(json.dumps(data))
        except ValidationError as error:
            refused += mistakes(error, model, data)
        else:
            if not refused:
                return Salvaged(valid, tuple(lost), has_nameless)
        nameless = [path[:-1] for path in (m.spot.path for m in refused if _lacks_name(m))]
        for path in nameless:
            _name(data, path)
        has_nameless = has_nameless or bool(nameless)
        lost += nameless
        paths = [_taken_out(mistake) for mistake in refused if not _lacks_name(mistake)]
        if not all(_take_out(data, path) for path in sorted(set(paths), key=len, reverse=True)):
            return None
        lost += paths
    return None


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
    if mistake.type in ("missing", "too_short"):
        path = path[:-1]
    while len(path) > _IN_ENTRY and isinstance(path[-1], int):
        path = path[:-1]
    return path


def _take_out(data: Any, path: Path) -> bool:  # noqa: ANN401 - a tree of dicts, lists and scalars
    if not path or (len(path) == 1 and isinstance(step_into(data, path[0]), dict | list)):
        return False
    for step in path[:-1]:
        data = step_into(data, step)
    if isinstance(data, list) and isinstance(path[-1], int) and path[-1] < len(data):
        # Taking out a list entry would shift those after it, and with them every line number.
        is_full_list = isinstance(data[path[-1]], list) and data[path[-1]]
        data[path[-1]] = [] if is_full_list else {}
        return True
    return isinstance(data, dict) and data.pop(path[-1], _GONE) is not _GONE
