"""Files are written whole or not at all."""

import errno
import os
from pathlib import Path

import pytest

from spreadload.errors import Fault, InputError
from spreadload.io.atomic import write_text_atomic


def refusal(path: Path) -> Fault:
    """Return the one fault of a file that cannot be written."""
    with pytest.raises(InputError) as raised:
        write_text_atomic(path, "new")
    (fault,) = raised.value.faults
    assert fault.file == str(path)
    assert fault.remedy
    return fault


def test_writes_and_replaces(tmp_path: Path) -> None:
    """Text arrives byte for byte, over an older file too, and nothing else is left behind."""
    path = tmp_path / "plan.json"
    for text in ("first\r\n", "sécond\n", ""):
        write_text_atomic(path, text)
        assert path.read_bytes() == text.encode()
    assert list(tmp_path.iterdir()) == [path]


def test_keeps_permissions(tmp_path: Path) -> None:
    """An existing file keeps its permissions; a new one gets the usual ones."""
    path, usual = tmp_path / "plan.json", tmp_path / "usual"
    usual.write_text("x")
    write_text_atomic(path, "a")
    assert path.stat().st_mode == usual.stat().st_mode
    path.chmod(0o640)
    write_text_atomic(path, "b")
    assert path.stat().st_mode & 0o777 == 0o640


def test_follows_a_link(tmp_path: Path) -> None:
    """A link stays a link and the file it points at changes."""
    real, link = tmp_path / "real", tmp_path / "link"
    real.write_text("old")
    link.symlink_to(real)
    write_text_atomic(link, "new")
    assert link.is_symlink()
    assert real.read_text() == "new"


def test_places_that_cannot_be_written(tmp_path: Path) -> None:
    """A missing folder, a file as folder, a folder as file and an impossible name are faults."""
    (tmp_path / "file").write_text("x")
    (tmp_path / "folder").mkdir()
    assert "folder first" in refusal(tmp_path / "gone" / "plan.json").remedy
    assert refusal(tmp_path / "file" / "plan.json").problem
    assert "inside" in refusal(tmp_path / "folder").remedy
    assert refusal(tmp_path / "a\0b").problem
    assert sorted(path.name for path in tmp_path.iterdir()) == ["file", "folder"]


@pytest.mark.parametrize("step", ["fsync", "replace"])
def test_a_full_disk_leaves_the_old_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str
) -> None:
    """When writing fails half-way the old file is whole and no scrap is left."""

    def fail(*_: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    path = tmp_path / "log.yaml"
    path.write_text("old")
    monkeypatch.setattr(os if step == "fsync" else Path, step, fail)
    assert "room" in refusal(path).remedy
    assert path.read_text() == "old"
    assert list(tmp_path.iterdir()) == [path]
