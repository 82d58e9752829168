"""Line conductors by the names people give them."""

import pytest

from builders import circuit, outlet, small_job
from spreadload.derived.facts import Facts
from spreadload.job.job import Job
from spreadload.job.phases import phase_names, phases_of, system_of
from spreadload.job.site import System


def board(system: str | None, *phases: str | list[str]) -> Job:
    """Return a job with one outlet circuit per phase or list of phases."""
    ways = {f"P{n}": circuit(20.0, phase=phase) for n, phase in enumerate(phases, start=1)}
    supply = {"limit_a": 60.0} | ({} if system is None else {"system": system})
    return small_job(circuits=ways, supply=supply, outlets={"O1": outlet("P1"), "O2": outlet("P1")})


@pytest.mark.parametrize(
    ("system", "phases", "names"),
    [
        ("three-phase", ("L1", "L2"), ("L1", "L2", "L3")),
        ("three-phase", ("A", "B", "C"), ("A", "B", "C")),
        ("three-phase", ("c", ["A", "B", "C"]), ("A", "B", "C")),
        ("split-phase", ("A", "B"), ("A", "B")),
        ("split-phase", ("L1", "L2"), ("L1", "L2")),
        ("split-phase", ("L1",), ("A", "B")),
        ("single-phase", ("L1",), ("L1",)),
        (None, ("A", "C"), ("A", "B", "C")),
        (None, ("A", "B"), ("A", "B")),
        (None, ("L1", "L2"), ("L1", "L2", "L3")),
    ],
)
def test_phases_are_called_as_the_board_calls_them(
    system: str | None, phases: tuple[str | list[str], ...], names: tuple[str, ...]
) -> None:
    """American boards say A, B, C; Japanese ones L1 and L2 for legs (common practice)."""
    assert phases_of(board(system, *phases)) == names


def test_the_letters_of_three_phases_may_be_written_together() -> None:
    """A range on three phases says ABC as a dryer on two legs says AB."""
    assert phase_names("ABC") == ("A", "B", "C")
    assert phase_names("AB") == ("A", "B")
    assert system_of(board(None, "ABC")) is System.THREE_PHASE


def test_amps_add_up_on_phases_by_any_name() -> None:
    """One head on phase B loads phase B and no other."""
    facts = Facts.of(board("three-phase", "B", "A", "C"))
    assert facts.supply.phases == ("A", "B", "C")
    assert facts.circuits["P1"].phases == ("B",)
