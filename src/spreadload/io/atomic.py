"""Write a file whole or not at all. Imports only ``errors``."""

import errno
import os
import secrets
import shutil
from contextlib import suppress
from pathlib import Path

from spreadload.errors import Fault, InputError

_REMEDIES = {
    errno.ENOENT: "make the folder first, or name another",
    errno.ENOTDIR: "name a folder, not a file, before the last /",
    errno.EISDIR: "name a file inside the folder",
    errno.EACCES: "choose a folder you may write to",
    errno.EPERM: "choose a folder you may write to",
    errno.EROFS: "choose a folder you may write to",
    errno.ENOSPC: "make room on the disk",
}


def write_text_atomic(path: Path, text: str) -> None:
    """Write text so that a reader, or a power cut, sees the old file or the new one.

    A link is followed, and an existing file keeps its permissions.

    Args:
        path: The file to write.
        text: Its whole content; stored as UTF-8 with line ends as given.

    Raises:
        InputError: The folder is missing, full or not writable; the old file is untouched.
    """
    content = text.encode()
    try:
        target = Path(os.path.realpath(path))
        if target.is_dir():
            raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR))
        _replace(target, content)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "its name is not a file name"
        remedy = _REMEDIES.get(getattr(error, "errno", None) or 0, "choose another file name")
        fault = Fault(str(path), 0, "", f"cannot be written: {reason}", remedy=remedy)
        raise InputError([fault]) from error


def _replace(target: Path, content: bytes) -> None:
    # In the same folder, because only a move within one file system is atomic.
    beside = target.with_name(f".{target.name[:100]}.{secrets.token_hex(6)}.tmp")
    try:
        with beside.open("xb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        if target.exists():
            shutil.copymode(target, beside)
        beside.replace(target)
    except BaseException:
        with suppress(OSError):
            beside.unlink(missing_ok=True)
        raise
    _sync_folder(target.parent)


def _sync_folder(folder: Path) -> None:
    """Make the new name itself last; not every system can open a folder, and none must."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
