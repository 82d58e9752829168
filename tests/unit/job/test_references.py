"""Every cross-reference and sense check: the fault is found, its neighbour is accepted."""

from typing import Any

import pytest

from builders import amps, setup, small_job
from slips import CASES, UNKNOWN, Case
from slips.case import day, head, lead, plate
from spreadload.job.references import Finding, find_faults

REGIONS = ("AU", "NZ", "US")
PLUGS = ("au-10", "au-15", "cee-32-5pin")
GAUGES = frozenset({10, 12, 14})


def faults(**changes: Any) -> tuple[Finding, ...]:  # noqa: ANN401 - any entry of a job file
    """Return what is found in the small flat with some entries replaced."""
    return find_faults(small_job(**changes), regions=REGIONS, plugs=PLUGS, gauges=GAUGES)


def test_the_small_flat_has_no_faults() -> None:
    """The house every case starts from is fine."""
    assert faults() == ()


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_the_fault_is_found_where_it_stands(case: Case) -> None:
    """One finding at the path says what is wrong and what to do."""
    found = [f for f in faults(**case.wrong) if f.path == case.path and case.says in f.problem]
    assert len(found) == 1
    assert found[0].remedy
    assert not found[0].problem.endswith(".")


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_the_neighbour_is_accepted(case: Case) -> None:
    """The nearest thing that can be meant passes without any finding."""
    assert faults(**case.right) == ()


@pytest.mark.parametrize("case", UNKNOWN.values(), ids=UNKNOWN)
def test_unknown_names_are_marked_as_such(case: Case) -> None:
    """A reader with half a file can still trust these findings."""
    assert all(f.is_unknown_name for f in faults(**case.wrong) if f.path == case.path)


def test_a_slip_of_the_pen_is_guessed() -> None:
    """The nearest known name is offered, capitals and hyphens aside."""
    assert faults(**plate(plug="AU 10"))[0].remedy == "did you mean au-10?"
    assert faults(**day(setup(lamp="luonge")))[0].remedy == "did you mean lounge?"


def test_a_name_of_another_kind_is_explained() -> None:
    """A room given where an outlet is asked for is not called a slip."""
    found = faults(departments={"fan": amps(1.0, outlet="bed")})
    assert "stands under rooms" in found[0].remedy


def test_a_head_under_on_is_sent_where_it_belongs() -> None:
    """Heads go under heads, whatever else is on goes under on."""
    assert "stands under heads" in faults(**day(setup(on=["lamp"])))[0].remedy


def test_all_faults_come_in_one_pass() -> None:
    """Five slips in five corners are five findings."""
    found = faults(
        region="XX",
        **plate(rcd="R9"),
        **head(swaps=["nothing"]),
        **day(setup(lamp="nowhere", on=["nobody"])),
    )
    assert len(found) == 5


def test_gauges_are_only_checked_when_known() -> None:
    """Without a list of gauges any whole number of the format passes."""
    job = small_job(**lead(length_m=10.0, size_awg=11))
    assert find_faults(job, regions=REGIONS, plugs=PLUGS) == ()
