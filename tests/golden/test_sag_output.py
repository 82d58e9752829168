"""The words of ``sag`` and ``turn`` on the shipped houses, as files.

Run with ``SPREADLOAD_GOLDEN=write`` to write them anew after a wanted change; read the diff.
"""

import os
from pathlib import Path

import pytest

from spreadload.app.volts import sag, turn
from spreadload.io.job_file import load_job
from spreadload.io.plan_file import load_plan

HERE = Path(__file__).parent / "sag"
SCENARIOS = Path(__file__).parents[2] / "scenarios"
HOUSES = {
    "end_of_the_line": "end_of_the_line/job.yaml",
    "end_of_the_line_fixed": "end_of_the_line/job_fixed.yaml",
    "contract_flat": "contract_flat/job.yaml",
}


def held_against(path: Path, text: str) -> None:
    """Compare with a file, or write it when asked to."""
    if os.environ.get("SPREADLOAD_GOLDEN") == "write":
        path.write_text(text, encoding="utf-8")
    assert text == path.read_text(encoding="utf-8")


@pytest.mark.parametrize("name", HOUSES)
def test_sag_says_what_it_said(name: str) -> None:
    """The volts of a plan in a file, word for word."""
    job = load_job(SCENARIOS / HOUSES[name])
    plan = load_plan(HERE / f"{name}.plan.json", job).plan
    held_against(HERE / f"{name}.sag.txt", sag(job, plan).text() + "\n")


@pytest.mark.parametrize("name", ["end_of_the_line_fixed", "contract_flat"])
def test_turn_says_what_it_said(name: str) -> None:
    """The order of switching of a plan in a file, word for word."""
    job = load_job(SCENARIOS / HOUSES[name])
    plan = load_plan(HERE / f"{name}.plan.json", job).plan
    held_against(HERE / f"{name}.turn.txt", turn(job, plan).text() + "\n")
