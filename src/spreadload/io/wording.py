"""A mistake in words a lighting crew understands: what is wrong, what is allowed, what to do.

Where what to do is one thing only, it comes as a cure as well, so that reading goes on as if it
were done. Imports only its neighbours.
"""

import re
from collections.abc import Callable
from typing import Any

from spreadload.io.asked import (
    Words,
    asked_for,
    choices_of,
    entry_of,
    listed,
    members_of,
    one_of,
    unit_asked,
)
from spreadload.io.cures import Cure, written
from spreadload.io.everyday import meant_words
from spreadload.io.key_words import unknown_key
from spreadload.io.kind_words import not_whole, wrong_kind
from spreadload.io.mistakes import WRONG_KIND, Mistake
from spreadload.io.shape import (
    described,
)
from spreadload.job.clock_words import clock_written
from spreadload.lookalikes import odd_signs, plain_signs
from spreadload.suggest import closest, did_you_mean
from spreadload.units import FULL_PCT


def words(mistake: Mistake) -> Words:
    """Return what is wrong, what would be allowed and what to do about it."""
    if mistake.is_key:
        return Words(f"the name itself is not allowed: {_own_words(mistake)}")
    return _WORDS.get(mistake.type, _other)(mistake)


def _missing(mistake: Mistake) -> Words:
    name = mistake.spot.path[-1] if mistake.spot.path else ""
    if isinstance(name, int):
        return Words("the list is too short", f"{len(members_of(mistake.spot.owner))} entries")
    return Words("this key is missing", remedy=f"add {name}: with {asked_for(mistake)} after it")


def _choice(mistake: Mistake) -> Words:
    known = [str(choice) for choice in choices_of(mistake)]
    value = mistake.spot.value
    plain = next((c for c in choices_of(mistake) if str(c) == value and c != value), None)
    if plain is not None:
        return Words(
            f"must be {value}, without quotes", "", f"write {value}", Cure("", written(plain))
        )
    if not isinstance(value, str):
        return Words("not one of the words allowed here", listed(known))
    near = meant_words(value, known) or closest(value, known)
    remedy, cure = did_you_mean(near, value), Cure(change=one_of(near, mistake))
    return Words("not one of the words allowed here", listed(known), remedy, cure)


def _tag(mistake: Mistake) -> Words:
    said = _choice(mistake)
    return said if mistake.spot.value is not None else Words("this key is missing", said.limit)


def _bound(text: str, name: str) -> Callable[[Mistake], Words]:
    def say(mistake: Mistake) -> Words:
        limit = mistake.context.get(name)
        number = f"{limit:.12g}" if isinstance(limit, int | float) else str(limit)
        problem = "too small" if name in ("gt", "ge") else "too large"
        allowed = " ".join(part for part in (text, number, unit_asked(mistake)) if part)
        return Words(problem, allowed, *_of_one(mistake.spot.value, limit))

    return say


def _of_one(value: Any, limit: Any) -> tuple[str, Cure]:  # noqa: ANN401
    """Return how to write what was given in per cent where a share of one is asked for."""
    if limit != 1 or not isinstance(value, int | float) or not 1 < value <= FULL_PCT:
        return "", Cure()
    share = value / FULL_PCT
    return f"write {share:g} for {value:g} %", Cure(change=written(share))


def _length(problem: str, text: str, name: str, of: str) -> Callable[[Mistake], Words]:
    def say(mistake: Mistake) -> Words:
        number = mistake.context.get(name)
        counted = "entry" if (of, number) == ("entries", 1) else of
        entry = entry_of(mistake) if name == "min_length" else ""
        remedy = f"add one that starts with a `-`, such as `- {{{entry}: ...}}`" if entry else ""
        return Words(problem, f"{text} {number} {counted}", remedy)

    return say


def _pattern(mistake: Mistake) -> Words:
    asked, text = described(mistake.spot.annotation), str(mistake.spot.value)
    is_time = asked.startswith("a time of day")
    meant = clock_written(plain_signs(text).strip("\"'")) if is_time else ""
    remedy = f"write {meant}" if meant else ""
    if odd := odd_signs(text):
        remedy = f"{remedy}; {odd}" if remedy else f"write it with plain signs: {odd}"
    cure = Cure(change=written(meant) if meant else None)
    pattern = str(mistake.context.get("pattern"))
    return Words("not written the way it must be", asked or pattern, remedy, cure)


def _own_words(mistake: Mistake) -> str:
    """Return the text a validator of ours raised, or pydantic's own turned to ours."""
    text = re.sub(r"^(Value|Assertion) error, ", "", mistake.message)
    return text.replace("Input should be", "must be").replace("Input should", "must")


def _other(mistake: Mistake) -> Words:
    return Words(_own_words(mistake))


_WORDS: dict[str, Callable[[Mistake], Words]] = {
    WRONG_KIND: wrong_kind,
    "missing": _missing,
    "extra_forbidden": unknown_key,
    "enum": _choice,
    "union_tag_invalid": _tag,
    "union_tag_not_found": _tag,
    "literal_error": _choice,
    "int_type": not_whole,
    "int_from_float": not_whole,
    "greater_than": _bound("more than", "gt"),
    "greater_than_equal": _bound("at least", "ge"),
    "less_than": _bound("less than", "lt"),
    "less_than_equal": _bound("at most", "le"),
    "string_too_short": _length("too short", "at least", "min_length", "characters"),
    "string_too_long": _length("too long", "at most", "max_length", "characters"),
    "too_short": _length("too few entries", "at least", "min_length", "entries"),
    "too_long": _length("too many entries", "at most", "max_length", "entries"),
    "string_pattern_mismatch": _pattern,
} | dict.fromkeys(
    (
        "bool_type",
        "float_type",
        "string_type",
        "list_type",
        "tuple_type",
        "set_type",
        "dict_type",
        "mapping_type",
        "model_type",
        "model_attributes_type",
        "none_required",
    ),
    wrong_kind,
)
