"""A mistake in words a lighting crew understands: what is wrong, what is allowed, what to do.

Imports only its neighbours.
"""

import re
from collections.abc import Callable
from typing import Any, NamedTuple

from spreadload.io.clock_words import clock_written
from spreadload.io.everyday import meant_keys, meant_words
from spreadload.io.mistakes import WRONG_KIND, Mistake
from spreadload.io.number_words import number_in_words
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
from spreadload.suggest import closest, did_you_mean, suggest
from spreadload.units import FULL_PCT

_MAX_LISTED = 16
_CURLED = ("“", "”", "„", "\u2018", "\u2019", "«", "»")
_UNITS = {
    "a": "A",
    "ma": "mA",
    "w": "W",
    "va": "VA",
    "v": "V",
    "m": "m",
    "ft": "ft",
    "mm2": "mm²",
    "pct": "%",
    "min": "min",
    "ohm": "Ω",
    "s": "s",
}
# Watts and volt-amps differ by a power factor, so neither is turned into the other.
_OTHER_UNIT = {
    "plate_w": "plate_va",
    "plate_va": "plate_w",
    "contract_w": "contract_va",
    "contract_va": "contract_w",
}
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


def number_remedy(text: str, key: str = "") -> str:
    """Return how to write as a number what someone wrote as text, or "" when it is no number.

    Args:
        text: What was written, perhaps with a unit behind it.
        key: The key it stands under, whose ending says in what unit the number is read.
    """
    tight = text.strip().replace(" ", "").replace("_", "")
    if re.fullmatch(r"[-+]?\d{1,3}(,\d{3})+", tight):
        whole, decimal = tight.replace(",", ""), tight.replace(",", ".")
        also = f", or {decimal} if the comma is a decimal mark" if tight.count(",") == 1 else ""
        return f"write {whole}{also}"
    found = re.match(r"[-+]?0*(\d+(?:[.,]\d+)?)\s*([a-zA-Zµ%Ω²]*2?)$", tight)
    if not found:
        return ""
    sign = "-" if tight.startswith("-") else ""
    number = sign + found[1].replace(",", ".")
    return _in_asked_unit(number, found[2], key)


def _in_asked_unit(number: str, written: str, key: str) -> str:
    """Return what to write for a number with a unit, or nothing, behind it."""
    asked = _unit_of(key)
    if written == "%" and not asked:
        return f"write a share of one: {float(number) / FULL_PCT:.10g}"
    turned = in_unit(float(number), written, asked)
    if turned is None or (written == "%" and asked != "%"):
        return f"this key is in {asked}: {_elsewhere(number, written, key)}"
    if turned == float(number):
        return f"write the number alone, without unit or quotes: {number}"
    # Nobody measures a house to the millimetre; what fractions of an amp were meant is kept.
    turned = round(turned, 2) if asked in {"m", "ft"} else turned
    return f"this key is in {asked}: write {turned:.10g}"


def _elsewhere(number: str, written: str, key: str) -> str:
    """Return what to do with a unit that cannot be turned into that of the key."""
    other = _OTHER_UNIT.get(key, "")
    meant = in_unit(float(number), written, _unit_of(other)) if other else None
    if meant is None:
        return "write that number alone"
    return f"{written} goes under {other}, as {meant:.10g}"


def _missing(mistake: Mistake) -> Words:
    name = mistake.spot.path[-1] if mistake.spot.path else ""
    if isinstance(name, int):
        return Words("the list is too short", f"{len(_members(mistake.spot.owner))} entries")
    return Words("this key is missing", remedy=f"add {name}: with {_asked(mistake)} after it")


def _unknown(mistake: Mistake) -> Words:
    owner = bare(mistake.spot.owner)
    known = list(fields(owner)) if is_model(owner) else []
    word = str(mistake.spot.path[-1])
    if word.isdigit() and mistake.spot.value is None:
        # In braces a comma ends the value: `size_mm2: 1,5` is read as 1 and a key 5.
        comma = "a comma starts the next key: write a decimal point, and no sign between thousands"
        return Words("unknown key", remedy=comma)
    hint = _other_unit_of_key(word, mistake.spot.value, known)
    hint = hint or did_you_mean(offered_keys(mistake))
    if not hint and mistake.spot.value is None:
        # `{source: pole fuse, told by the owner}` is read as two keys, `{name: bay, day}` as well.
        joined = "if it belongs to the text before the comma, put quotes around all of it"
        if " " in word:
            return Words("unknown key", remedy=joined)
        return Words("unknown key", _listed(known), f"check the spelling; {joined}")
    return Words("unknown key", _listed(known), hint or "check the spelling and the indentation")


def _other_unit_of_key(word: str, value: Any, known: list[str]) -> str:  # noqa: ANN401
    """Return what to write for `plate_kw: 3`: the key there is, in its own unit; "" for others."""
    stem, _, written = word.rpartition("_")
    if not stem or not isinstance(value, int | float) or isinstance(value, bool):
        return ""
    for key in known:
        asked = _unit_of(key)
        if key.rpartition("_")[0] == stem and is_unit(written) and is_unit(asked):
            turned = in_unit(float(value), written, asked)
            if turned is not None and turned != value:
                return f"write {key}: {turned:.10g}"
    return ""


def _wrong_kind(mistake: Mistake) -> Words:
    value = mistake.spot.value
    asked = _asked(mistake)
    problem = f"must be {asked}"
    if value is None:
        return Words(problem, remedy="write a value after the colon, or remove the line")
    wanted = {kind(option) for option in _options(mistake)}
    remedy = _kind_remedy(value, wanted, mistake)
    limit = _number_limits(mistake) if Kind.NUMBER in wanted and _is_word(value) else ""
    return Words(problem, limit, remedy)


def _is_word(value: Any) -> bool:  # noqa: ANN401
    return isinstance(value, str) and not any(letter.isdigit() for letter in value)


def _number_limits(mistake: Mistake) -> str:
    """Return between what a number at this spot has to lie, with its unit."""
    limits = next((bounds(o) for o in _options(mistake) if kind(o) is Kind.NUMBER), "")
    return f"{limits} {_unit(mistake)}".strip() if limits else ""


def _kind_remedy(value: Any, wanted: set[Kind], mistake: Mistake) -> str:  # noqa: ANN401
    given = kind_of_value(value)
    if given is Kind.TEXT:
        known = [str(choice) for option in _options(mistake) for choice in choices(option)]
        number = _digits(value, _key(mistake)) if Kind.NUMBER in wanted else ""
        if hint := number or suggest(value, known):
            return hint
    if shape := _shape_remedy(value, wanted, mistake):
        return shape
    if given is Kind.TRUTH and Kind.TEXT in wanted:
        return "put quotes around it if it is meant as text"
    if given is Kind.GROUP and Kind.TEXT in wanted and isinstance(mistake.spot.path[-1], int):
        return "write names alone, or one group for all: {first: 1, second: 2}"
    return next((remedy for kind_, remedy in _KIND_REMEDIES.items() if kind_ in wanted), "")


def _digits(value: str, key: str) -> str:
    """Return how to write in digits what stands in words or with a unit, or "" for other text."""
    spelt = number_in_words(value)
    return number_remedy(value, key) if spelt is None else f"write it in digits: {spelt}"


def _shape_remedy(value: Any, wanted: set[Kind], mistake: Mistake) -> str:  # noqa: ANN401
    """Return how what was written looks as the list or group that is asked for."""
    given = kind_of_value(value)
    if Kind.LIST in wanted and given in (Kind.TEXT, Kind.GROUP) and (entry := _entry(mistake)):
        return f"start each entry with a `-`, such as `- {{{entry}: ...}}`"
    if Kind.LIST in wanted and given is Kind.TEXT and "," not in value:
        return f"write [{value}], or [first, second] for several"
    if Kind.GROUP in wanted and given is Kind.LIST and value and isinstance(value[0], str):
        return f"write each with a colon and what is said of it: `{value[0]}: ...`"
    return ""


def _entry(mistake: Mistake) -> str:
    """Return the first key of an entry of the list that is asked for, or "" for bare values."""
    lists = [option for option in _options(mistake) if kind(option) is Kind.LIST]
    members = [bare(member) for one in lists for member in options(below(one, 0))]
    if not members or not all(is_model(member) for member in members):
        return ""
    return next(iter(fields(members[0])))


def _not_whole(mistake: Mistake) -> Words:
    value = mistake.spot.value
    if isinstance(value, float):
        remedy = "write it in digits, without a decimal point or exponent"
        return Words("must be a whole number", remedy=remedy)
    return _wrong_kind(mistake)


def _choice(mistake: Mistake) -> Words:
    known = [str(choice) for option in _options(mistake) for choice in choices(option)]
    value = mistake.spot.value
    hint = ""
    if isinstance(value, str):
        hint = did_you_mean(meant_words(value, known) or closest(value, known))
    return Words("not one of the words allowed here", _listed(known), hint)


def _tag(mistake: Mistake) -> Words:
    said = _choice(mistake)
    return said if mistake.spot.value is not None else Words("this key is missing", said.limit)


def _bound(text: str, name: str) -> Callable[[Mistake], Words]:
    def say(mistake: Mistake) -> Words:
        limit = mistake.context.get(name)
        number = f"{limit:.12g}" if isinstance(limit, int | float) else str(limit)
        problem = "too small" if name in ("gt", "ge") else "too large"
        allowed = " ".join(part for part in (text, number, _unit(mistake)) if part)
        return Words(problem, allowed, _of_one(mistake.spot.value, limit))

    return say


def _of_one(value: Any, limit: Any) -> str:  # noqa: ANN401
    """Return how to write what was given in per cent where a share of one is asked for."""
    is_percent = limit == 1 and isinstance(value, int | float) and 1 < value <= FULL_PCT
    return f"write {value / FULL_PCT:g} for {value:g} %" if is_percent else ""


def _length(problem: str, text: str, name: str, of: str) -> Callable[[Mistake], Words]:
    def say(mistake: Mistake) -> Words:
        number = mistake.context.get(name)
        counted = "entry" if (of, number) == ("entries", 1) else of
        entry = _entry(mistake) if name == "min_length" else ""
        remedy = f"add one that starts with a `-`, such as `- {{{entry}: ...}}`" if entry else ""
        return Words(problem, f"{text} {number} {counted}", remedy)

    return say


def _pattern(mistake: Mistake) -> Words:
    asked = described(mistake.spot.annotation)
    is_quoted = str(mistake.spot.value)[:1] in _CURLED
    remedy = "use straight quotes, or none: an editor has curled these" if is_quoted else ""
    if asked.startswith("a time of day") and (meant := clock_written(str(mistake.spot.value))):
        remedy = f"write {meant}"
    pattern = str(mistake.context.get("pattern"))
    return Words("not written the way it must be", asked or pattern, remedy)


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
    return _unit_of(_key(mistake))


def _unit_of(key: str) -> str:
    """Return the unit of a key: what its ending says, and metres for a position."""
    if key == "at":
        return "m"
    return _UNITS.get(key.rpartition("_")[2], "") if "_" in key else ""


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
