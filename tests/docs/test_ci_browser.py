"""How the check on a clean machine comes by a browser, with every command it calls made up."""

import os
import subprocess
from pathlib import Path

import pytest

SCRIPT = Path(__file__).parents[2] / ".ci/browser"
FAILS = "exit 1"


def run(folder: Path, commands: dict[str, str], **env: str) -> subprocess.CompletedProcess[str]:
    """Run the script on a machine that has these commands and no others."""
    commands = {"id": "echo 0", "python": FAILS} | commands
    for name, body in commands.items():
        path = folder / name
        path.write_text(f'#!/bin/bash\necho "{name} $*" >>"{folder}/called.log"\n{body}\n')
        path.chmod(0o755)
    return subprocess.run(
        ["/bin/bash", str(SCRIPT), "python"],
        env={"PATH": str(folder)} | env,
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )


def called(folder: Path) -> str:
    """Return which of the commands were called."""
    log = folder / "called.log"
    return log.read_text() if log.exists() else ""


@pytest.mark.parametrize("name", ["chromium", "google-chrome"])
def test_a_browser_that_is_there_is_left_alone(name: str, tmp_path: Path) -> None:
    """Nothing is installed where a browser is on the path."""
    found = run(tmp_path, {name: "true", "apt-get": "true"}, CI="true")
    assert (found.returncode, found.stdout) == (0, "yes\n")
    assert called(tmp_path) == ""


def test_the_distribution_is_asked_first(tmp_path: Path) -> None:
    """As root, apt-get brings it, and playwright is not troubled."""
    brings = f'if [ "$1" = install ]; then echo >"{tmp_path}/chromium"; '
    brings += f'/bin/chmod +x "{tmp_path}/chromium"; fi'
    found = run(tmp_path, {"apt-get": brings})
    assert (found.returncode, found.stdout) == (0, "yes\n")
    assert "playwright" not in called(tmp_path)


@pytest.mark.parametrize(
    "commands", [{"apt-get": FAILS}, {}, {"id": "echo 1000", "apt-get": FAILS}]
)
def test_playwright_brings_its_own_where_the_distribution_does_not(
    commands: dict[str, str], tmp_path: Path
) -> None:
    """Without apt-get, without root, or where apt-get fails, playwright installs one."""
    found = run(tmp_path, {**commands, "python": "true"}, CI="true")
    assert (found.returncode, found.stdout) == (0, "yes\n")
    assert "-m playwright install" in called(tmp_path)


def test_no_browser_fails_where_it_is_a_duty(tmp_path: Path) -> None:
    """With CI=true a machine that cannot have a browser is an error with a hint."""
    found = run(tmp_path, {"apt-get": FAILS}, CI="true")
    assert (found.returncode, found.stdout) == (1, "")
    assert "no browser on this machine" in found.stderr
    assert "hint: " in found.stderr


def test_no_browser_is_said_loudly_elsewhere(tmp_path: Path) -> None:
    """On somebody's own machine the check goes on, and says what it did not do."""
    found = run(tmp_path, {"apt-get": FAILS})
    assert (found.returncode, found.stdout) == (0, "no\n")
    assert "the browser tests will NOT run" in found.stderr


def test_the_check_refuses_skips_only_with_a_browser() -> None:
    """The whole check exports the refusal on yes, and stops where the script fails."""
    text = (SCRIPT.parent / "run").read_text()
    assert "set -euo pipefail" in text
    assert 'browser=$(.ci/browser "$venv/bin/python")' in text
    assert 'if [ "$browser" = yes ]; then export SPREADLOAD_REQUIRE_BROWSER=1; fi' in text
    assert os.access(SCRIPT, os.X_OK)
