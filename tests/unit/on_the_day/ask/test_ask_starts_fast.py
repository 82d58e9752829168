"""An answer on the day loads no more than it needs: start-up is most of what somebody waits for."""

import subprocess
import sys
from pathlib import Path

import pytest

ASK = """
import sys
from pathlib import Path
from spreadload.app import may_i
from spreadload.plan import Plan
job = may_i.load_job(Path(sys.argv[1]))
may_i.may_i(job, Plan(), may_i.question_of(job, "1A"))
print(*sorted({"ortools", "numpy", "jinja2"} & set(sys.modules)))
"""
SCENARIOS = Path(__file__).parents[4] / "scenarios"


@pytest.mark.parametrize(
    ("job", "loaded"), [("first_job", ""), ("community_hall", ""), ("end_of_the_line", "numpy")]
)
def test_only_a_load_flow_loads_the_numerical_library(job: str, loaded: str) -> None:
    """No solver, no template engine; numpy only where readings ask for volts."""
    done = subprocess.run(
        [sys.executable, "-c", ASK, str(SCENARIOS / job / "job.yaml")],
        check=True,
        capture_output=True,
        text=True,
    )
    assert done.stdout.strip() == loaded


COMMAND = """
import sys
from spreadload import cli
sys.argv = ["spreadload", *sys.argv[1:]]
try:
    cli.main()
except SystemExit:
    heavy = {"ortools", "numpy", "jinja2", "spreadload.app.planning", "spreadload.app.replan"}
    heavy |= {"spreadload.app.trace", "spreadload.explain.briefing", "spreadload.explain.reasons"}
    print("loaded:", *sorted(heavy & set(sys.modules)))
"""


def told_by(*words: str) -> list[str]:
    """Return what a command prints, and then what it has loaded."""
    done = subprocess.run(
        [sys.executable, "-c", COMMAND, *words], check=True, capture_output=True, text=True
    )
    return done.stdout.splitlines()


@pytest.mark.parametrize(("job", "loaded"), [("first_job", []), ("family_house", ["numpy"])])
def test_the_command_loads_no_more_than_the_library(job: str, loaded: list[str]) -> None:
    """Neither words nor colours bring in the rest of the program; numpy weighs open wiring."""
    plan = Path(__file__).parents[3] / "browser" / "plans" / f"{job}.json"
    told = told_by("ask", str(SCENARIOS / job), "1A", "--plan", str(plan))
    assert told[0].startswith(("YES", "NO", "ONLY IF"))
    assert told[-1].split()[1:] == loaded


def test_a_trip_loads_nothing_of_the_plans_before_and_after() -> None:
    """Who says what went dark waits neither for tracing nor for planning again."""
    plan = Path(__file__).parents[3] / "browser" / "plans" / "family_house.json"
    job = str(SCENARIOS / "family_house")
    told = told_by("trip", job, "--device", "GPO 2", "--plan", str(plan))
    assert told[-1] == "loaded: numpy"
