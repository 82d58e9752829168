"""The plainest reasons why a list cannot run."""

from typing import Any

from builders import amps, circuit, outlet, setup, small_job
from spreadload.derived.facts import Facts
from spreadload.solver.why_not.arithmetic import plain_reason


def reason(**changes: Any) -> str | None:  # noqa: ANN401 - any entry of a job file
    """Return the plain reason of a job of two 10 A circuits, if it has one."""
    return plain_reason(Facts.of(small_job(**changes)))


def test_more_amps_than_all_circuits_give() -> None:
    """Three lamps of 7 A want 21 A of 20."""
    three = {"heads": {"lamp": amps(7.0, count=3)}, "setups": [setup(lamp={"lounge": 3})]}
    assert reason(**three) == "SU1 needs 21.0 A; P1 and P2 together give 20.0 A"


def test_a_sum_that_fits_is_no_reason() -> None:
    """Two lamps of 7 A want 14 A of 20."""
    assert reason(heads={"lamp": amps(7.0, count=2)}, setups=[setup(lamp={"lounge": 2})]) is None


def test_a_head_that_no_outlet_takes() -> None:
    """A 12 A head fits no 10 A outlet, and the sentence names it."""
    told = reason(heads={"lamp": amps(12.0)})
    assert told is not None
    assert "no outlet can take lamp" in told


def test_what_may_be_off_is_never_the_reason() -> None:
    """A heater that fits nowhere but may be off leaves the list possible."""
    heater = amps(12.0, policy="may be off", room="lounge")
    outlets = {"O1": outlet("P1", "lounge"), "O2": outlet(None, "bed")}
    assert (
        reason(departments={"heater": heater}, outlets=outlets, setups=[setup(on=["heater"])])
        is None
    )


def test_the_brief_reason_is_the_one_that_is_furthest_over() -> None:
    """Three lamps of 7 A want 21 of 20 A, and 26 of the 16 that the pole gives with a pump of 5."""
    told = reason(
        supply={"limit_a": 16.0, "limit_source": "pole fuse"},
        circuits={"P1": circuit(10.0), "P2": circuit(10.0), "W": circuit(10.0, feeds="water")},
        heads={"lamp": amps(7.0, count=3)},
        house={"pump": amps(5.0, circuit="W", policy="must stay on")},
        setups=[setup(lamp={"lounge": 3})],
    )
    assert told == "SU1 needs 26.0 A; the supply gives 16.0 A"
