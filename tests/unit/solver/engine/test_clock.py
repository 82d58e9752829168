"""Effort is a share of the work left, so that a busy machine finds the plans of an idle one."""

from collections.abc import Callable

import pytest

from builders import amps, setup, small_job
from spreadload.derived.facts import Facts
from spreadload.solver.engine import limits
from spreadload.solver.engine.calls import limited
from spreadload.solver.engine.limits import DETERMINISTIC_PER_S, SLOWER, Clock, SolverConfig
from spreadload.solver.model.goals import GOALS
from spreadload.solver.model.variables import Variables
from spreadload.solver.staged.stages import Stages

Wait = Callable[[float], None]


@pytest.fixture
def wait(monkeypatch: pytest.MonkeyPatch) -> Wait:
    """Let time pass without anything being done."""
    now = [0.0]
    monkeypatch.setattr(limits, "monotonic", lambda: now[0])

    def passes(seconds: float) -> None:
        now[0] += seconds

    return passes


def test_time_that_passes_is_no_work(wait: Wait) -> None:
    """A machine that does something else for a while has done nothing for the search."""
    clock = Clock(20.0)
    wait(15.0)
    assert clock.left_s == pytest.approx(5.0)
    assert clock.work_left_s == pytest.approx(20.0)


def test_a_part_spends_the_work_of_the_whole(wait: Wait) -> None:
    """Its own work is its share; its wall time is that of the search, and so is what it did."""
    whole = Clock(20.0)
    wait(4.0)
    part = whole.part(5.0)
    part.spend(DETERMINISTIC_PER_S, rows=0)
    assert part.work_left_s == pytest.approx(4.0)
    assert whole.work_left_s == pytest.approx(19.0)
    assert part.left_s == whole.left_s == pytest.approx(16.0)
    assert whole.part(100.0).work_left_s == pytest.approx(19.0)


def test_what_another_core_does_costs_the_search_no_work(wait: Wait) -> None:
    """It has the wall time of the search, and work of its own."""
    whole = Clock(20.0)
    wait(4.0)
    beside = whole.beside(5.0)
    beside.spend(DETERMINISTIC_PER_S, rows=0)
    assert beside.work_left_s == pytest.approx(4.0)
    assert whole.work_left_s == pytest.approx(20.0)
    assert beside.left_s == pytest.approx(16.0)
    assert whole.beside(100.0).work_left_s == pytest.approx(20.0)
    assert whole.beside(100.0, faster=1.5).work_left_s == pytest.approx(30.0)


def test_small_models_cost_less_work_than_their_measure_says() -> None:
    """A part whose calls are done twice as soon takes half as much off itself and the whole."""
    whole = Clock(20.0)
    part = whole.part(5.0, sooner=2.0)
    part.spend(DETERMINISTIC_PER_S, rows=0)
    assert part.work_left_s == pytest.approx(4.5)
    assert whole.work_left_s == pytest.approx(19.5)
    part.spend_s(1.0)  # seconds are seconds
    assert whole.work_left_s == pytest.approx(18.5)


def test_large_models_cost_work_before_they_are_searched() -> None:
    """Reading and presolving a model is in no measure of the solver's own."""
    clock = Clock(1.0)
    clock.spend(0.0, rows=10_000)
    assert clock.work_left_s == pytest.approx(0.8)


def test_a_late_call_may_try_as_hard_as_an_early_one(wait: Wait) -> None:
    """What a stage may do hangs on the work done, until the wall clock runs out."""
    config = SolverConfig(time_limit_s=10.0)
    variables = Variables.of(Facts.of(small_job(heads={"lamp": amps(2.0)}, setups=[setup()])))
    clock = Clock(config.time_limit_s)
    stages = Stages(variables, tuple(GOALS), config, clock)
    early = stages._effort(0.25)
    wait(5.0)
    late = stages._effort(0.25)
    assert early.deterministic == late.deterministic == pytest.approx(2.5 * DETERMINISTIC_PER_S)
    assert early.wall_s == pytest.approx(min(2.5 * SLOWER, 10.0))
    assert late.wall_s == pytest.approx(5.0)


def test_a_solver_for_some_work_has_the_wall_clock_as_its_net(wait: Wait) -> None:
    """Its deterministic limit is that of the work asked for, whatever the time."""
    clock = Clock(10.0)
    early = limited(clock, 2.0).parameters
    wait(7.0)
    late = limited(clock, 2.0).parameters
    assert early.max_deterministic_time == late.max_deterministic_time
    assert early.max_time_in_seconds == pytest.approx(8.0)
    assert late.max_time_in_seconds == pytest.approx(3.0)
