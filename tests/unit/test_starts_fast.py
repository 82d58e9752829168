"""A command loads what its answer takes and no more; times themselves are measured elsewhere."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

SCENARIOS = Path(__file__).parents[2] / "scenarios"
COMMAND = """
import os, sys
from spreadload import cli
try:
    cli.main()
except SystemExit:
    print(os.environ["OPENBLAS_NUM_THREADS"], "ortools.math_opt" in sys.modules, file=sys.stderr)
"""


def left_by(*words: str, **more: str) -> list[str]:
    """Return the threads for sums and whether the linear solver was loaded, after a command."""
    done = subprocess.run(
        [sys.executable, "-c", COMMAND, *words],
        check=True,
        capture_output=True,
        text=True,
        env={k: v for k, v in os.environ.items() if not k.startswith("OPENBLAS")} | more,
    )
    return done.stderr.split()


@pytest.mark.parametrize("job", ["first_job", "family_house"])
def test_linear_solver_is_loaded_only_where_clauses_settle_nothing(job: str) -> None:
    """The plans of small houses are proved without it, and so nobody waits for it."""
    assert left_by("plan", str(SCENARIOS / job), "--brief")[-1] == "False"


def test_no_threads_are_started_for_small_sums() -> None:
    """Unless who runs the command asked for them."""
    job = str(SCENARIOS / "first_job")
    assert left_by("board", job)[-2] == "1"
    assert left_by("board", job, OPENBLAS_NUM_THREADS="2")[-2] == "2"


def test_planning_needs_no_tables() -> None:
    """OR-Tools loads without pandas, which whoever wants it afterwards still gets whole."""
    program = (
        "import sys; from spreadload.solver import any_wiring; print('pandas' in sys.modules);"
        "import pandas; print(pandas.Series([1, 2]).sum())"
    )
    assert run(program).split() == ["False", "3"]


def test_stand_in_steps_aside_when_more_is_asked_of_it() -> None:
    """A release of OR-Tools that needs more of pandas while it loads gets the real one."""
    program = (
        "import sys; from spreadload.solver.engine.cp import StandIn;"
        "sys.modules['pandas'] = StandIn('pandas'); import pandas;"
        "print(pandas.DataFrame.__name__, type(sys.modules['pandas']).__name__)"
    )
    assert run(program).split() == ["DataFrame", "module"]


def run(program: str) -> str:
    """Return what a fresh Python prints."""
    command = [sys.executable, "-c", program]
    return subprocess.run(command, check=True, capture_output=True, text=True).stdout
