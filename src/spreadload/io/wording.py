"""A mistake in words a lighting crew understands: what is wrong, what is allowed, what to do.

Where what to do is one thing only, it comes as a cure as well, so that reading goes on as if it
were done.

Imports only its neighbours.
"""

import re
from collections.abc import Callable, Sequence
from typing import Any, NamedTuple

from spreadload.io.clock_words import clock_written
from spreadload.io.cures import Change, Cure, alone, by_name, split, with_ids, written
from spreadload.io.everyday import meant_keys, meant_words
from spreadload.io.mistakes import WRONG_KIND, Mistake
from spreadload.io.numbers_written import number_meant, unit_of
from spreadload.io.shape import (
    Kind,
    bare,
    below,
    bounds,
    choices,
    described,
    fields,
    is_model,
    is_whole,
    kind,
    kind_of_value,
    options,
)
from spreadload.io.units_written import in_unit, is_unit
from spreadload.lookalikes import odd_signs, plain_signs
from spreadload.suggest import closest, did_you_mean
from spreadload.units import FULL_PCT

_MAX_LISTED = 16
_ID = "id"
_JOINED = "if it belongs to the text before the comma, put quotes around all of it"
_TRUTH = dict.fromkeys(("yes", "y", "on", "true"), True)
_TRUTH |= dict.fromkeys(("no", "n", "off", "false"), False)
_KIND_REMEDIES = {
    Kind.NUMBER: "write a number in digits, or remove the line",
    Kind.TRUTH: "write true or false",
    Kind.LIST: "write [first, second], or each entry on a line of its own after a `-`",
    Kind.GROUP: "write `key: value` lines below it, two blanks further in",
}


class Words(NamedTuple):
    """The parts of a fault that depend on what kind of mistake it is."""

    problem: str
    limit: str = ""
    remedy: str = ""
    cure: Cure = Cure()


def words(mistake: Mistake) -> Words:
    """Return what is wrong, what would be allowed and what to do about it."""
    if mistake.is_key:
        return Words(f"the name itself is not allowed: {_own_words(mistake)}")
    return _WORDS.get(mistake.type, _other)(mistake)


def offered_keys(mistake: Mistake) -> tuple[str, ...]:
    """Return the keys that an unknown one was most likely meant to be, if there are any."""
    owner = bare(mistake.spot.owner)
    known = list(fields(owner)) if is_model(owner) else []
    word = str(mistake.spot.path[-1])
    return tuple(meant_keys(word, known) or closest(word, known))


def _missing(mistake: Mistake) -> Words:
    name = mistake.spot.path[-1] if mistake.spot.path else ""
    if isinstance(name, int):
        return Words("the list is too short", f"{len(_members(mistake.spot.owner))} entries")
    return Words("this key is missing", remedy=f"add {name}: with {_asked(mistake)} after it")


def _unknown(mistake: Mistake) -> Words:
    owner = bare(mistake.spot.owner)
    known = list(fields(owner)) if is_model(owner) else []
    word = str(mistake.spot.path[-1])
    if mistake.spot.value is None and (said := _torn_apart(word, known)):
        return said
    if said := _other_unit_of_key(word, mistake.spot.value, known):
        return said
    if near := offered_keys(mistake):
        cure = Cure(near[0]) if len(near) == 1 else Cure()
        return Words("unknown key", _listed(known), did_you_mean(near, word), cure)
    remedy = "check the spelling and the indentation"
    if mistake.spot.value is None:
        # `{name: bay, day}` is read as two keys; a single word may be a slip as well.
        remedy = f"check the spelling; {_JOINED}"
    return Words("unknown key", _listed(known), remedy)


def _torn_apart(word: str, known: list[str]) -> Words | None:
    """Return what to do about a key with nothing behind it that is no key, or None for others."""
    if word.isdigit():
        # In braces a comma ends the value: `size_mm2: 1,5` is read as 1 and a key 5.
        comma = "a comma starts the next key: write a decimal point, and no sign between thousands"
        return Words("unknown key", remedy=comma)
    key, colon, rest = plain_signs(word).partition(":")
    if colon and colon not in word:
        remedy = f"write `{key.strip()}: {rest.strip()}`; {odd_signs(word)}"
        return Words("unknown key", _listed(known), remedy)
    if " " in word and not closest(word, known):
        # `{source: pole fuse, told by the owner}` is read as two keys.
        return Words("unknown key", remedy=_JOINED)
    return None


def _other_unit_of_key(word: str, value: Any, known: list[str]) -> Words | None:  # noqa: ANN401
    """Return what to write for `plate_kw: 3`: the key there is in its own unit, or None."""
    stem, _, unit = word.rpartition("_")
    if not stem or not isinstance(value, int | float) or isinstance(value, bool):
        return None
    for key in known:
        asked = unit_of(key)
        if key.rpartition("_")[0] == stem and is_unit(unit) and is_unit(asked):
            turned = in_unit(float(value), unit, asked)
            if turned is not None and turned != value:
                number = f"{turned:.10g}"
                cure = Cure(key, written(float(number)))
                return Words("unknown key", _listed(known), f"write {key}: {number}", cure)
    return None


def _wrong_kind(mistake: Mistake) -> Words:
    value = mistake.spot.value
    asked = _asked(mistake)
    problem = f"must be {asked}"
    if value is None:
        return Words(problem, remedy="write a value after the colon, or remove the line")
    wanted = {kind(option) for option in _options(mistake)}
    remedy, change = _kind_remedy(value, wanted, mistake)
    limit = _number_limits(mistake) if Kind.NUMBER in wanted and _is_word(value) else ""
    return Words(problem, limit, remedy, Cure(change=change))


def _is_word(value: Any) -> bool:  # noqa: ANN401
    return isinstance(value, str) and not any(letter.isdigit() for letter in value)


def _number_limits(mistake: Mistake) -> str:
    """Return between what a number at this spot has to lie, with its unit."""
    limits = next((bounds(o) for o in _options(mistake) if kind(o) is Kind.NUMBER), "")
    return f"{limits} {_unit(mistake)}".strip() if limits else ""


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
    if Kind.NUMBER in wanted and (meant := number_meant(value, _key(mistake))).remedy:
        return meant.remedy, None if meant.number is None else written(meant.number)
    if near := closest(value, [str(choice) for choice in _choices(mistake)]):
        return did_you_mean(near, value), _one_of(near, mistake)
    truth = _TRUTH.get(value.strip().casefold())
    if wanted == {Kind.TRUTH} and truth is not None:
        return f"write true or false, here {str(truth).lower()}", written(truth)
    return None


def _choices(mistake: Mistake) -> list[Any]:
    return [choice for option in _options(mistake) for choice in choices(option)]


def _one_of(near: Sequence[str], mistake: Mistake) -> Change | None:
    """Return the change to the word that is meant, where only one can be."""
    if len(near) != 1:
        return None
    return written(next(choice for choice in _choices(mistake) if str(choice) == near[0]))


def _shape_remedy(
    value: Any,  # noqa: ANN401
    wanted: set[Kind],
    mistake: Mistake,
) -> tuple[str, Change | None] | None:
    """Return how what was written looks as the list or group that is asked for."""
    given = kind_of_value(value)
    if Kind.LIST in wanted and given in (Kind.TEXT, Kind.GROUP) and (entry := _entry(mistake)):
        remedy = f"start each entry with a `-`, such as `- {{{entry}: ...}}`"
        is_one = given is Kind.GROUP and not value.keys().isdisjoint(_entry_keys(mistake))
        by_id = with_ids if entry == _ID and given is Kind.GROUP else None
        return remedy, alone if is_one else by_id
    if Kind.LIST in wanted and _is_nested(mistake):
        return "write a list of lists, such as [[first, second]]", None
    if Kind.LIST in wanted and given is Kind.TEXT:
        return _listed_text(value, mistake)
    if Kind.GROUP in wanted and given is Kind.LIST and value:
        return _grouped(value[0])
    return None


def _listed_text(value: str, mistake: Mistake) -> tuple[str, Change | None] | None:
    """Return how one text looks as the list that is asked for: of numbers, or of names."""
    lists = [option for option in _options(mistake) if kind(option) is Kind.LIST]
    if kind(below(lists[0], 0)) is Kind.NUMBER:
        numbers = re.findall(r"[-+]?\d+(?:\.\d+)?", value)
        is_row = not re.search(r"[^\d\s.,;/x()+-]", value) and len(numbers) > 1
        return (f"write [{', '.join(numbers)}]", split) if is_row else None
    if "," in value:
        return f"write [{value}]", split
    return f"write [{value}], or [first, second] for several", alone


def _is_nested(mistake: Mistake) -> bool:
    """Whether a list of lists is asked for."""
    lists = [option for option in _options(mistake) if kind(option) is Kind.LIST]
    return any(kind(below(option, 0)) is Kind.LIST for option in lists)


def _grouped(first: Any) -> tuple[str, Change | None] | None:  # noqa: ANN401
    """Return how a list looks as a group, going by its first entry."""
    if isinstance(first, str):
        return f"write each with a colon and what is said of it: `{first}: ...`", None
    if isinstance(first, dict) and (name := first.get(_ID, first.get("name"))):
        return f"start each with its name, without a `-`: `{name}: {{...}}`", by_name
    return None


def _entry(mistake: Mistake) -> str:
    """Return the first key of an entry of the list that is asked for, or "" for bare values."""
    return next(iter(_entry_keys(mistake)), "")


def _entry_keys(mistake: Mistake) -> dict[str, Any]:
    """Return the keys of an entry of the list that is asked for; none for bare values."""
    lists = [option for option in _options(mistake) if kind(option) is Kind.LIST]
    members = [bare(member) for one in lists for member in options(below(one, 0))]
    if not members or not all(is_model(member) for member in members):
        return {}
    return fields(members[0])


def _not_whole(mistake: Mistake) -> Words:
    value = mistake.spot.value
    if isinstance(value, float):
        remedy = "write it in digits, without a decimal point or exponent"
        return Words("must be a whole number", remedy=remedy)
    return _wrong_kind(mistake)


def _choice(mistake: Mistake) -> Words:
    known = [str(choice) for choice in _choices(mistake)]
    value = mistake.spot.value
    if not isinstance(value, str):
        return Words("not one of the words allowed here", _listed(known))
    near = meant_words(value, known) or closest(value, known)
    remedy, cure = did_you_mean(near, value), Cure(change=_one_of(near, mistake))
    return Words("not one of the words allowed here", _listed(known), remedy, cure)


def _tag(mistake: Mistake) -> Words:
    said = _choice(mistake)
    return said if mistake.spot.value is not None else Words("this key is missing", said.limit)


def _bound(text: str, name: str) -> Callable[[Mistake], Words]:
    def say(mistake: Mistake) -> Words:
        limit = mistake.context.get(name)
        number = f"{limit:.12g}" if isinstance(limit, int | float) else str(limit)
        problem = "too small" if name in ("gt", "ge") else "too large"
        allowed = " ".join(part for part in (text, number, _unit(mistake)) if part)
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
        entry = _entry(mistake) if name == "min_length" else ""
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


def _options(mistake: Mistake) -> tuple[Any, ...]:
    found = options(mistake.spot.annotation)
    return tuple(option for option in found if kind(option) is not Kind.NOTHING)


def _members(owner: Any) -> tuple[Any, ...]:  # noqa: ANN401
    return tuple(getattr(bare(owner), "__args__", ()))


def _asked(mistake: Mistake) -> str:
    """Return what the model asks for, such as ``a number or one of B, C, D``."""
    parts: dict[str, None] = {}
    for option in _options(mistake):
        if allowed := choices(option):
            parts[f"one of {_listed([str(choice) for choice in allowed])}"] = None
        elif is_whole(option):
            parts["a whole number"] = None
        else:
            parts[str(kind(option))] = None
    return described(mistake.spot.annotation) or " or ".join(parts)


def _listed(known: list[str]) -> str:
    more = ", ..." if len(known) > _MAX_LISTED else ""
    return ", ".join(known[:_MAX_LISTED]) + more


def _key(mistake: Mistake) -> str:
    return next((step for step in reversed(mistake.spot.path) if isinstance(step, str)), "")


def _unit(mistake: Mistake) -> str:
    return unit_of(_key(mistake))


_WORDS: dict[str, Callable[[Mistake], Words]] = {
    WRONG_KIND: _wrong_kind,
    "missing": _missing,
    "extra_forbidden": _unknown,
    "enum": _choice,
    "union_tag_invalid": _tag,
    "union_tag_not_found": _tag,
    "literal_error": _choice,
    "int_type": _not_whole,
    "int_from_float": _not_whole,
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
    _wrong_kind,
)
