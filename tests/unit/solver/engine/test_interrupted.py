"""Ctrl-C while plans for a house of unknown wiring are looked for."""

import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from spreadload.app import planning
from spreadload.plan import Solved
from spreadload.solver.any_wiring import look_for_plans
from spreadload.solver.engine.limits import SolverConfig

OPEN = Path(__file__).parents[3] / "jobs" / "terrace_not_traced.yaml"
pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="signals differ")


@pytest.fixture(autouse=True)
def as_in_a_terminal() -> Iterator[None]:
    """Let Ctrl-C be Python's own: a shell starts programs in the background deaf to it."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


def press_ctrl_c() -> None:
    """Send what a terminal sends, and give Python a moment to see it."""
    os.kill(os.getpid(), signal.SIGINT)
    time.sleep(0.01)


def test_the_best_plan_so_far_is_handed_back_with_its_chance() -> None:
    """As in a house whose circuits are known: what is found by then is judged and told."""
    said: list[str] = []

    def once(text: str) -> None:
        said.append(text)
        if len(said) == 1:
            press_ctrl_c()

    _, outcome = look_for_plans(planning.load_job(OPEN), SolverConfig(progress=once))

    assert said
    assert isinstance(outcome, Solved)
    assert outcome.chances


def test_afterwards_ctrl_c_is_pythons_again() -> None:
    """No solver leaves a handler of its own behind, which would end the program without a word."""
    look_for_plans(planning.load_job(OPEN), SolverConfig(alternatives=0))

    with pytest.raises(KeyboardInterrupt):
        press_ctrl_c()


@pytest.mark.parametrize(
    "solving", ["solve(model, 1.0, 7)", "limited(Clock(1.0), 1.0).solve(model)"]
)
def test_no_call_leaves_a_handler_behind(solving: str) -> None:
    """In a program of its own: a handler left behind would end this one."""
    program = f"""
import os, signal, time
from spreadload.solver.engine.calls import limited
from spreadload.solver.engine.cp import cp_model
from spreadload.solver.model.feasible import solve
from spreadload.solver.engine.limits import Clock
signal.signal(signal.SIGINT, signal.default_int_handler)
model = cp_model.CpModel()
model.add_exactly_one(model.new_bool_var(str(n)) for n in range(9))
{solving}
try:
    os.kill(os.getpid(), signal.SIGINT)
    time.sleep(0.1)
except KeyboardInterrupt:
    print("heard")
"""
    done = subprocess.run(
        [sys.executable, "-c", program], check=False, capture_output=True, text=True
    )
    assert (done.returncode, done.stdout) == (0, "heard\n")
