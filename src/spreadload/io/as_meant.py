"""A file read as its remedies say, so that one slip hides no other and invents none.

Imports only its neighbours and ``errors``.
"""

import json
from dataclasses import dataclass, replace
from typing import Any, Generic, TypeVar

from pydantic import BaseModel, ValidationError

from spreadload.errors import Fault
from spreadload.io.asked import Words
from spreadload.io.cures import Cure, cured
from spreadload.io.headings import in_columns
from spreadload.io.key_words import offered_keys
from spreadload.io.mended import mended
from spreadload.io.mistakes import Mistake, mistakes, shadowed
from spreadload.io.source import Path, Source
from spreadload.io.tidy import tidy
from spreadload.io.wording import words

M = TypeVar("M", bound=BaseModel)
# A cure may lay open what stands below it, a few levels down.
_MAX_ROUNDS = 8
_KEY_TYPE = "extra_forbidden"


@dataclass(frozen=True)
class AsMeant(Generic[M]):
    """What can be read of a file.

    Attributes:
        valid: The file as a model, or None where something is left that nobody can guess.
        source: The file as the remedies say to write it; each line is where it is in the file.
        faults: One for each slip, cured or not; those of the files themselves are not among them.
    """

    valid: M | None
    source: Source
    faults: tuple[Fault, ...]


def as_meant(source: Source, model: type[M]) -> AsMeant[M]:
    """Return a source as a model, as far as it can be read with every cure made."""
    source, moved = in_columns(source, model)
    source, torn = mended(source)
    keys = [*moved, *torn]
    values: dict[Path, Fault] = {}
    rounds_left = _MAX_ROUNDS
    while True:
        valid, refused = read_as(tidy(source.root, model), model)
        found = _found(source, refused)
        told = {path: _fault(source, path, said) for path, (_, said) in found.items()}
        rounds_left -= 1
        cures = _cures(source, found) if rounds_left else {}
        if not cures:
            # A value that was cured and is refused still is one slip, and its limit says more.
            return AsMeant(valid, source, (*keys, *(values | told).values()))
        for path, cure in cures.items():
            if cure.key:
                keys.append(told[path])
            else:
                values[path] = told[path]
        source = replace(source, root=cured(source.root, cures))


def read_as(data: Any, model: type[M]) -> tuple[M | None, list[Mistake]]:  # noqa: ANN401
    """Return plain data as a model, or None and all it refuses.

    The data goes through JSON, because a strict model refuses from Python data the very enums and
    tuples it accepts from JSON.
    """
    refused = shadowed(model, data)
    try:
        valid = model.model_validate_json(json.dumps(data))
    except ValidationError as error:
        return None, refused + mistakes(error, model, data)
    return (None if refused else valid), refused


def _found(source: Source, refused: list[Mistake]) -> dict[Path, tuple[Mistake, Words]]:
    """Return every mistake of the user's own in words, one for each value."""
    misspelt = {
        (*mistake.spot.path[:-1], name)
        for mistake in refused
        if mistake.type == _KEY_TYPE
        for name in offered_keys(mistake)
    }
    return {
        mistake.spot.path: (mistake, words(mistake))
        for mistake in refused
        if _is_news(source, mistake)
        and not (mistake.type == "missing" and mistake.spot.path in misspelt)
    }


def _cures(source: Source, found: dict[Path, tuple[Mistake, Words]]) -> dict[Path, Cure]:
    """Return what can be cured; two keys that would become one are left as they are."""
    cures: dict[Path, Cure] = {}
    taken: set[Path] = set()
    for path, (mistake, said) in found.items():
        entry = source.entry(path)
        if not said.cure or entry is None or mistake.is_key:
            continue
        if said.cure.change is not None and said.cure.change(entry) is None:
            continue
        if said.cure.key:
            where = (*path[:-1], said.cure.key)
            if where in taken or source.entry(where) is not None:
                continue
            taken.add(where)
        cures[path] = said.cure
    return cures


def _fault(source: Source, path: Path, said: Words) -> Fault:
    key = said.cure.key
    there = source.entry((*path[:-1], key)) if key else None
    remedy = said.remedy
    if there is not None and there.place.line:
        remedy = f"{key} is given too, on line {there.place.line}: keep one of the two"
    return source.fault(path, said.problem, limit=said.limit, remedy=remedy)


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
