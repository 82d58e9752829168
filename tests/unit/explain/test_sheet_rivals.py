"""Ranked plans side by side on the sheet, from a search or from a plan file."""

from pathlib import Path

from typer.testing import CliRunner

from builders import amps, small_job
from spreadload.app.planning import load_job, load_plan
from spreadload.app.sheet import sheet_of
from spreadload.check import Judge
from spreadload.cli import cli
from spreadload.derived.facts import Facts
from spreadload.explain.judged import JudgedPlan
from spreadload.explain.sheet.rivals import NO_OTHER_KEPT, side_by_side
from spreadload.plan import Placement, Plan

FIRST_JOB = Path(__file__).parents[3] / "scenarios" / "first_job"


def lamp_at(outlet: str) -> Plan:
    """Return the plan that has the one lamp at an outlet."""
    return Plan(placements=(Placement(setup="SU1", load="lamp", unit=1, point=outlet,
                                      place="lounge"),))  # fmt: skip


def judged(plan: Plan, current_a: float) -> JudgedPlan:
    """Judge a plan of a flat with one lamp of so many amps; outlets are on 10 A each."""
    facts = Facts.of(small_job(heads={"lamp": amps(current_a)}))
    return JudgedPlan.of(facts, Judge(facts), plan)


def test_kept_plans_are_judged_against_the_job_as_it_is() -> None:
    """One that holds says where it differs; one that no longer holds says which limit it breaks."""
    own, other = side_by_side(judged(lamp_at("O1"), 4.0), None, (lamp_at("O2"),))
    assert own.price == "the plan on this sheet"
    assert own.differs == ()
    assert len(other.differs) == 1
    assert "O2" in other.differs[0]
    assert dict(other.goals).keys() == dict(own.goals).keys()
    _, broken = side_by_side(judged(lamp_at("O1"), 4.0), None, (Plan(),))
    assert broken.price.startswith("breaks a limit of the job as it is now: ")


def test_one_plan_alone_is_not_compared_with_itself() -> None:
    """There is nothing to show side by side."""
    assert side_by_side(judged(lamp_at("O1"), 4.0), None) == ()


def test_what_plan_keeps_is_what_the_sheet_compares(tmp_path: Path) -> None:
    """Ranked plans kept with --save are on the sheet made from that file; one plan says how."""
    kept, page = tmp_path / "plan.json", tmp_path / "sheet.html"
    runner = CliRunner()
    arguments = ["plan", str(FIRST_JOB), "--alternatives", "2", "--save", str(kept)]
    assert runner.invoke(cli, arguments).exit_code == 0
    loaded = load_plan(kept, load_job(FIRST_JOB))
    assert loaded.others
    assert runner.invoke(
        cli, ["sheet", str(FIRST_JOB), "--plan", str(kept), "--out", str(page)]
    ).exit_code == 0  # fmt: skip
    html = page.read_text(encoding="utf-8")
    for number in range(1, len(loaded.others) + 2):
        assert f"Plan {number}</th>" in html
    assert NO_OTHER_KEPT not in html
    alone = sheet_of(load_job(FIRST_JOB), loaded.plan)
    assert alone.sheet is not None
    assert alone.sheet.others == ()
    assert alone.sheet.others_note == NO_OTHER_KEPT
