"""What is said of a value of the wrong kind, and how it would look as what is asked for.

Imports only its neighbours.
"""

import re
from typing import Any

from spreadload.io.asked import (
    Words,
    asked_for,
    choices_of,
    entry_keys,
    entry_of,
    key_of,
    one_of,
    options_of,
    unit_asked,
)
from spreadload.io.cures import Change, Cure, alone, by_name, listed, only, split, with_ids, written
from spreadload.io.mistakes import Mistake
from spreadload.io.numbers_written import number_meant
from spreadload.io.shape import (
    Kind,
    below,
    bounds,
    kind,
    kind_of_value,
)
from spreadload.suggest import closest, did_you_mean

_ID = "id"
_NESTED = frozenset({Kind.LIST, Kind.GROUP})
_TRUTH = dict.fromkeys(("yes", "y", "on", "true"), True)
_TRUTH |= dict.fromkeys(("no", "n", "off", "false"), False)
_KIND_REMEDIES = {
    Kind.NUMBER: "write a number in digits, or remove the line",
    Kind.TRUTH: "write true or false",
    Kind.LIST: "write [first, second], or each entry on a line of its own after a `-`",
    Kind.GROUP: "write `key: value` lines below it, two blanks further in",
}


def wrong_kind(mistake: Mistake) -> Words:
    """Return what is said of a value that is of another kind than is asked for."""
    value = mistake.spot.value
    asked = asked_for(mistake)
    problem = f"must be {asked}"
    if value is None:
        return Words(problem, remedy="write a value after the colon, or remove the line")
    wanted = {kind(option) for option in options_of(mistake)}
    remedy, change = _kind_remedy(value, wanted, mistake)
    limit = _number_limits(mistake) if Kind.NUMBER in wanted and _is_word(value) else ""
    return Words(problem, limit, remedy, Cure(change=change))


def _is_word(value: Any) -> bool:  # noqa: ANN401
    return isinstance(value, str) and not any(letter.isdigit() for letter in value)


def _number_limits(mistake: Mistake) -> str:
    """Return between what a number at this spot has to lie, with its unit."""
    limits = next((bounds(o) for o in options_of(mistake) if kind(o) is Kind.NUMBER), "")
    return f"{limits} {unit_asked(mistake)}".strip() if limits else ""


def _kind_remedy(
    value: Any,  # noqa: ANN401
    wanted: set[Kind],
    mistake: Mistake,
) -> tuple[str, Change | None]:
    given = kind_of_value(value)
    if given is Kind.TEXT and (said := _word_remedy(value, wanted, mistake)):
        return said
    if shaped := _shape_remedy(value, wanted, mistake):
        return shaped
    if given is Kind.TRUTH and Kind.TEXT in wanted:
        return "put quotes around it if it is meant as text", None
    if given is Kind.GROUP and Kind.TEXT in wanted and isinstance(mistake.spot.path[-1], int):
        return "write names alone, or one group for all: {first: 1, second: 2}", None
    return next((said for kind_, said in _KIND_REMEDIES.items() if kind_ in wanted), ""), None


def _word_remedy(
    value: str, wanted: set[Kind], mistake: Mistake
) -> tuple[str, Change | None] | None:
    """Return what a word was meant to be: a number, a word of a short list, true or false."""
    if Kind.NUMBER in wanted and (meant := number_meant(value, key_of(mistake))).remedy:
        return meant.remedy, None if meant.number is None else written(meant.number)
    if near := closest(value, [str(choice) for choice in choices_of(mistake)]):
        return did_you_mean(near, value), one_of(near, mistake)
    truth = _TRUTH.get(value.strip().casefold())
    if wanted == {Kind.TRUTH} and truth is not None:
        return f"write true or false, here {str(truth).lower()}", written(truth)
    return None


def _shape_remedy(
    value: Any,  # noqa: ANN401
    wanted: set[Kind],
    mistake: Mistake,
) -> tuple[str, Change | None] | None:
    """Return how what was written looks as the list or group that is asked for."""
    given = kind_of_value(value)
    if given is Kind.LIST and not wanted & _NESTED:
        return _without_brackets(value)
    if Kind.LIST in wanted and given in (Kind.TEXT, Kind.GROUP) and (entry := entry_of(mistake)):
        remedy = f"start each entry with a `-`, such as `- {{{entry}: ...}}`"
        is_one = given is Kind.GROUP and not value.keys().isdisjoint(entry_keys(mistake))
        by_id = with_ids if entry == _ID and given is Kind.GROUP else None
        return remedy, alone if is_one else by_id
    if Kind.LIST in wanted and _is_nested(mistake):
        return "write a list of lists, such as [[first, second]]", None
    if Kind.LIST in wanted and given is Kind.TEXT:
        return _listed_text(value, mistake)
    if Kind.GROUP in wanted and given is Kind.LIST and value:
        return _grouped(value[0])
    return None


def _without_brackets(value: list[Any]) -> tuple[str, Change | None]:
    if len(value) == 1 and not isinstance(value[0], list | dict | None):
        return f"write {value[0]}, without brackets", only
    return "write one of them, without brackets", None


def _listed_text(value: str, mistake: Mistake) -> tuple[str, Change | None] | None:
    """Return how one text looks as the list that is asked for: of numbers, or of names."""
    lists = [option for option in options_of(mistake) if kind(option) is Kind.LIST]
    if kind(below(lists[0], 0)) is Kind.NUMBER:
        numbers = re.findall(r"[-+]?\d+(?:\.\d+)?", value)
        is_row = not re.search(r"[^\d\s.,;/x()+-]", value) and len(numbers) > 1
        return (f"write [{', '.join(numbers)}]", split) if is_row else None
    names = listed(value)
    if names != [value.strip()]:
        return f"write [{', '.join(names)}]", split
    return f"write [{value}], or [first, second] for several", alone


def _is_nested(mistake: Mistake) -> bool:
    """Whether a list of lists is asked for."""
    lists = [option for option in options_of(mistake) if kind(option) is Kind.LIST]
    return any(kind(below(option, 0)) is Kind.LIST for option in lists)


def _grouped(first: Any) -> tuple[str, Change | None] | None:  # noqa: ANN401
    """Return how a list looks as a group, going by its first entry."""
    if isinstance(first, str):
        return f"write each with a colon and what is said of it: `{first}: ...`", None
    if isinstance(first, dict) and (name := first.get(_ID, first.get("name"))):
        return f"start each with its name, without a `-`: `{name}: {{...}}`", by_name
    return None


def not_whole(mistake: Mistake) -> Words:
    """Return what is said of a number that has to be whole and is not, or is no number."""
    value = mistake.spot.value
    if isinstance(value, float):
        remedy = "write it in digits, without a decimal point or exponent"
        return Words("must be a whole number", remedy=remedy)
    return wrong_kind(mistake)
