"""Every case in ``cases/`` is a command line with its exact output and exit code.

A case is a folder: ``command`` (arguments, seen from the top of the project), ``stdout``,
``stderr`` and ``exit``. After a wanted change run with ``SPREADLOAD_GOLDEN=write`` and read the
difference before committing it.
"""

import os
import shlex
from pathlib import Path

import pytest
from typer.testing import CliRunner

from spreadload.cli import cli

HERE = Path(__file__).parent
TOP = HERE.parents[1]
CASES = sorted(folder for folder in (HERE / "cases").iterdir() if folder.is_dir())


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_command_answers_as_recorded(case: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The command prints exactly what is kept in the case, on the right stream."""
    monkeypatch.chdir(TOP)
    words = shlex.split((case / "command").read_text(encoding="utf-8"))
    result = CliRunner().invoke(cli, words, prog_name="spreadload")
    said = {"stdout": result.stdout, "stderr": result.stderr, "exit": f"{result.exit_code}\n"}
    if os.environ.get("SPREADLOAD_GOLDEN") == "write":
        for name, text in said.items():
            (case / name).write_text(text, encoding="utf-8")
    kept = {name: (case / name).read_text(encoding="utf-8") for name in said}
    assert said == kept


def test_every_case_is_complete() -> None:
    """A case without one of its files would compare nothing."""
    for case in CASES:
        names = {path.name for path in case.iterdir()}
        assert names == {"command", "stdout", "stderr", "exit"}, case.name


def test_there_are_ten_broken_jobs() -> None:
    """Bad input is tried in at least ten ways, each ending in exit code 2 with a fault."""
    broken = [case for case in CASES if (case / "exit").read_text(encoding="utf-8") == "2\n"]
    assert len(broken) >= 10
    for case in broken:
        assert (case / "stdout").read_text(encoding="utf-8") == ""
        assert (case / "stderr").read_text(encoding="utf-8").startswith("error: ")
