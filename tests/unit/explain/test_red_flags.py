"""Red flags: a plan is not ready while one is open, and says so where nobody can miss it.

That a licensed electrician looks first is common practice, no source.
"""

from typing import Any

import pytest

from builders import amps, plan_of, put, small_job
from spreadload import check_plan, plan_job
from spreadload.app.may_i import may_i, question_of
from spreadload.app.planning import PlanTold, SolverConfig
from spreadload.errors import ExitCode

SCORCHED = {"what": "scorched plate", "where": "bedroom wall", "outlet": "O2"}


def told(*flags: Any) -> PlanTold:  # noqa: ANN401 - any way a flag may be written
    """Return the answer for the small flat with red flags."""
    return plan_job(small_job(red_flags=flags), SolverConfig(time_limit_s=5, alternatives=0))


def test_the_first_line_withholds_a_plan_that_fits() -> None:
    """Every open flag is named with its place, and the plan is still shown."""
    found = told("board buzzes", SCORCHED)
    assert found.plan is not None
    assert found.answer.text.startswith("FITS: ")
    assert found.answer.text.endswith(
        "NOT READY while a red flag is open: board buzzes; scorched plate (outlet O2, bedroom wall)"
    )
    assert found.answer.red_flags == ("board buzzes", "scorched plate (outlet O2, bedroom wall)")


def test_the_cautions_send_for_an_electrician() -> None:
    """What goes on paper and phone says who has to look, before the cautions of the region."""
    briefing = told(SCORCHED).briefing
    assert briefing is not None
    assert briefing.cautions[0].startswith("Red flag, scorched plate (outlet O2, bedroom wall): ")
    assert "licensed electrician" in briefing.cautions[0]


@pytest.mark.parametrize("flags", [(), ({**SCORCHED, "cleared": "A. Sparks, 24 Nov, replaced"},)])
def test_a_cleared_flag_is_no_flag(flags: tuple[Any, ...]) -> None:
    """With none open the answer is the plain one."""
    found = told(*flags)
    assert "NOT READY" not in found.answer.text
    assert found.answer.red_flags == ()


def test_no_plug_gets_a_plain_yes_while_a_flag_is_open() -> None:
    """What may be plugged in by the amps may not be powered before somebody has looked."""
    job = small_job(red_flags=["board buzzes"])
    found = may_i(job, plan_of(put("lamp", "O1", place="lounge")), question_of(job, "1A", "O2"))
    assert found.text().startswith("YES: 1.0 A at O2")
    assert "NOT READY while a red flag is open: board buzzes" in " ".join(found.text().split())
    assert found.exit_code is ExitCode.BREAKS_A_LIMIT
    assert found.data()["red_flags"] == ["board buzzes"]


def test_a_blank_clearance_clears_nothing() -> None:
    """Blanks do not say who looked."""
    assert told({**SCORCHED, "cleared": "  "}).answer.red_flags


def test_a_flag_that_makes_the_list_impossible_is_in_the_clash() -> None:
    """What stands in the way is named, so that nobody looks for a smaller lamp instead."""
    found = told({"what": "warm breaker", "circuit": "P1"}, SCORCHED)
    assert found.answer.text.startswith("CANNOT RUN AS ASKED")
    assert "red flag: warm breaker (circuit P1)" in found.answer.text
    assert "red flag: scorched plate (outlet O2" in found.answer.text


def test_an_answer_without_a_plan_names_them_too() -> None:
    """What cannot run, and a plan that breaks a limit, still need an electrician first."""
    job = small_job(heads={"lamp": amps(11.0)}, red_flags=["board buzzes"])
    quick = SolverConfig(time_limit_s=5, alternatives=0)
    told_of = "A red flag is open besides: board buzzes."
    for found in (plan_job(job, quick), check_plan(job, plan_of(put("lamp", "O1")))):
        assert found.answer.red_flags == ("board buzzes",)
        assert found.text().split("\n", 3).count(told_of) == 1
