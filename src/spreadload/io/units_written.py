"""Units as people write them behind a number, and what the number is in the unit of a key.

Imports only the project's conversions.
"""

from spreadload.units import FOOT_M

# What is measured and how many of its base unit one is; `W` and `VA` are told apart.
_WRITTEN: dict[str, tuple[str, float]] = {
    **dict.fromkeys(("a", "amp", "amps", "ampere"), ("A", 1.0)),
    "ma": ("A", 1e-3),
    **dict.fromkeys(("w", "watt", "watts"), ("W", 1.0)),
    "kw": ("W", 1e3),
    "va": ("VA", 1.0),
    "kva": ("VA", 1e3),
    **dict.fromkeys(("v", "volt", "volts"), ("V", 1.0)),
    "kv": ("V", 1e3),
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), ("m", 1.0)),
    "cm": ("m", 1e-2),
    "mm": ("m", 1e-3),
    **dict.fromkeys(("ft", "foot", "feet"), ("m", FOOT_M)),
    **dict.fromkeys(("in", "inch", "inches"), ("m", FOOT_M / 12)),
    **dict.fromkeys(("min", "mins", "minute", "minutes"), ("min", 1.0)),
    **dict.fromkeys(("h", "hr", "hrs", "hour", "hours"), ("min", 60.0)),
    **dict.fromkeys(("s", "sec", "secs", "second", "seconds"), ("min", 1 / 60)),
}


def in_unit(number: float, written: str, asked: str) -> float | None:
    """Return a number with a unit written behind it in the unit that is asked for.

    Args:
        number: The number as written.
        written: What stands behind it; a word that is no unit here changes nothing.
        asked: The unit of the key, or "" for a bare number.

    Returns:
        The number to write, or None where the two measure different things.
    """
    had, wants = _WRITTEN.get(written.casefold()), _WRITTEN.get(asked.casefold())
    if had is None or wants is None:
        return number
    return number * had[1] / wants[1] if had[0] == wants[0] else None


def is_unit(written: str) -> bool:
    """Whether a word is a unit that numbers are turned from and into here."""
    return written.casefold() in _WRITTEN
