"""Ctrl-C while plans for a house of unknown wiring are looked for."""

import os
import signal
import sys
import time
from pathlib import Path

import pytest

from spreadload.app import planning
from spreadload.plan import Solved
from spreadload.solver.any_wiring import look_for_plans
from spreadload.solver.limits import SolverConfig

OPEN = Path(__file__).parents[2] / "jobs" / "terrace_not_traced.yaml"
pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="signals differ")


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
