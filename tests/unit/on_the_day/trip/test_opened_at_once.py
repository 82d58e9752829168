"""What opens the moment something is switched on: that thing stays off, in every line said.

That such a trip says nothing of the steady load, and that what may have a short is not put back, is
common practice, no source.
"""

import pytest

from builders import amps, circuit, outlet, put, setup, small_job
from spreadload.job.job import Job
from spreadload.on_the_day.trip.diagnosis import TripAnswer
from spreadload.report.style import Style
from spreadload.report.trip_text import trip_text
from trips import told


def galley(lamp_a: float = 5.0) -> Job:
    """Return one 16 A circuit with a lamp, a fan and an urn of 8 A on it, and a spare one."""
    return small_job(
        circuits={"P1": circuit(16.0), "P2": circuit(16.0)},
        outlets={
            "O1": outlet("P1", "lounge", sockets=3, socket_a=16.0, plate_a=20.0),
            "O2": outlet("P2", "bed", socket_a=16.0, plate_a=16.0),
        },
        heads={"lamp": amps(lamp_a, priority=2)},
        departments={
            "urn": amps(8.0, kind="heater", outlet="O1"),
            "fan": amps(1.0, kind="motor", room="lounge"),
        },
        setups=[setup(lamp="lounge", on=["urn", "fan"])],
    )


def after(job: Job, just: str) -> TripAnswer:
    """Return the answer where P1 opened as something was switched on."""
    on = (put("lamp", "O1", place="lounge"), put("urn", "O1", socket=2), put("fan", "O1", socket=3))
    return told(job, *on, dark=("O1",), lit=("O2",), device="P1", just=just, after_s=0.0)


@pytest.mark.parametrize("just", ["urn", "lamp", "toaster"])
def test_what_was_switched_on_is_in_no_order_back(just: str) -> None:
    """The radio line leaves it off, and so do the moves and the order of switching on again.

    The plan has 14 of 16 A on it: no plug has to move for what was no overload.
    """
    answer = after(galley(), just)
    assert answer.back is not None
    rest = {"lamp", "urn", "fan"} - {just}
    assert {p.load for p in answer.back.order} == rest
    assert (answer.move, answer.shed) == (None, None)
    said = " ".join(trip_text(answer, Style(width=80)).split())
    assert f"Unplug {just}: inrush or a fault in it." in said
    assert f"{just.capitalize()} stays unplugged" in said
    assert "take off what is not in the plan" not in said


def test_a_plan_that_is_over_the_limit_is_still_an_overload() -> None:
    """8 + 1 + 8 A are 17 of 16: whatever the clock says, the plan has to be relieved."""
    answer = after(galley(lamp_a=8.0), "urn")
    assert answer.move is not None
    assert "stays unplugged" not in trip_text(answer, Style(width=80))
