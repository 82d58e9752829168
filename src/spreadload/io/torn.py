"""The readable part of a log whose last line was cut off: by a dead battery, a full disk, a copy.

Every entry this project writes is one line that ends in a line break, so a line without one that
does not stand for itself was never finished. Imports ``errors``, its neighbours and yaml only.
"""

from dataclasses import dataclass
from pathlib import Path

import yaml

from spreadload.io.text_file import read_bytes, text_of

HEAD = "observations:\n"


@dataclass(frozen=True)
class Part:
    """What can be read of a log.

    Attributes:
        text: Every finished line.
        torn: The unfinished last line as far as it can be read, or "".
        line: Its number, from 1; 0 when nothing is torn.
    """

    text: str
    torn: str = ""
    line: int = 0


def whole_part(path: Path) -> Part:
    """Return the finished lines of a log, and apart from them what was cut off.

    Raises:
        InputError: The file cannot be read, or its finished lines are not text.
    """
    content = read_bytes(path)
    kept, _, last = content.rpartition(b"\n")
    kept = kept + b"\n" if kept or content.startswith(b"\n") else b""
    if not last.strip() or _stands(last, is_first=not kept):
        return Part(text_of(path, content))
    torn = "".join(c if c.isprintable() else "?" for c in last.decode("utf-8", "replace"))
    return Part(text_of(path, kept), torn.strip(), kept.count(b"\n") + 1)


def _stands(last: bytes, *, is_first: bool) -> bool:
    """Whether a last line without a line break is complete all the same."""
    try:
        line = last.decode("utf-8").strip()
    except UnicodeDecodeError:
        return False
    if is_first and HEAD.startswith(line.removesuffix("\n")) and line != HEAD.strip():
        return False
    if not line.startswith("-"):
        return True
    return _is_entry(line)


def _is_entry(line: str) -> bool:
    try:
        entries = yaml.safe_load(line)
    except yaml.YAMLError:
        return False
    return isinstance(entries, list) and len(entries) == 1 and isinstance(entries[0], dict)
