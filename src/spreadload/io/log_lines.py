"""A log with a broken line in it: each entry read for itself, so that one leaves the others alone.

For the commands of the day, which cannot wait until somebody has mended a file. Imports ``errors``,
the observations and its neighbours only.
"""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from spreadload.errors import Fault, InputError
from spreadload.io.torn import HEAD
from spreadload.job.observations import UNREADABLE, Log, Observation

_ENTRY = re.compile(r"^( *)- ")


@dataclass(frozen=True)
class Block:
    """The lines of one entry, or of something that is none.

    Attributes:
        line: Number of its first line, from 1.
        text: The lines.
        is_entry: Whether it starts as an entry does.
    """

    line: int
    text: str
    is_entry: bool


def readable_part(text: str, read: Callable[[str], Log]) -> tuple[Log, tuple[Fault, ...]]:
    """Return every entry of a log that can be read, and what is wrong with the others.

    Args:
        text: The log as it stands.
        read: Reads the text of a log; an entry at a time is given to it, at its own line.
    """
    kept: list[Observation] = []
    faults: list[Fault] = []
    for block in blocks(text):
        # Blank lines before the entry let faults name the line it has in the file.
        alone = f"{HEAD}{chr(10) * (block.line - 2)}{block.text}"
        try:
            kept += read(alone).observations
        except InputError as error:
            # What is no entry is a fault of the whole text: its line is that of the block.
            # What is written wrong comes before what is missing for it.
            first = max(error.faults, key=lambda fault: fault.key.count("."))
            faults.append(replace(first, line=max(first.line, block.line)))
            kept += [UNREADABLE] if block.is_entry else []
    return Log(observations=tuple(kept)), tuple(faults)


def blocks(text: str) -> Iterator[Block]:
    """Yield the entries of a log, each with the lines that belong to it, and what is no entry."""
    lines = text.splitlines()
    first = next((m for line in lines if (m := _ENTRY.match(line))), None)
    indent = len(first[1]) if first else 0
    start, held = 0, list[str]()
    for number, line in enumerate([*lines, None], 1):
        # What is further in than any entry, with none above it, still says something.
        is_outer = line is not None and (_depth(line) <= indent or not held)
        begins = line is None or (is_outer and bool(line.strip(" \t")))
        if begins and held:
            yield Block(start, "\n".join(held) + "\n", is_entry=bool(_ENTRY.match(held[0])))
            held = []
        is_head = line is not None and line.strip() == HEAD.strip()
        is_remark = line is not None and line.lstrip().startswith("#")
        if line is None or is_head or is_remark or not (begins or held):
            continue
        start = number if begins else start
        held.append(line)


def _depth(line: str) -> int:
    return len(line) - len(line.lstrip(" "))
