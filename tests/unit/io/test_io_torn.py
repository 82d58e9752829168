"""A log cut off at any byte keeps every finished line."""

from pathlib import Path

import pytest

from spreadload.io.torn import HEAD, whole_part

_FIRST = "- {what: trip, circuits: [P1], dark: [B1]}\n"
_SECOND = "- {what: trip, circuits: [P2], dark: [B2]}\n"


@pytest.mark.parametrize("kept", range(1, len(_SECOND) - 1))
def test_a_cut_last_line_is_left_away(tmp_path: Path, kept: int) -> None:
    """Wherever the last line is cut, the lines before stand and the rest is told apart."""
    log = tmp_path / "log.yaml"
    log.write_text(HEAD + _FIRST + _SECOND[:kept], encoding="utf-8")
    part = whole_part(log)
    assert part.text == HEAD + _FIRST
    assert (part.torn, part.line) == (_SECOND[:kept].strip(), 3)


def test_a_whole_last_line_without_a_break_stands(tmp_path: Path) -> None:
    """An editor that leaves out the last line break costs no entry."""
    log = tmp_path / "log.yaml"
    log.write_text(HEAD + _FIRST + _SECOND.rstrip(), encoding="utf-8")
    part = whole_part(log)
    assert part.text == HEAD + _FIRST + _SECOND.rstrip()
    assert not part.torn
