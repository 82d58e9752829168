"""What a model's annotations ask for, read generically. Imports nothing of the project.

An annotation is a union of *options*; each option is of one ``Kind``, and below lists and groups
stand further annotations.
"""

import types
from collections.abc import Callable, Iterable, Mapping
from collections.abc import Set as AbstractSet
from enum import Enum, StrEnum
from functools import lru_cache, wraps
from typing import Annotated, Any, Literal, NewType, TypeVar, Union, get_args, get_origin

from pydantic import BaseModel, RootModel, TypeAdapter
from pydantic.fields import FieldInfo

T = TypeVar("T")


class Kind(StrEnum):
    """The kinds of value a file can hold, in words."""

    TEXT = "text"
    NUMBER = "a number"
    TRUTH = "true or false"
    LIST = "a list"
    GROUP = "a group of `key: value` lines"
    NOTHING = "nothing"
    ANY = "anything"


_SCALARS = {str: Kind.TEXT, int: Kind.NUMBER, float: Kind.NUMBER, bool: Kind.TRUTH}
_LISTS = (list, tuple, set, frozenset)


def _remembered(function: Callable[[Any], T]) -> Callable[[Any], T]:
    """Keep the answers, because a house of a thousand outlets asks the same a thousand times."""
    kept = lru_cache(maxsize=4096)(function)

    @wraps(function)
    def answer(annotation: Any) -> T:  # noqa: ANN401
        try:
            return kept(annotation)
        except TypeError:  # an annotation may carry notes that cannot be hashed
            return function(annotation)

    return answer


def kind_of_value(value: object) -> Kind:
    """Return the kind of a value as read from a file."""
    if value is None:
        return Kind.NOTHING
    if isinstance(value, dict):
        return Kind.GROUP
    if isinstance(value, list | tuple):
        return Kind.LIST
    return _SCALARS.get(type(value), Kind.ANY)


def bare(annotation: Any) -> Any:  # noqa: ANN401 - annotations have no common type
    """Return an annotation without ``Annotated``, ``NewType``, type alias or root model around."""
    while True:
        if get_origin(annotation) is Annotated:
            annotation = get_args(annotation)[0]
        elif isinstance(annotation, NewType):
            annotation = annotation.__supertype__
        elif hasattr(annotation, "__value__"):
            annotation = annotation.__value__
        elif is_model(annotation) and issubclass(annotation, RootModel):
            annotation = annotation.model_fields["root"].annotation
        else:
            return annotation


@_remembered
def options(annotation: Any) -> tuple[Any, ...]:  # noqa: ANN401
    """Return the members of a union, nested ones included, each with its own constraints."""
    inner = bare(annotation)
    if get_origin(inner) in (Union, types.UnionType):
        return tuple(option for member in get_args(inner) for option in options(member))
    return (annotation,)


def is_model(annotation: object) -> bool:
    """Whether an annotation is a pydantic model."""
    return isinstance(annotation, type) and issubclass(annotation, BaseModel)


@_remembered
def kind(option: Any) -> Kind:  # noqa: ANN401
    """Return the kind of value one option takes."""
    inner = bare(option)
    if inner in (None, type(None)):
        return Kind.NOTHING
    if members := choices(option):
        return kind_of_value(members[0])
    origin = get_origin(inner) or inner
    if not isinstance(origin, type):
        return Kind.ANY
    if issubclass(origin, BaseModel | Mapping):
        return Kind.GROUP
    if issubclass(origin, _LISTS) or origin.__module__ == "collections.abc":
        return Kind.LIST
    return next((_SCALARS[base] for base in origin.__mro__ if base in _SCALARS), Kind.ANY)


def choices(option: Any) -> tuple[Any, ...]:  # noqa: ANN401
    """Return the values an enum or literal allows, in order; empty for anything else."""
    inner = bare(option)
    if get_origin(inner) is Literal:
        return get_args(inner)
    if isinstance(inner, type) and issubclass(inner, Enum):
        return tuple(member.value for member in inner)
    return ()


def is_whole(option: Any) -> bool:  # noqa: ANN401
    """Whether an option takes whole numbers only."""
    inner = bare(option)
    return isinstance(inner, type) and issubclass(inner, int) and not issubclass(inner, bool)


@_remembered
def fields(model: type[BaseModel]) -> dict[str, Any]:
    """Return what each key a file may use in a model asks for."""
    named: dict[str, Any] = {}
    for name, info in model.model_fields.items():
        aliases = [alias for alias in (info.validation_alias, info.alias) if isinstance(alias, str)]
        by_name = model.model_config.get("populate_by_name") or not aliases
        for key in aliases[:1] + ([name] if by_name else []):
            named[key] = Annotated[info.annotation, info]
    return named


@_remembered
def bounds(option: Any) -> str:  # noqa: ANN401
    """Return between what a number has to lie, ``more than 0, at most 6300``, or ""."""
    said = TypeAdapter(option).json_schema()
    words = {
        "exclusiveMinimum": "more than",
        "minimum": "at least",
        "exclusiveMaximum": "less than",
        "maximum": "at most",
    }
    return ", ".join(f"{text} {said[key]:.12g}" for key, text in words.items() if key in said)


def below(option: Any, step: str | int) -> Any:  # noqa: ANN401
    """Return the annotation one step under a list or group option, ``Any`` when unknown."""
    inner = bare(option)
    if is_model(inner):
        return fields(inner).get(str(step), Any)
    members = get_args(inner)
    if kind(option) is Kind.GROUP:
        return members[1] if len(members) > 1 else Any
    if kind(option) is Kind.LIST and members:
        if get_origin(inner) is not tuple or members[-1] is Ellipsis:
            return members[0]
        return members[step] if isinstance(step, int) and step < len(members) else Any
    return Any


def described(annotation: Any) -> str:  # noqa: ANN401
    """Return the description a field or type alias carries, or ""."""
    if get_origin(annotation) is Annotated:
        inner, *notes = get_args(annotation)
        found = (note.description for note in notes if isinstance(note, FieldInfo))
        return next(filter(None, found), "") or described(inner)
    stated = [option for option in options(annotation) if kind(option) is not Kind.NOTHING]
    return described(stated[0]) if len(stated) == 1 and stated[0] is not annotation else ""


def meant(members: Iterable[Any], value: object) -> Any:  # noqa: ANN401
    """Return the option a value is most likely meant for, ``Any`` when none takes its kind.

    Of several models it is the one with most of the value's keys.
    """
    wanted = kind_of_value(value)
    fitting = [option for option in members if kind(option) is wanted]
    if len(fitting) > 1 and isinstance(value, dict):
        keys = value.keys()
        return max(fitting, key=lambda option: _shared_keys(option, keys))
    return fitting[0] if fitting else Any


def _shared_keys(option: Any, keys: AbstractSet[str]) -> int:  # noqa: ANN401
    model = bare(option)
    return len(keys & fields(model).keys()) if is_model(model) else 0
