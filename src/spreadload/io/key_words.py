"""What is said of a key that is not known: which was meant, or what it was torn from.

Imports only its neighbours.
"""

import re
from typing import Any

from spreadload.io.asked import (
    Words,
    listed,
)
from spreadload.io.cures import Cure, retyped, written
from spreadload.io.everyday import meant_keys
from spreadload.io.mistakes import SCALAR_KINDS, Mistake
from spreadload.io.numbers_written import unit_of
from spreadload.io.shape import (
    Kind,
    bare,
    below,
    fields,
    is_model,
    kind,
    kind_of_value,
    options,
)
from spreadload.io.units_written import in_unit, is_unit
from spreadload.lookalikes import odd_signs, plain_signs
from spreadload.suggest import closest, did_you_mean

_NESTED = frozenset({Kind.LIST, Kind.GROUP})
_GLUED = re.compile(r"([A-Za-z][A-Za-z_0-9]*)\s*[:= ]\s*(.+)")
_JOINED = "if it belongs to the text before the comma, put quotes around all of it"


def unknown_key(mistake: Mistake) -> Words:
    """Return what is said of a key that is not known."""
    owner = bare(mistake.spot.owner)
    known = list(fields(owner)) if is_model(owner) else []
    word = str(mistake.spot.path[-1])
    if mistake.spot.value is None and (said := _torn_apart(word, known)):
        return said
    if said := _other_unit_of_key(word, mistake.spot.value, known):
        return said
    if near := offered_keys(mistake):
        cure = Cure(near[0]) if len(near) == 1 else Cure()
        return Words("unknown key", listed(known), did_you_mean(near, word), cure)
    remedy = "check the spelling and the indentation"
    if mistake.spot.value is None:
        # `{name: bay, day}` is read as two keys; a single word may be a slip as well.
        remedy = f"check the spelling; {_JOINED}"
    return Words("unknown key", listed(known), remedy)


def offered_keys(mistake: Mistake) -> tuple[str, ...]:
    """Return the keys that an unknown one was most likely meant to be, if there are any."""
    owner = bare(mistake.spot.owner)
    known = list(fields(owner)) if is_model(owner) else []
    word = str(mistake.spot.path[-1])
    near = meant_keys(word, known) or closest(word, known)
    fitting = [key for key in near if _goes_there(mistake.spot.value, below(owner, key))]
    # What is there already is hardly what is missing.
    open_ = [key for key in fitting if key not in (mistake.spot.around or ())]
    return tuple(open_ or fitting)


def _goes_there(value: Any, annotation: Any) -> bool:  # noqa: ANN401
    """Whether a key could be meant for what stands behind it: no group goes where a number does."""
    given = kind_of_value(value)
    asked = {kind(option) for option in options(annotation)}
    if given is Kind.NOTHING or Kind.ANY in asked:
        return True
    if given not in _NESTED:
        return not asked.isdisjoint(SCALAR_KINDS)
    models = [model for option in options(annotation) if is_model(model := bare(option))]
    is_other = models and value and isinstance(value, dict)
    is_other = is_other and not any(value.keys() & fields(model).keys() for model in models)
    return not asked.isdisjoint(_NESTED) and not is_other


def _torn_apart(word: str, known: list[str]) -> Words | None:
    """Return what to do about a key with nothing behind it that is no key, or None for others."""
    if word.isdecimal():
        # In braces a comma ends the value: `size_mm2: 1,5` is read as 1 and a key 5.
        comma = "a comma starts the next key: write a decimal point, and no sign between thousands"
        return Words("unknown key", remedy=comma)
    # `circuit P1`, `plate_w=300`, `count:2`, or a colon that only looks like one.
    glued = _GLUED.fullmatch(plain_signs(word))
    if glued and glued[1] in known:
        odd = odd_signs(word) or "with a colon and a blank behind it"
        cure = Cure(glued[1], retyped(glued[2]))
        return Words("unknown key", remedy=f"write `{glued[1]}: {glued[2]}`; {odd}", cure=cure)
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
                return Words("unknown key", listed(known), f"write {key}: {number}", cure)
    return None
