"""A number as somebody wrote it, and how a file wants it: ``16A``, ``2.4 kW``, ``3,5``, ``twenty``.

Imports only its neighbours, ``lookalikes`` and the project's conversions.
"""

import re
from typing import NamedTuple

from spreadload.io.number_words import number_in_words
from spreadload.io.units_written import in_unit
from spreadload.lookalikes import odd_signs, plain_signs
from spreadload.units import FULL_PCT

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


_LETTERS_FOR_DIGITS = str.maketrans("OolI|", "00111")


class Meant(NamedTuple):
    """How to write a number, and the number where there is no doubt about it."""

    remedy: str = ""
    number: float | None = None


def unit_of(key: str) -> str:
    """Return the unit of a key: what its ending says, and metres for a position."""
    if key == "at":
        return "m"
    return _UNITS.get(key.rpartition("_")[2], "") if "_" in key else ""


def number_meant(text: str, key: str = "") -> Meant:
    """Return how to write as a number what someone wrote as text; nothing when it is no number.

    Args:
        text: What was written, perhaps with a unit behind it.
        key: The key it stands under, whose ending says in what unit the number is read.
    """
    odd = odd_signs(text)
    meant = _in_plain_signs(plain_signs(text), key)
    if odd and meant.remedy:
        return Meant(f"{meant.remedy}; {odd}", meant.number)
    return meant


def _in_plain_signs(text: str, key: str) -> Meant:
    spelt = number_in_words(text)
    if spelt is not None:
        return Meant(f"write it in digits: {spelt}", spelt)
    tight = text.strip().replace(" ", "").replace("_", "").replace("'", "")
    if meant := _with_letters(tight) or _with_points(tight):
        return meant
    if re.fullmatch(r"[-+]?\d{1,3}(,\d{3})+", tight):
        whole, decimal = tight.replace(",", ""), tight.replace(",", ".")
        if tight.count(",") > 1:
            return Meant(f"write {whole}", int(whole))
        return Meant(f"write {whole}, or {decimal} if the comma is a decimal mark")
    found = re.match(r"[-+]?0*(\d+(?:[.,]\d+)?)\s*([a-zA-Zµ%Ω²]*2?)$", tight)
    if not found:
        return Meant()
    sign = "-" if tight.startswith("-") else ""
    number = sign + found[1].replace(",", ".")
    return _in_asked_unit(number, found[2], key)


def _with_letters(tight: str) -> Meant | None:
    """Return what a number with letters that look like digits is, such as `2O` and `l6`."""
    letters = " and ".join(dict.fromkeys(re.findall(r"[OolI|]", tight)))
    digits = tight.translate(_LETTERS_FOR_DIGITS)
    if (
        not letters
        or not re.search(r"\d", tight)
        or tight.startswith("0o")
        or not re.fullmatch(r"\d+(\.\d+)?", digits)
    ):
        return None
    number = _number(re.sub(r"^0+(?=\d)", "", digits))
    return Meant(f"write it in digits: {number}; {letters} is a letter", number)


def _with_points(tight: str) -> Meant | None:
    """Return what a number with points between thousands is, such as `1.200.000`."""
    if not re.fullmatch(r"\d{1,3}(\.\d{3}){2,}", tight):
        return None
    whole = tight.replace(".", "")
    return Meant(f"write {whole}", int(whole))


def _in_asked_unit(number: str, written: str, key: str) -> Meant:
    """Return what to write for a number with a unit, or nothing, behind it."""
    asked = unit_of(key)
    if written == "%" and not asked:
        share = float(number) / FULL_PCT
        return Meant(f"write a share of one: {share:.10g}", share)
    turned = in_unit(float(number), written, asked)
    if turned is None or (written == "%" and asked != "%"):
        return Meant(f"this key is in {asked}: {_elsewhere(number, written, key)}")
    if turned == float(number):
        remedy = f"write the number alone, without unit or quotes: {number}"
        return Meant(remedy, _number(number))
    # Nobody measures a house to the millimetre; what fractions of an amp were meant is kept.
    turned = round(turned, 2) if asked in {"m", "ft"} else turned
    return Meant(f"this key is in {asked}: write {turned:.10g}", _number(f"{turned:.10g}"))


def _number(text: str) -> float:
    return int(text) if re.fullmatch(r"-?\d+", text) else float(text)


def _elsewhere(number: str, written: str, key: str) -> str:
    """Return what to do with a unit that cannot be turned into that of the key."""
    other = _OTHER_UNIT.get(key, "")
    meant = in_unit(float(number), written, unit_of(other)) if other else None
    if meant is None:
        return "write that number alone"
    return f"{written} goes under {other}, as {meant:.10g}"
