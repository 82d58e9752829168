"""What a mistake was asked for, in words, and what is said of it. Imports only its neighbours."""

from collections.abc import Sequence
from typing import Any, NamedTuple

from spreadload.io.cures import Change, Cure, written
from spreadload.io.mistakes import Mistake
from spreadload.io.numbers_written import unit_of
from spreadload.io.shape import (
    Kind,
    bare,
    below,
    choices,
    described,
    fields,
    is_model,
    is_whole,
    kind,
    options,
)

_MAX_LISTED = 16


class Words(NamedTuple):
    """The parts of a fault that depend on what kind of mistake it is."""

    problem: str
    limit: str = ""
    remedy: str = ""
    cure: Cure = Cure()


def options_of(mistake: Mistake) -> tuple[Any, ...]:
    """Return what may be written there, nothing aside."""
    found = options(mistake.spot.annotation)
    return tuple(option for option in found if kind(option) is not Kind.NOTHING)


def choices_of(mistake: Mistake) -> list[Any]:
    """Return the words of a short list that may be written there."""
    return [choice for option in options_of(mistake) for choice in choices(option)]


def members_of(owner: Any) -> tuple[Any, ...]:  # noqa: ANN401
    """Return what each entry of a list of fixed length is asked for."""
    return tuple(getattr(bare(owner), "__args__", ()))


def asked_for(mistake: Mistake) -> str:
    """Return what the model asks for, such as ``a number or one of B, C, D``."""
    parts: dict[str, None] = {}
    for option in options_of(mistake):
        if allowed := choices(option):
            parts[f"one of {listed([str(choice) for choice in allowed])}"] = None
        elif is_whole(option):
            parts["a whole number"] = None
        else:
            parts[str(kind(option))] = None
    said = described(mistake.spot.annotation)
    if said and not said.startswith("a ") and list(parts) == [Kind.NUMBER]:
        return f"a number, {said}"
    return said or " or ".join(parts)


def listed(known: list[str]) -> str:
    """Return the first of some words in a row."""
    more = ", ..." if len(known) > _MAX_LISTED else ""
    return ", ".join(known[:_MAX_LISTED]) + more


def key_of(mistake: Mistake) -> str:
    """Return the key a value stands under, also one in a list."""
    return next((step for step in reversed(mistake.spot.path) if isinstance(step, str)), "")


def unit_asked(mistake: Mistake) -> str:
    """Return the unit of the key a value stands under."""
    return unit_of(key_of(mistake))


def one_of(near: Sequence[str], mistake: Mistake) -> Change | None:
    """Return the change to the word that is meant, where only one can be."""
    if len(near) != 1:
        return None
    return written(next(choice for choice in choices_of(mistake) if str(choice) == near[0]))


def entry_of(mistake: Mistake) -> str:
    """Return the first key of an entry of the list that is asked for, or "" for bare values."""
    return next(iter(entry_keys(mistake)), "")


def entry_keys(mistake: Mistake) -> dict[str, Any]:
    """Return the keys of an entry of the list that is asked for; none for bare values."""
    lists = [option for option in options_of(mistake) if kind(option) is Kind.LIST]
    members = [bare(member) for one in lists for member in options(below(one, 0))]
    if not members or not all(is_model(member) for member in members):
        return {}
    return fields(members[0])
