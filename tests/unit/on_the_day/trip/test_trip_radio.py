"""What the trip command says first, and what it does without."""

import subprocess
import sys
from pathlib import Path

_ROOT = Path(__file__).parents[4]
_RUN = """
import sys
import runpy
try:
    runpy.run_module("spreadload", run_name="__main__")
except SystemExit:
    pass
print("ortools" in sys.modules)
"""


def test_the_first_line_sends_the_crew_to_the_intruder() -> None:
    """A long overload on a half-loaded circuit is an unseen load; no solver is imported for it."""
    args = ["trip", "scenarios/family_house", "--device", "GPO 2", "--after", "5min"]
    args += ["--plan", "tests/browser/plans/family_house.json"]
    run = subprocess.run(
        [sys.executable, "-c", _RUN, *args], cwd=_ROOT, capture_output=True, text=True, check=True
    )
    lines = run.stdout.splitlines()
    assert "heater on GPO 2" in lines[0]
    assert lines[-1] == "False"
