"""The commands ``sheet`` and ``recce``: files, answers and faults."""

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from spreadload.cli import cli

ROOT = Path(__file__).parents[2]
JOB = str(ROOT / "scenarios/first_job")
PLAN = str(ROOT / "tests/browser/plans/first_job.json")


def run(*words: str) -> tuple[int, str, str]:
    """Return exit code, standard output and standard error."""
    found = CliRunner().invoke(cli, list(words))
    return found.exit_code, found.stdout, found.stderr


def test_sheet_writes_a_page_and_its_lists(tmp_path: Path) -> None:
    """One answer on standard output, one page, seven lists in a folder that is made."""
    out, lists = tmp_path / "s.html", tmp_path / "deep" / "lists"
    words = ("sheet", JOB, "--plan", PLAN, "--out", str(out), "--lists", str(lists))
    code, said, noted = run(*words, "--revision", "blue 3")
    assert code == 0
    assert said.startswith("FITS: ")
    assert "7 lists" in noted
    assert "revision blue 3" in out.read_text(encoding="utf-8")
    assert len(list(lists.glob("*.csv"))) == 7


def test_sheet_plans_when_no_plan_is_given(tmp_path: Path) -> None:
    """Without a plan file the tool looks for one itself and shows the alternatives."""
    out = tmp_path / "s.html"
    code, said, _ = run("sheet", JOB, "--out", str(out), "--time-limit", "10")
    assert (code, said.startswith("FITS: ")) == (0, True)
    assert "Other plans, side by side" in out.read_text(encoding="utf-8")


@pytest.mark.parametrize("out", ["missing/s.html", "."])
def test_a_page_that_cannot_be_written_is_one_clear_fault(tmp_path: Path, out: str) -> None:
    """No folder, or a folder in place of the file: exit 2 and nothing half written."""
    code, _, noted = run("sheet", JOB, "--plan", PLAN, "--out", str(tmp_path / out))
    assert code == 2
    assert "cannot be written" in noted
    assert list(tmp_path.iterdir()) == []


def test_lists_where_a_file_stands_are_one_clear_fault(tmp_path: Path) -> None:
    """A folder cannot be made over a file."""
    (tmp_path / "lists").write_text("mine")
    words = ("--out", str(tmp_path / "s.html"), "--lists", str(tmp_path / "lists"))
    code, _, noted = run("sheet", JOB, "--plan", PLAN, *words)
    assert code == 2
    assert "--lists" in noted
    assert (tmp_path / "lists").read_text() == "mine"


def test_recce_knows_its_regions(tmp_path: Path) -> None:
    """Small letters do, and an unknown region writes nothing."""
    out = tmp_path / "r.html"
    assert run("recce", "--region", "us", "--out", str(out))[0] == 0
    assert "United States" in out.read_text(encoding="utf-8")
    code, _, noted = run("recce", "--region", "ZZ", "--out", str(tmp_path / "z.html"))
    assert code == 2
    assert "no such region" in noted
    assert not (tmp_path / "z.html").exists()


def test_answers_come_as_data_too(tmp_path: Path) -> None:
    """With --json standard output is one JSON object, for the sheet and for the recce."""
    out = str(tmp_path / "s.html")
    _, said, _ = run("sheet", JOB, "--plan", PLAN, "--out", out, "--json")
    told = json.loads(said)
    assert (told["answer"], told["main_setup"], len(told["lists"])) == ("fits", "SU2", 7)
    _, said, _ = run("recce", "--out", out, "--json")
    assert json.loads(said)["region"] == "AU"


def test_the_chance_stands_under_the_answer_of_the_phone(tmp_path: Path) -> None:
    """Who opens the page on a phone reads first on how many wirings the plan fails."""
    out = tmp_path / "s.html"
    run("sheet", str(ROOT / "tests/jobs/terrace_not_traced.yaml"), "--out", str(out))
    top, _, _ = out.read_text(encoding="utf-8").partition("</header>")
    assert "<p>Fails in 31 of 100 ways this house could be wired" in top
