"""The house at the end of the line: breakers say yes, volts say no, and the change works."""

from pathlib import Path

import pytest

from spreadload.app.volts import sag
from spreadload.check import HARD_RULES, Judge
from spreadload.derived.facts import Facts
from spreadload.errors import ExitCode
from spreadload.io.job_file import load_job
from spreadload.job.job import Job
from spreadload.plan import Impossible, Solved
from spreadload.solver.engine.limits import SolverConfig
from spreadload.solver.search.ranked_plans import find_plans

HOUSE = Path(__file__).parents[3] / "scenarios" / "end_of_the_line"


def job(name: str = "job.yaml") -> Job:
    """Return the job as found, or as it can be lit."""
    return load_job(HOUSE / name)


@pytest.mark.slow
def test_it_fits_by_the_numbers_on_the_board() -> None:
    """Without the readings the same list is planned at once, with room on the fuse."""
    stated = job()
    blind = stated.model_copy(update={"supply": stated.supply.model_copy(update={"readings": ()})})
    facts = Facts.of(blind)
    found = find_plans(facts, Judge(facts), SolverConfig(time_limit_s=20.0, alternatives=0))
    assert isinstance(found, Solved)
    fullest = max(usage.used_pct for usage in found.plans[0][1].usages)
    assert fullest <= 100


@pytest.mark.slow
def test_with_the_readings_the_answer_is_no_in_volts() -> None:
    """The nearest plan passes no limit in amps; the reason names amps, board volts and the need."""
    facts = Facts.of(job())
    found = find_plans(facts, Judge(facts), SolverConfig(time_limit_s=20.0, alternatives=0))
    assert isinstance(found, Impossible)
    assert "the volts say no" in found.reason
    assert "it needs 207.0 V" in found.reason


@pytest.mark.slow
def test_the_documented_change_makes_it_work() -> None:
    """Pump off, LED heads for the glow and the hall: every head keeps its volts, as judged."""
    facts = Facts.of(job("job_fixed.yaml"))
    found = find_plans(facts, Judge(facts), SolverConfig(time_limit_s=20.0, alternatives=0))
    assert isinstance(found, Solved)
    plan, verdict = found.plans[0]
    assert verdict.holds
    assert {"volts", "circuit under sag"} <= set(HARD_RULES)
    assert [entry.load for entry in plan.switched_off if entry.setup == "DUSK"] == ["bore pump"]
    told = sag(job("job_fixed.yaml"), plan)
    assert told.exit_code is ExitCode.HOLDS
    assert all(seen.lowest_v > 200 for seen in verdict.volts)


def test_both_readings_are_used() -> None:
    """0.75 Ω at the board by Ohm's law, and the shed's feed from the difference of the two."""
    house = Judge(Facts.of(job())).house
    assert house.service.ohm == pytest.approx((236.0 - 228.8) / 9.6)
    feed = house.wires.to_sub_board("SH").ohm.real
    assert feed == pytest.approx((235.8 - 221.3) / 9.3 - 0.75)
