"""Times of day as people write them, and how a job file wants them. Imports nothing."""

import re

_WRITTEN = re.compile(r"(\d{1,2})(?:\s*[:.h]?\s*(\d{2}))?\s*([ap])?\.?m?\.?\s*(?:h|hrs|uhr)?")
_NOON_H, _DAY_H = 12, 24
_SIGNS = {"noon": "12:00", "midday": "12:00", "midnight": "24:00"}


def clock_written(text: str) -> str:
    """Return a time such as ``9am``, ``9.30``, ``0730`` or ``noon`` as ``9:00``, or "" for others.

    A bare number is taken for hours, three or four digits for hours and minutes.
    """
    plain = text.strip().casefold()
    if plain in _SIGNS:
        return _SIGNS[plain]
    found = _WRITTEN.fullmatch(plain)
    if found is None:
        return ""
    hour, minute = int(found[1]), int(found[2] or 0)
    if found[3] and not 1 <= hour <= _NOON_H:
        return ""
    if found[3]:
        hour = hour % _NOON_H + (_NOON_H if found[3] == "p" else 0)
    is_time = hour < _DAY_H and minute < 60  # noqa: PLR2004 - minutes to the hour
    return f"{hour}:{minute:02d}" if is_time else ""
