"""Bytes of a file to text, refusing everything that is not a readable text file.

Imports only ``errors`` and ``suggest``.
"""

import re
import stat
from codecs import BOM_UTF16_BE, BOM_UTF16_LE
from pathlib import Path

from spreadload.errors import Fault, InputError
from spreadload.suggest import closest, did_you_mean

MAX_BYTES = 8_000_000
_MAX_NAMED = 6
_SAVE_AS_UTF8 = "save the file again as plain text in UTF-8"
_NOT_TEXT = re.compile("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def read_text(path: Path) -> str:
    """Return the text of a UTF-8 file, without a byte order mark.

    Raises:
        InputError: One fault: missing, a folder, unreadable, too big, binary, or not UTF-8.
    """
    return text_of(path, read_bytes(path))


def text_of(path: Path, content: bytes) -> str:
    """Return bytes of a file as text, without a byte order mark.

    Raises:
        InputError: One fault: binary, or not UTF-8.
    """
    if content.startswith((BOM_UTF16_LE, BOM_UTF16_BE)):
        raise _refusal(path, "the file is saved as UTF-16", _SAVE_AS_UTF8)
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        problem = "the file holds a character that is not UTF-8"
        raise _refusal(path, problem, _SAVE_AS_UTF8, line) from error
    if odd := _NOT_TEXT.search(text):
        line = text.count("\n", 0, odd.start()) + 1
        raise _refusal(path, "the file holds bytes that are not text", _SAVE_AS_UTF8, line)
    return text


def read_bytes(path: Path) -> bytes:
    """Return what a file holds.

    Raises:
        InputError: One fault: missing, a folder, unreadable or too big.
    """
    try:
        _require_plain_file(path)
        with path.open("rb") as file:
            content = file.read(MAX_BYTES + 1)
    except FileNotFoundError as error:
        raise _refusal(path, "the file cannot be found", _similar_name(path)) from error
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "its name is not a file name"
        remedy = "check the name, and that you may read it"
        raise _refusal(path, f"the file cannot be read: {reason}", remedy) from error
    if len(content) > MAX_BYTES:
        megabytes = MAX_BYTES // 1_000_000
        raise _refusal(path, f"the file is over {megabytes} MB", "check that this is the job file")
    return content


def _require_plain_file(path: Path) -> None:
    mode = path.stat().st_mode
    if stat.S_ISDIR(mode):
        raise _refusal(path, "this is a folder, not a file", "name a file inside it")
    if not stat.S_ISREG(mode):
        raise _refusal(path, "this is not an ordinary file", "name a file on the disk")


def _similar_name(path: Path) -> str:
    try:
        names = {other.stem: other.name for other in path.parent.iterdir() if other.is_file()}
    except OSError:
        return f"there is no folder {path.parent}"
    near = [names[stem] for stem in closest(path.stem, names)]
    alike = sorted(name for name in names.values() if path.suffix and name.endswith(path.suffix))
    there = f"the folder has {', '.join(alike[:_MAX_NAMED])}" if alike else ""
    return did_you_mean(near) or there or "check the name and the folder"


def _refusal(path: Path, problem: str, remedy: str, line: int = 0) -> InputError:
    return InputError([Fault(str(path), line, "", problem, remedy=remedy)])
