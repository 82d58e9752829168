"""A plan survives its file; anything else in the file is one clear fault."""

import json
from pathlib import Path
from typing import Any

import pytest

from builders import amps, plan_of, put, small_job
from spreadload.errors import InputError
from spreadload.io.plan_file import job_digest, load_plan, save_plan
from spreadload.plan import LeftOut, Plan, SwitchedOff

JOB = small_job()
PLAN = plan_of(
    put("lamp", "O1", place="lounge", lead=0, board=1),
    LeftOut(setup="SU1", load="lämp “B”", unit=2),
    SwitchedOff(setup="SU1", load="kettle"),
)


def saved(folder: Path, plan: Plan = PLAN) -> Path:
    """Return a file with a plan for the small flat."""
    path = folder / "plan.json"
    save_plan(path, job_digest(JOB), plan)
    return path


def changed(folder: Path, **entries: Any) -> Path:  # noqa: ANN401 - any JSON
    """Return a plan file with some top-level entries replaced."""
    path = saved(folder)
    data = json.loads(path.read_text(encoding="utf-8")) | entries
    path.write_text(json.dumps(data, indent=1), encoding="utf-8")
    return path


def said_of(path: Path) -> str:
    """Return the one fault of a plan file as text."""
    with pytest.raises(InputError) as caught:
        load_plan(path, JOB)
    assert len(caught.value.faults) == 1
    return str(caught.value.faults[0])


def test_a_plan_comes_back_as_it_was(tmp_path: Path) -> None:
    """Every placement, left-out head and switched-off load, accents included."""
    loaded = load_plan(saved(tmp_path), JOB)
    assert loaded.plan == PLAN
    assert loaded.warnings == ()


def test_the_shape_of_the_file_is_stable(tmp_path: Path) -> None:
    """Other tools may rely on these keys."""
    data = json.loads(saved(tmp_path).read_text(encoding="utf-8"))
    assert list(data) == ["format", "version", "job", "plan"]
    assert (data["format"], data["version"]) == ("spreadload plan", 1)
    assert data["plan"]["placements"][0]["point"] == "O1"


def test_the_same_plan_gives_the_same_bytes(tmp_path: Path) -> None:
    """Nothing of the clock or the machine gets into the file."""
    first = saved(tmp_path).read_bytes()
    assert saved(tmp_path).read_bytes() == first


def test_another_job_is_a_warning(tmp_path: Path) -> None:
    """A plan made before the job changed can still be looked at."""
    loaded = load_plan(saved(tmp_path), small_job(heads={"lamp": amps(4.1)}))
    assert loaded.plan == PLAN
    assert "another job" in loaded.warnings[0]


def test_the_digest_follows_the_job() -> None:
    """Equal jobs have equal digests, a milliamp more is another job."""
    assert job_digest(small_job()) == job_digest(JOB)
    assert job_digest(small_job(heads={"lamp": amps(4.001)})) != job_digest(JOB)


def test_what_nobody_stated_is_no_part_of_the_digest() -> None:
    """A key at its usual value is as good as none, so one learnt later makes no job another."""
    stated = small_job(heads={"lamp": amps(4.0, count=1, priority=5)})
    unstated = small_job(heads={"lamp": amps(4.0)})
    assert job_digest(stated) == job_digest(unstated)
    assert job_digest(small_job(heads={"lamp": amps(4.0, priority=4)})) != job_digest(unstated)


def test_broken_json_is_found_at_its_line(tmp_path: Path) -> None:
    """The line of the break is named."""
    path = saved(tmp_path)
    path.write_text('{\n "format": "spreadload plan",\n "version" 1\n}', encoding="utf-8")
    assert "plan.json:3" in said_of(path)


@pytest.mark.parametrize("text", ["[]", "{}", "3", '{"format": "shopping list"}'])
def test_other_json_is_not_a_plan(tmp_path: Path, text: str) -> None:
    """JSON of another kind is refused in one sentence."""
    path = tmp_path / "plan.json"
    path.write_text(text, encoding="utf-8")
    assert "not a plan" in said_of(path)


@pytest.mark.parametrize("text", ['{"a": 1, "a": 2}', '{"a": NaN}', "[" * 100_000])
def test_treacherous_json_is_refused(tmp_path: Path, text: str) -> None:
    """A key given twice, a number that is none, and nesting without end do no harm."""
    path = tmp_path / "plan.json"
    path.write_text(text, encoding="utf-8")
    assert "plan.json" in said_of(path)


@pytest.mark.parametrize(
    ("right", "wrong", "problem", "remedy"),
    [
        ('"socket": 1,', '"socket": 1,,', "not JSON", "no comma behind the last"),
        ('"socket": 1,', "'socket': 1,", "not JSON", "in double quotes"),
        ('"socket": 1,', '"socket": 1', "not JSON", "a comma between two entries"),
        ('"socket": 1,', '"socket": True,', "not JSON", "write a number, null, or a text"),
        ('"socket": 1,', "“socket”: 1,", "not JSON", "straight quotes"),
        ('"socket": 1,', "\n<<<<<<< HEAD\n", "two versions that were merged", "remove the lines"),
        ('"socket": 1,', '"socket": 1, "socket": 2,', "given twice", "keep one of the two"),
        ('"socket": 1,', '"socket": NaN,', "must be a whole number", "in digits"),
        ('"socket": 1,', '"socket": "2",', "must be a whole number", "without unit or quotes: 2"),
        ('"socket": 1,', '"sokcet": 1,', "unknown key", "did you mean socket?"),
    ],
)
def test_a_slip_of_a_hand_is_told_with_its_line(
    right: str, wrong: str, problem: str, remedy: str, tmp_path: Path
) -> None:
    """One fault on the line of the slip, with what to write there."""
    path = saved(tmp_path)
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace(right, wrong, 1), encoding="utf-8")
    said = said_of(path)
    line = text[: text.index(right)].count("\n") + 1
    # A comma that is missing is only noticed at the key behind it.
    assert f"plan.json:{line}:" in said or f"plan.json:{line + 1}:" in said
    assert problem in said
    assert remedy in said


@pytest.mark.parametrize(
    ("plan", "remedy"),
    [
        ({"placements": {"a": {}}}, "put the entries in square brackets"),
        ([], 'write it as {"key": value, ...}'),
        ({"placements": None}, "write a value after the colon"),
    ],
)
def test_remedies_are_for_json(plan: Any, remedy: str, tmp_path: Path) -> None:  # noqa: ANN401
    """Nobody is told to indent a file of brackets."""
    assert remedy in said_of(changed(tmp_path, plan=plan))


@pytest.mark.parametrize("text", ["", "\n", "plan: {}", "format: spreadload plan\n"])
def test_a_file_that_is_no_json_is_sent_to_another(text: str, tmp_path: Path) -> None:
    """An empty file, or YAML."""
    path = tmp_path / "plan.json"
    path.write_text(text, encoding="utf-8")
    assert "name a plan file, or plan again" in said_of(path)


def test_a_later_version_is_told_from_a_broken_file(tmp_path: Path) -> None:
    """The remedy is to update, not to mend the file."""
    assert "later version" in said_of(changed(tmp_path, version=2))


def test_an_unknown_key_is_a_fault_with_its_line(tmp_path: Path) -> None:
    """Keys outside the shape are named, with the line they stand on."""
    said = said_of(changed(tmp_path, note="by hand"))
    assert "note" in said
    assert "unknown key" in said


def test_every_wrong_placement_is_reported(tmp_path: Path) -> None:
    """Two broken placements are two faults in one pass."""
    wrong = {"setup": "SU1", "load": "lamp", "unit": 0, "point": "O1"}
    path = changed(tmp_path, plan={"placements": [wrong, wrong | {"unit": "one"}]})
    with pytest.raises(InputError) as caught:
        load_plan(path, JOB)
    assert len(caught.value.faults) == 2
    assert all(fault.line > 1 for fault in caught.value.faults)


def test_a_missing_file_is_one_fault(tmp_path: Path) -> None:
    """Nothing to read is said in one line."""
    assert "cannot be found" in said_of(tmp_path / "nothing.json")


def test_the_printed_answer_is_told_from_a_kept_plan(tmp_path: Path) -> None:
    """Who saved what plan --json prints is told how a plan is kept."""
    said = said_of(changed(tmp_path, format="spreadload plan answer"))
    assert "plan --json prints" in said
    assert "plan --save FILE" in said


def test_plans_ranked_behind_the_first_come_back_too(tmp_path: Path) -> None:
    """They stand beside it in their order; commands that want one plan read the first."""
    second = plan_of(put("lamp", "O2", place="lounge"))
    path = tmp_path / "ranked.json"
    save_plan(path, job_digest(JOB), PLAN, (second, Plan()))
    loaded = load_plan(path, JOB)
    assert loaded.plan == PLAN
    assert loaded.others == (second, Plan())


@pytest.mark.parametrize(
    "text",
    [
        "region: NZ\ncircuits: {P1: {breaker_a: 20}}\nsetups: [{id: A}]\n",
        "use: house.yaml\nsetups: [{id: A}]\n",
        '{"region": "NZ", "outlets": {"O1": {}}}',
    ],
)
def test_a_job_where_the_plan_belongs_is_called_one(text: str, tmp_path: Path) -> None:
    """In YAML or in JSON: the remedy is to keep a plan and to name that file."""
    path = tmp_path / "job.yaml"
    path.write_text(text, encoding="utf-8")
    said = said_of(path)
    assert "this is a job, not a plan" in said
    assert "plan --save FILE" in said


def test_the_folder_of_a_job_is_no_plan_either(tmp_path: Path) -> None:
    """JOB may be a folder, FILE may not."""
    (tmp_path / "job.yaml").write_text("region: NZ\n", encoding="utf-8")
    assert "this is the folder of a job, not a plan" in said_of(tmp_path)
