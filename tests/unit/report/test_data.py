"""The JSON shape is pinned: keys may be added within a version, never change or go."""

import json
from pathlib import Path

from spreadload.app.planning import SolverConfig, check_plan, plan_job, why_not
from spreadload.io.job_file import load_job

JOBS = Path(__file__).parents[2] / "golden" / "jobs"
QUICK = SolverConfig(time_limit_s=5.0, alternatives=1)
HEAD = {"format", "version", "answer", "text", "tightest", "red_flags"}
BRIEFING = {
    "reasons",
    "must_be_off",
    "doubts",
    "may_run",
    "must_stay_on",
    "must_stay_on_shared",
    "light_that_stays",
    "between_setups",
    "pull",
    "not_proved",
    "cautions",
}
PLAN = {"placements", "left_out", "switched_off", "search", "verdict"}


def test_a_plan_has_every_promised_key() -> None:
    """Every promised key is there and the whole can be written as JSON."""
    data = plan_job(load_job(JOBS / "two_rooms.yaml"), QUICK).data()
    assert set(data) == HEAD | BRIEFING | {"proven", "gap", "plan", "alternatives", "first_moves"}
    assert (data["format"], data["version"]) == ("spreadload plan answer", 1)
    assert set(data["plan"]) == PLAN
    first = {"setup", "circuit", "text", "before_a", "after_a", "for_room"}
    assert [set(move) for move in data["first_moves"]] == [first] * len(data["first_moves"])
    assert data["first_moves"]
    judged = {"holds", "violations", "goals", "devices", "contract", "neutral"}
    judged |= {"volts", "notes"}
    assert set(data["plan"]["verdict"]) == judged
    assert set(data["alternatives"][0]) == {"plan", "differs", "costs"}
    assert json.loads(json.dumps(data)) == data


def test_plan_says_which_circuits_each_placement_may_be_on() -> None:
    """``on`` saves the reader a look into the job."""
    data = plan_job(load_job(JOBS / "two_rooms.yaml"), QUICK).data()
    where = {p["load"]: (p["point"], p["on"]) for p in data["plan"]["placements"]}
    assert where["kettle"] == ("O2", ["P2"])


def test_a_no_brings_its_reason_and_the_least_overload() -> None:
    """The proof in words and the least overloaded plan come along."""
    data = plan_job(load_job(JOBS / "too_much.yaml"), QUICK).data()
    assert data["answer"] == "cannot"
    assert data["reason"].startswith("SU1 needs 24.0 A")
    assert set(data["least_overloaded"]) == PLAN
    assert [entry["load"] for entry in data["plan"]["left_out"]] == ["fill"]


def test_a_check_has_every_key_but_those_of_a_search() -> None:
    """A judged plan has the same parts without a search's."""
    job = load_job(JOBS / "two_rooms.yaml")
    plan = plan_job(job, QUICK).plan
    assert plan is not None
    data = check_plan(job, plan).data()
    assert set(data) == HEAD | BRIEFING | {"plan"}
    assert data["answer"] == "holds"


def test_why_has_an_answer_for_each_set_up() -> None:
    """One answer per set-up, each with its price goal by goal."""
    data = why_not(load_job(JOBS / "two_rooms.yaml"), "key", "O2", config=QUICK).data()
    assert set(data) == {"format", "version", "held_against", "answers"}
    assert {a["setup"]: a["answer"] for a in data["answers"]} == {
        "SU1": "worse",
        "SU2": "impossible",
    }
    assert set(data["answers"][0]) == {
        "setup",
        "load",
        "outlet",
        "answer",
        "text",
        "now_at",
        "alone",
        "costs",
        "forced_plan",
    }


def test_text_and_data_say_the_same() -> None:
    """The first line of the text is the ``text`` of the data."""
    told = plan_job(load_job(JOBS / "two_rooms.yaml"), QUICK)
    assert told.text().split("\n")[0] == told.data()["text"]
