"""The library's face: what it exports is pinned here and each name is what it says."""

import subprocess
import sys

import pytest

import spreadload

PUBLIC = [
    "CheckTold",
    "Fault",
    "Impossible",
    "InputError",
    "InternalError",
    "Job",
    "Plan",
    "PlanTold",
    "Solved",
    "SolverConfig",
    "SpreadloadError",
    "Style",
    "Undecided",
    "Verdict",
    "WhyTold",
    "check_plan",
    "load_job",
    "load_plan",
    "plan_job",
    "save_plan",
    "why_not",
]


def test_public_names_are_pinned() -> None:
    """Adding or dropping a public name is a decision, not an accident."""
    assert spreadload.__all__ == PUBLIC


@pytest.mark.parametrize("name", PUBLIC)
def test_public_name_is_found_under_its_own_name(name: str) -> None:
    """Every exported name resolves to the thing of that name."""
    assert getattr(spreadload, name).__name__ == name


def test_other_names_are_refused() -> None:
    """A typo is an AttributeError, as with any module."""
    with pytest.raises(AttributeError, match="plan_jobs"):
        _ = spreadload.plan_jobs


@pytest.mark.parametrize("words", [["--help"], ["plan", "nowhere.yaml"], ["why", "x", "y", "z"]])
def test_help_and_bad_input_never_load_the_solver(words: list[str]) -> None:
    """OR-Tools is loaded only where a plan is looked for."""
    program = (
        "import sys\n"
        "from spreadload.cli import cli\n"
        f"cli({words!r}, prog_name='spreadload', standalone_mode=False)\n"
        "sys.exit(10 if any(m.split('.')[0] == 'ortools' for m in sys.modules) else 0)\n"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, check=False)
    assert done.returncode in (0, 2), done.stderr
