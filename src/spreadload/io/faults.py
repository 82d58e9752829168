"""A source to a model, or every fault in one pass, each with its file and line.

Works for any pydantic model. Imports only its neighbours and ``errors``.
"""

import json
from typing import TypeVar

from pydantic import BaseModel, ValidationError

from spreadload.errors import Fault, InputError
from spreadload.io.mistakes import Mistake, mistakes, shadowed
from spreadload.io.source import Path, Source
from spreadload.io.tidy import tidy
from spreadload.io.wording import offered_keys, words

M = TypeVar("M", bound=BaseModel)


def validate(source: Source, model: type[M]) -> M:
    """Return the source as a model.

    The data goes through JSON, because a strict model refuses from Python data the very enums and
    tuples it accepts from JSON.

    Args:
        source: What was read.
        model: Any pydantic model.

    Raises:
        InputError: With every fault of the files themselves and of what the model refuses.
    """
    data = tidy(source.root, model)
    refused = shadowed(model, data)
    try:
        valid = model.model_validate_json(json.dumps(data))
    except ValidationError as error:
        refused += mistakes(error, model, data)
    else:
        if not (source.faults or refused):
            return valid
    echoes = _misspelt(refused)
    faults = [
        _fault(source, mistake)
        for mistake in refused
        if _is_news(source, mistake)
        and not (mistake.type == "missing" and mistake.spot.path in echoes)
    ]
    raise InputError([*source.faults, *faults])


def _misspelt(refused: list[Mistake]) -> set[Path]:
    """Return the paths of keys that are there under a name nearly theirs: one slip, one fault."""
    return {
        (*mistake.spot.path[:-1], name)
        for mistake in refused
        if mistake.type == "extra_forbidden"
        for name in offered_keys(mistake)
    }


def _is_news(source: Source, mistake: Mistake) -> bool:
    """Whether a mistake is the user's own, not the echo of a file that could not be read."""
    entry = source.entry(mistake.spot.path)
    if entry is not None and entry.refused:
        return False
    return source.complete or not _may_be_elsewhere(mistake)


def _may_be_elsewhere(mistake: Mistake) -> bool:
    """Whether what is missed here may stand in the part that could not be read."""
    path = mistake.spot.path
    return not path or (mistake.type in ("missing", "too_short") and isinstance(path[-1], str))


def _fault(source: Source, mistake: Mistake) -> Fault:
    path: Path = mistake.spot.path
    said = words(mistake)
    return source.fault(path, said.problem, limit=said.limit, remedy=said.remedy)
