"""The small regional jobs load and cover what they are there for."""

from pathlib import Path

import pytest

from spreadload import practice
from spreadload.derived.facts import Facts
from spreadload.io.job_file import load_job

JOBS = sorted((Path(__file__).parents[2] / "jobs").glob("*.yaml"))


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_a_regional_job_loads_and_says_its_answer(path: Path) -> None:
    """Each job reads without a fault and starts with the answer worked by hand."""
    assert Facts.of(load_job(path)).points
    assert path.read_text(encoding="utf-8").startswith(("# Fits", "# Cannot"))


def test_every_region_has_a_job_of_its_own() -> None:
    """No region is left without a small job in the tests."""
    assert {load_job(path).region for path in JOBS} == set(practice.region_ids())
