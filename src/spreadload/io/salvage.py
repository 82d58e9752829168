"""What can still be checked of a file that a model refuses, so that one pass shows every fault.

The refused values are taken out and the rest is read again. Imports only its neighbours.
"""

import json
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from pydantic import BaseModel, ValidationError

from spreadload.io.mistakes import Mistake, mistakes, shadowed
from spreadload.io.source import Path, Source
from spreadload.io.tidy import tidy

M = TypeVar("M", bound=BaseModel)
_MAX_ROUNDS = 5
_IN_ENTRY = 2
_GONE = object()


@dataclass(frozen=True)
class Salvaged(Generic[M]):
    """What is left of a file.

    Attributes:
        valid: The rest as a model.
        lost: Paths of what was taken out.
    """

    valid: M
    lost: tuple[Path, ...]

    def is_lost(self, name: str) -> bool:
        """Whether an entry of this name was taken out whole."""
        return any(name in (path[-1], str(path[-1])) for path in self.lost)


def salvage(source: Source, model: type[M]) -> Salvaged[M] | None:
    """Return what is left without the refused values, or None when too little would be left.

    A whole top-level group is never taken out, because everything that names its entries would then
    look wrong; a line that stands alone there names nothing.
    """
    if not source.complete:
        return None
    data = tidy(source.root, model)
    lost: list[Path] = []
    for _ in range(_MAX_ROUNDS):
        refused = shadowed(model, data)
        try:
            valid = model.model_validate_json(json.dumps(data))
        except ValidationError as error:
            refused += mistakes(error, model, data)
        else:
            if not refused:
                return Salvaged(valid, tuple(lost))
        paths = [_taken_out(mistake) for mistake in refused]
        if not all(_take_out(data, path) for path in sorted(set(paths), key=len, reverse=True)):
            return None
        lost += paths
    return None


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
    if not path or (len(path) == 1 and isinstance(_step(data, path[0]), dict | list)):
        return False
    for step in path[:-1]:
        data = _step(data, step)
    # Taking out a list entry would shift those after it, and with them every line number.
    return isinstance(data, dict) and data.pop(path[-1], _GONE) is not _GONE


def _step(data: Any, step: str | int) -> Any:  # noqa: ANN401 - a tree of dicts, lists and scalars
    if isinstance(data, dict):
        return data.get(step)
    if isinstance(data, list) and isinstance(step, int) and step < len(data):
        return data[step]
    return None
