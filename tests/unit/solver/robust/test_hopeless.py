"""A list that runs on no wiring is told with what clashes on the likeliest one."""

import pytest

from builders import amps, circuits, outlet, setup, small_job
from spreadload.app.planning import SolverConfig, plan_job
from spreadload.job.job import Job
from spreadload.plan import Impossible

QUICK = SolverConfig(time_limit_s=5.0, alternatives=0)


def bedroom(first_a: float, second_a: float, lamp_a: float = 2.0) -> Job:
    """Return a house whose bedroom has one outlet, on P1 or P2, and two things that belong there.

    A lamp stands in the lounge, whose outlet is on P1.
    """
    return small_job(
        circuits=circuits(P1=10.0, P2=10.0),
        outlets={
            "O1": outlet("P1", "lounge"),
            "O2": outlet(None, "bed", maybe_on=["P1", "P2"]),
        },
        heads={"lamp": amps(lamp_a, cord_m=0.5)},
        departments={
            "iron": amps(first_a, kind="heater", room="bed"),
            "dryer": amps(second_a, kind="heater", room="bed"),
        },
        setups=[setup(lamp="lounge", on=["iron", "dryer"])],
    )


@pytest.mark.parametrize(("first_a", "second_a"), [(6.0, 5.0), (8.0, 9.5)])
def test_the_sum_is_told_where_every_wiring_fails(first_a: float, second_a: float) -> None:
    """Two things of one outlet pass 10 A whichever circuit it is on: by hand 11.0 and 17.5 A.

    Both wirings are as likely; on the one that is told the lamp of 2 A is on the same circuit.
    """
    told = plan_job(bedroom(first_a, second_a), QUICK)
    assert isinstance(told.outcome, Impossible)
    first_line = told.answer.text
    assert first_line.startswith("CANNOT RUN AS ASKED: wired as is likeliest, ")
    assert f"SU1 needs {first_a + second_a + 2.0:.1f} A; P1 gives 10.0 A" in first_line
    assert "every plan passes some limit on every way this house could be wired" in first_line
    assert told.outcome.conflicts


def test_one_wiring_that_holds_is_enough_to_say_nothing_of_the_kind() -> None:
    """6 A and 3 A hold on P2, and beside the lamp of 2 A do not on P1: an answer with a chance."""
    told = plan_job(bedroom(6.0, 3.0), QUICK)
    assert told.plan is not None
    assert "likeliest" not in told.answer.text
