"""Signs that look like others or like nothing: named, and put into the plain ones they look like.

A letter of another alphabet, a full-width digit, a curly quote or a hard blank makes an id another
id without anybody seeing it. Imports nothing of the project.
"""

import unicodedata
from functools import lru_cache

# Capital and small letters that look the same in most typefaces (Unicode Technical Standard 39,
# confusables, from memory: those between Latin, Greek and Cyrillic that one cannot tell apart).
_SEEN_AS = dict(
    zip(
        "АВЕЗКМНОРСТУХІЈЅԚԜҮасекорухіјѕԛԝһԁ",
        "ABE3KMHOPCTYXIJSQWYacekopyxijsqwhd",
        strict=True,
    )
) | dict(zip("ΑΒΕΖΗΙΚΜΝΟΡΤΥΧοντρυχικα", "ABEZHIKMNOPTYXovtpuxika", strict=True))
_SEEN_AS |= dict.fromkeys("\u201c\u201d\u201e\u00ab\u00bb\u2033", '"')
_SEEN_AS |= dict.fromkeys("\u2018\u2019\u2032", "'")
_SEEN_AS |= dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2015\u2212", "-")
_SEEN_AS |= {"\u2236": ":", "\u201a": ","}
_QUOTES = frozenset({'"', "'"})
_MAX_NAMED = 2


def plain_signs(text: str) -> str:
    """Return a text with what looks like a plain sign as that sign, and the unseen left away.

    Letters and signs that look like nothing else stay as they are.
    """
    return text if text.isascii() else "".join(_plain(sign) for sign in text)


def odd_signs(text: str) -> str:
    """Return which signs of a text are not what they look like, by name, or "" for none.

    Such as ``its ... is CYRILLIC CAPITAL LETTER ER, not P``.
    """
    odd = [sign for sign in dict.fromkeys(text) if _plain(sign) != sign]
    named = dict.fromkeys(_named(sign) for sign in odd[:_MAX_NAMED])
    more = f", and {len(odd) - _MAX_NAMED} more" if len(odd) > _MAX_NAMED else ""
    return " and ".join(named) + more


def _named(sign: str) -> str:
    name = unicodedata.name(sign, f"U+{ord(sign):04X}")
    plain = _plain(sign)
    if plain in _QUOTES:
        return "an editor has curled the quotes: use straight quotes, or none"
    if not plain:
        return f"{name} stands in it unseen"
    if plain == " ":
        return f"a blank in it is {name}"
    return f"its {sign} is {name}, not {plain}"


@lru_cache(maxsize=1024)
def _plain(sign: str) -> str:
    if sign.isascii():
        return sign
    if sign in _SEEN_AS:
        return _SEEN_AS[sign]
    category = unicodedata.category(sign)
    if category == "Cf":
        return ""
    if category == "Zs":
        return " "
    # Full-width and mathematical letters and digits; an accent or a ligature stays what it is.
    other = unicodedata.normalize("NFKC", sign)
    is_wide = unicodedata.east_asian_width(sign) == "F"
    is_styled = unicodedata.name(sign, "").startswith("MATHEMATICAL")
    is_one = len(other) == 1 and "!" <= other <= "~"
    return other if is_one and (is_wide or is_styled) else sign
