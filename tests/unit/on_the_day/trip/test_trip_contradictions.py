"""What was found after a trip against what was known: flagged, and the cheapest look proposed.

While a breaker is down, a lamp in the odd outlet costs nothing; common practice, no source.
"""

from pathlib import Path

import pytest
from typer.testing import CliRunner

from builders import Entry, amps, circuits, outlet, put, setup, small_job
from spreadload.cli import cli
from spreadload.job.job import Job
from spreadload.on_the_day.trip.lines import radio_line
from spreadload.report.style import Style
from spreadload.report.trip_data import trip_data
from spreadload.report.trip_text import trip_text
from trips import told

JOBS = Path(__file__).parents[3] / "golden" / "jobs"


def house(**changes: Entry) -> Job:
    """Return three outlets on three circuits, all tested, a lamp at the first."""
    data: Entry = {
        "circuits": circuits(P1=10.0, P2=10.0, P3=10.0),
        "rooms": {"lounge": {}, "bed": {}, "hall": {}},
        "outlets": {
            "O1": outlet("P1", "lounge"),
            "O2": outlet("P2", "bed"),
            "O3": outlet("P3", "hall"),
        },
        "heads": {"lamp": amps(4.0)},
        "setups": [setup(lamp="lounge")],
    }
    return small_job(**(data | changes))


LAMP = put("lamp", "O1", place="lounge")


def text_of(answer: object) -> str:
    """Return the text in one line."""
    return " ".join(trip_text(answer, Style()).split())  # type: ignore[arg-type]


def test_a_dark_outlet_known_on_another_circuit_is_looked_at_while_the_breaker_is_down() -> None:
    """No breaker has to be switched for it, as it would be once the handle is up again."""
    answer = told(house(), LAMP, dark=("O1", "O2"), device="P1")
    assert [(d.outlet, d.is_dark, d.chance, d.known_on) for d in answer.doubted] == [
        ("O2", True, 0.0, "P2")
    ]
    text = text_of(answer)
    assert "O2 dark: until now it was on P2." in text
    assert "A lamp in O2 now, while it is down, settles it and costs nothing." in text
    assert "Until it is settled this trip will not count. Once it is back on" in text
    assert text.index("A lamp in O2 now") < text.index("Back on, in this order")
    assert trip_data(answer)["look_again"] == [{"outlet": "O2", "dark": True, "chance_pct": 0.0}]


def test_a_lit_outlet_known_on_the_dead_circuit_is_looked_at_too() -> None:
    """A lamp in the neighbour's socket is soon taken for this one."""
    answer = told(house(), LAMP, lit=("O1",), device="P1")
    assert [(d.outlet, d.is_dark) for d in answer.doubted] == [("O1", False)]


def test_what_a_label_makes_unlikely_is_believed_and_looked_at_again() -> None:
    """Labels are odds: nothing clashes, but a lounge outlet on the kitchen's way is rare."""
    job = house(
        circuits={
            "P1": {"label": "LOUNGE", "breaker_a": 10.0, "feeds": "outlets"},
            "P2": {"label": "KITCHEN", "breaker_a": 10.0, "feeds": "outlets"},
        },
        rooms={"lounge": {"use": "living"}, "kitchen": {"use": "kitchen"}},
        outlets={
            "O1": {"room": "lounge", "at": [0, 0]},
            "O2": {"room": "lounge", "at": [4, 0]},
            "O3": {"room": "kitchen", "at": [9, 0]},
        },
    )
    odd = told(job, LAMP, dark=("O1",), lit=("O3",), device="P2")
    usual = told(job, LAMP, dark=("O1",), lit=("O3",), device="P1")
    assert [d.outlet for d in odd.doubted] == ["O1"]
    assert all(0 < d.chance < 0.1 for d in odd.doubted)
    assert not odd.disputes
    assert "wirings. A lamp in" in text_of(odd)
    assert usual.doubted == ()


def test_lists_that_nothing_explains_name_the_outlets_to_look_at_again() -> None:
    """Two circuits never go together; the crew is sent to a lamp, not only to the board."""
    answer = told(house(), LAMP, dark=("O1", "O2"), lit=("O3",))
    assert not answer.causes
    # Without O3 the whole house may be dark, which is rarer than one lamp misread.
    assert set(answer.misfits[:2]) == {"O1", "O2"}
    assert answer.misfits[2:] == ("O3",)
    assert radio_line(answer).startswith("What is dark and lit does not fit together: look at O")
    assert "Known until now: " in text_of(answer)


def test_an_outlet_that_would_not_help_is_not_named() -> None:
    """Leaving O3 away leaves O1 and O2 dark on two circuits beside the lit O4: no use."""
    outlets = {
        "O1": outlet("P1", "lounge"),
        "O2": outlet("P2", "bed"),
        "O3": outlet("P3", "hall"),
        "O4": outlet("P3", "hall"),
    }
    answer = told(house(outlets=outlets), LAMP, dark=("O1", "O2"), lit=("O3", "O4"))
    assert "O3" not in answer.misfits
    assert "O4" not in answer.misfits


@pytest.mark.parametrize("words", [["trip", "--device", "C1"], ["ask", "5A", "S6"]])
def test_a_broken_line_in_the_log_does_not_keep_the_answer(
    words: list[str], tmp_path: Path
) -> None:
    """Loud on standard error, the answer on standard output; plan refuses until it is mended."""
    (tmp_path / "job.yaml").write_bytes((JOBS / "uk_terrace.yaml").read_bytes())
    (tmp_path / "plan.json").write_bytes((JOBS / "uk_terrace.plan.json").read_bytes())
    log = tmp_path / "log.yaml"
    log.write_text("observations:\n  - {what: trip, circuits: [C1, when: x}\n", encoding="utf-8")
    run = CliRunner()
    command, *rest = words
    plan = ["--plan", str(tmp_path / "plan.json")]
    answered = run.invoke(cli, [command, str(tmp_path), *rest, *plan])
    assert answered.exit_code == 0
    assert "log.yaml:2: SET ASIDE for this answer" in answered.stderr
    assert "this is the second: stop" in " ".join(answered.stderr.split())
    refused = run.invoke(cli, ["plan", str(tmp_path)])
    assert refused.exit_code == 2


def test_a_trip_is_written_down_behind_a_broken_line(tmp_path: Path) -> None:
    """Nothing that stands there is touched, and the answer comes with it."""
    (tmp_path / "job.yaml").write_bytes((JOBS / "uk_terrace.yaml").read_bytes())
    (tmp_path / "plan.json").write_bytes((JOBS / "uk_terrace.plan.json").read_bytes())
    log = tmp_path / "log.yaml"
    there = "observations:\n  - {what: trip, circuits: [C1, when: x}\n"
    log.write_text(there, encoding="utf-8")
    told_of = CliRunner().invoke(
        cli, ["trip", str(tmp_path), "--device", "C2", "--when", "12:00", "--log"]
    )
    assert "In the log as 2." in told_of.stdout
    assert log.read_text(encoding="utf-8").startswith(there + "  - {what: trip, circuits: [C2]")
