"""Bytes that are and are not a readable text file."""

import os
from pathlib import Path

import pytest

from spreadload.errors import Fault, InputError
from spreadload.io import text_file
from spreadload.io.text_file import read_text


def refusal(path: Path) -> Fault:
    """Return the one fault of a file that must be refused."""
    with pytest.raises(InputError) as raised:
        read_text(path)
    (fault,) = raised.value.faults
    assert fault.file == str(path)
    assert fault.remedy
    return fault


def test_utf8_with_and_without_mark(tmp_path: Path) -> None:
    """A byte order mark is no part of the text, and accents survive."""
    for name, encoding in (("a", "utf-8"), ("b", "utf-8-sig")):
        path = tmp_path / name
        path.write_text("salón: 1\n", encoding=encoding)
        assert read_text(path) == "salón: 1\n"


@pytest.mark.parametrize(
    ("content", "line", "words"),
    [("a: 1".encode("utf-16"), 0, "UTF-16"), ("a: 1".encode("utf-16-be"), 1, "not text"),
     (b"a: 1\nb: \xe9\n", 2, "not UTF-8"), (b"a: 1\n\nb: \x00\n", 3, "not text"),
     (b"PK\x03\x04\x14\x00", 1, "not text"), (b"\x1b[31mred", 1, "not text")],
)  # fmt: skip
def test_bytes_that_are_not_text(tmp_path: Path, content: bytes, line: int, words: str) -> None:
    """Other encodings and binary files are refused on the line where that shows."""
    path = tmp_path / "job.yaml"
    path.write_bytes(content)
    fault = refusal(path)
    assert (fault.line, words in fault.problem) == (line, True)


def test_missing_file_offers_a_like_name(tmp_path: Path) -> None:
    """A slip in a file name is answered with the file that is there."""
    (tmp_path / "site.yaml").write_text("a: 1")
    assert "site.yaml" in refusal(tmp_path / "sites.yaml").remedy
    assert "no folder" in refusal(tmp_path / "nowhere" / "sites.yaml").remedy


def test_folder_pipe_and_impossible_names(tmp_path: Path) -> None:
    """A folder, a pipe that would wait for ever and a name no file can have are refused."""
    assert "folder" in refusal(tmp_path).problem
    os.mkfifo(tmp_path / "pipe")
    assert "ordinary" in refusal(tmp_path / "pipe").problem
    assert refusal(tmp_path / "a\0b").problem
    assert refusal(tmp_path / ("x" * 5000)).problem


def test_unreadable_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file one may not read is a fault with the system's reason."""

    def refuse(*_: object) -> None:
        raise PermissionError(13, "Permission denied")

    path = tmp_path / "job.yaml"
    path.write_text("a: 1")
    monkeypatch.setattr(Path, "open", refuse)
    assert "Permission denied" in refusal(path).problem


def test_too_big_a_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file over the limit is refused, one at the limit is read."""
    monkeypatch.setattr(text_file, "MAX_BYTES", 10)
    path = tmp_path / "job.yaml"
    path.write_text("a" * 10)
    assert read_text(path) == "a" * 10
    path.write_text("a" * 11)
    assert "over" in refusal(path).problem
