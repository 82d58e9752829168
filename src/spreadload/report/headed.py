"""The first keys of every answer as data. Imports nothing, so that an answer loads little."""

from collections.abc import Mapping
from typing import Any

VERSION = 1

Data = dict[str, Any]


def headed(command: str, data: Mapping[str, Any]) -> Data:
    """Return an answer under its format and version; README.md tells the shape."""
    return {"format": f"spreadload {command} answer", "version": VERSION, **data}
