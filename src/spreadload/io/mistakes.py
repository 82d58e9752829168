"""Pydantic's errors reduced to one mistake per value, with the annotation it broke.

A union makes pydantic report what every member dislikes. Here the member the value was meant for is
validated again alone, so one slip stays one mistake. Imports only ``shape`` and ``source``.
"""

import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import reduce
from operator import or_
from typing import Any

from pydantic import PydanticUserError, TypeAdapter, ValidationError

from spreadload.io.shape import (
    Kind,
    bare,
    below,
    choices,
    fields,
    is_model,
    kind,
    kind_of_value,
    meant,
    options,
)
from spreadload.io.source import Path, step_into

WRONG_KIND = "wrong_kind"
TAG_TYPES = ("union_tag_invalid", "union_tag_not_found")
_KEY_MARK = "[key]"
SCALAR_KINDS = frozenset({Kind.TEXT, Kind.NUMBER, Kind.TRUTH})


@dataclass(frozen=True)
class Spot:
    """A value, what the model asks for there, and the group or list around it with its option."""

    path: Path
    value: Any
    annotation: Any
    owner: Any = None
    around: Any = None

    def members(self) -> list[Any]:
        """Return the options of the annotation, "nothing" left out."""
        return [option for option in options(self.annotation) if kind(option) is not Kind.NOTHING]

    def below(self, step: str | int) -> "Spot":
        """Return the spot one step down; a value that is not there is None."""
        owner = (self.members() or [Any])[0]
        value, asked = step_into(self.value, step), below(owner, step)
        return Spot((*self.path, step), value, asked, owner, self.value)


@dataclass(frozen=True)
class Mistake:
    """One thing a model refuses.

    Attributes:
        type: Pydantic's error type, or ``WRONG_KIND`` when no member of a union takes the value.
        spot: Where, and what was asked for; for a missing key, where it should stand.
        context: Limits and the like, as pydantic gives them.
        message: Pydantic's own words, for error types without words of ours.
        is_key: Whether the key is refused rather than its value.
    """

    type: str
    spot: Spot
    context: Mapping[str, Any] = field(default_factory=dict)
    message: str = ""
    is_key: bool = False


def mistakes(error: ValidationError, annotation: Any, data: Any) -> list[Mistake]:  # noqa: ANN401
    """Return every mistake in ``data``, one per value.

    Args:
        error: What pydantic raised for ``data``.
        annotation: The model or annotation ``data`` was validated against.
        data: The plain data.
    """
    found: dict[Path, Mistake] = {}
    for mistake in _walk(error, Spot((), data, annotation)):
        if not _is_knock_on(mistake):
            found.setdefault(mistake.spot.path, mistake)
    return list(found.values())


def shadowed(annotation: Any, data: Any) -> list[Mistake]:  # noqa: ANN401
    """Return every key that is a field's name in the code but not its name in a file.

    Pydantic drops such a key without a word, even where no stray key is allowed (seen in 2.13:
    ``from_`` for a field with the alias ``from``), so what the user wrote would be lost.
    """
    return list(_shadowed(Spot((), data, annotation)))


def _shadowed(spot: Spot) -> Iterator[Mistake]:
    owner = meant(spot.members(), spot.value)
    model = bare(owner)
    for step, value in _steps(spot.value):
        path = (*spot.path, step)
        if is_model(model) and step in model.model_fields and step not in fields(model):
            yield Mistake("extra_forbidden", Spot(path, value, Any, owner, spot.value))
        yield from _shadowed(Spot(path, value, below(owner, step), owner))


def _steps(value: Any) -> Iterable[tuple[str | int, Any]]:  # noqa: ANN401
    if isinstance(value, dict):
        return value.items()
    return enumerate(value) if isinstance(value, list) else ()


def _walk(error: ValidationError, start: Spot) -> Iterator[Mistake]:
    unions: set[Path] = set()
    for detail in error.errors(include_url=False, include_input=False):
        spot, is_union, is_key = _follow(detail["loc"], start)
        if detail["type"] in TAG_TYPES:
            yield _mistake(detail, _tag(detail, spot))
        elif not is_union:
            yield _mistake(detail, spot, is_key=is_key)
        elif spot.path not in unions:
            unions.add(spot.path)
            yield from _union(detail, spot)


def _follow(location: Path, spot: Spot) -> tuple[Spot, bool, bool]:
    """Step along an error's location; stop at a union, where it stops being keys and indices."""
    for step in location:
        if len(spot.members()) > 1:
            return spot, True, False
        if step == _KEY_MARK:
            return spot, False, True
        spot = spot.below(step)
    return spot, False, False


def _union(detail: Mapping[str, Any], spot: Spot) -> Iterator[Mistake]:
    """Report what the member meant for this kind of value dislikes."""
    members, wanted = spot.members(), kind_of_value(spot.value)
    fitting = [option for option in members if kind(option) is wanted]
    if not fitting or _could_be_another_scalar(fitting, members, wanted):
        yield Mistake(WRONG_KIND, spot)
        return
    errors = [(error, option) for option in fitting if (error := _alone(option, spot.value))]
    if len(errors) < len(fitting):
        # The member alone is content, so what the union itself asks for was broken.
        yield _mistake(detail, spot)
        return
    error, option = min(errors, key=lambda pair: _distance(pair[0]))
    yield from _walk(error, Spot(spot.path, spot.value, option, spot.owner))


def _distance(error: ValidationError) -> tuple[int, int]:
    """Return how far a value is from a member; a wrong literal tells the members apart."""
    literals = sum(detail["type"] == "literal_error" for detail in error.errors())
    return literals, error.error_count()


def _could_be_another_scalar(fitting: list[Any], members: list[Any], wanted: Kind) -> bool:
    """Whether naming one member's choices would hide that, say, a number is welcome too."""
    scalars = [option for option in members if kind(option) in SCALAR_KINDS]
    is_free_text = any(not choices(option) for option in fitting)
    return wanted is Kind.TEXT and len(scalars) > 1 and not is_free_text


def _alone(option: Any, value: Any) -> ValidationError | None:  # noqa: ANN401
    try:
        TypeAdapter(option).validate_json(json.dumps(value), strict=True)
    except ValidationError as error:
        return error
    except PydanticUserError:
        return None
    return None


def _mistake(detail: Mapping[str, Any], spot: Spot, *, is_key: bool = False) -> Mistake:
    return Mistake(detail["type"], spot, detail.get("ctx", {}), detail["msg"], is_key)


def _tag(detail: Mapping[str, Any], spot: Spot) -> Spot:
    """Return the spot of the key that tells the members of a union apart."""
    name = str(detail["ctx"]["discriminator"]).strip("'")
    if not name.isidentifier():
        return spot
    asked = reduce(or_, (below(option, name) for option in spot.members()))
    return Spot((*spot.path, name), step_into(spot.value, name), asked)


def _is_knock_on(mistake: Mistake) -> bool:
    """Whether a list only counts as too short because its entries have mistakes of their own."""
    value = mistake.spot.value
    least = mistake.context.get("min_length", 0)
    return mistake.type == "too_short" and isinstance(value, dict | list) and len(value) >= least
