"""The README tells the truth: every command in it runs and prints what is shown.

After a wanted change run with ``SPREADLOAD_README=write`` and read the difference.
"""

import os
import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest
from typer.testing import CliRunner

from spreadload.cli import cli

TOP = Path(__file__).parents[2]
README = TOP / "README.md"
CONSOLE = re.compile(r"```console\n\$ (?P<command>[^\n]+)\n(?P<shown>.*?)\n```", re.DOTALL)
SHELL = re.compile(r"```sh\n(?P<line>[^\n]+)\n```")
YAML = re.compile(r"## Writing a job\n.*?```yaml\n(?P<job>.*?)```", re.DOTALL)
PYTHON = re.compile(r"```python\n(?P<code>.*?)```", re.DOTALL)


def text() -> str:
    """Return the README."""
    return README.read_text(encoding="utf-8")


SHOWN = [match["command"] for match in CONSOLE.finditer(text())]
LINES = [match["line"] for match in SHELL.finditer(text())]


@pytest.mark.parametrize("command", SHOWN)
def test_shown_output_is_real(command: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """What stands below a command is what the command prints, to the letter."""
    monkeypatch.chdir(TOP)
    program, *words = shlex.split(command)
    assert program == "spreadload"
    result = CliRunner().invoke(cli, words, prog_name="spreadload")
    printed = result.stdout.rstrip("\n")
    if os.environ.get("SPREADLOAD_README") == "write":
        README.write_text(_with(command, printed), encoding="utf-8")
    shown = next(m["shown"] for m in CONSOLE.finditer(text()) if m["command"] == command)
    assert shown == printed


def _with(command: str, printed: str) -> str:
    def put(match: re.Match[str]) -> str:
        new = f"```console\n$ {command}\n{printed}\n```"
        return new if match["command"] == command else match[0]

    return CONSOLE.sub(put, text())


def test_first_screen_has_a_job_a_command_and_its_answer() -> None:
    """A newcomer sees all three before scrolling."""
    assert SHOWN[0].startswith("spreadload plan ")
    assert text().index("```console") < text().index("## Start")


def test_two_lines_start_everything() -> None:
    """One line plans a shipped scenario, one runs the tests, each to be pasted whole."""
    assert len(LINES) == 2
    assert all(line.startswith("python3 -m venv ") for line in LINES)


@pytest.mark.parametrize("line", LINES)
def test_lines_to_paste_work_once_installed(line: str) -> None:
    """Making the environment is left out; the rest runs as written."""
    _, install, last = line.split(" && ")
    assert " install " in install
    words = shlex.split(last)
    program = {"spreadload": [sys.executable, "-m", "spreadload"], "python": [sys.executable]}
    words = [*program[Path(words[0]).name], *words[1:]]
    if "pytest" in words:
        words += ["--collect-only", "tests/docs"]
    done = subprocess.run(words, cwd=TOP, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def test_library_example_runs(monkeypatch: pytest.MonkeyPatch) -> None:
    """The lines of Python are a program that works."""
    monkeypatch.chdir(TOP)
    (code,) = (match["code"] for match in PYTHON.finditer(text()))
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("FITS")


def test_files_named_exist() -> None:
    """Every path in the README leads somewhere."""
    for path in re.findall(r"\]\(([^)#]+)\)", text()):
        assert (TOP / path).exists(), path
    for scenario in set(re.findall(r"scenarios/\w+", text())):
        assert (TOP / scenario / "job.yaml").is_file(), scenario


def test_the_job_to_copy_is_planned(tmp_path: Path) -> None:
    """What a newcomer copies into a file is read and gets a plan."""
    match = YAML.search(text())
    assert match
    job = tmp_path / "job.yaml"
    job.write_text(match["job"], encoding="utf-8")
    result = CliRunner().invoke(cli, ["plan", str(job), "--brief"], prog_name="spreadload")
    assert result.exit_code == 0, result.stderr
    assert result.stdout.startswith("FITS")
