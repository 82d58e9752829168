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
SCENARIOS = Path(__file__).parents[3] / "scenarios"


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
sys.argv = ["spreadload", "ask", sys.argv[1], "1A", "--plan", sys.argv[2]]
try:
    cli.main()
except SystemExit:
    heavy = {"ortools", "numpy", "jinja2", "spreadload.app.planning", "spreadload.explain"}
    print("loaded:", *sorted(heavy & set(sys.modules)))
"""


def test_the_command_loads_no_more_than_the_library() -> None:
    """Neither words nor colours of the answer bring in the rest of the program."""
    plan = Path(__file__).parents[2] / "golden" / "jobs" / "first_job.plan.json"
    done = subprocess.run(
        [sys.executable, "-c", COMMAND, str(SCENARIOS / "first_job"), str(plan)],
        check=True,
        capture_output=True,
        text=True,
    )
    assert done.stdout.startswith(("YES", "NO", "ONLY IF"))
    assert done.stdout.splitlines()[-1] == "loaded:"
