"""The command line: streams, exit codes, saving, colour, pipes and interruption."""

import json
import os
import re
import signal
import subprocess
import sys
import time
import tomllib
from pathlib import Path

import pytest
from typer.main import get_command
from typer.testing import CliRunner

from spreadload.app import planning
from spreadload.cli import cli
from spreadload.errors import ExitCode, InternalError
from spreadload.explain.answer import answer
from spreadload.plan import Undecided

JOBS = Path(__file__).parents[1] / "golden" / "jobs"
TWO_ROOMS = str(JOBS / "two_rooms.yaml")
TWO_LAMPS = """
region: AU
supply: {limit_a: 63}
circuits: {P1: {breaker_a: 16, feeds: outlets}, P2: {breaker_a: 16, feeds: outlets}}
rooms: {lounge: {use: living}}
outlets:
  O1: {room: lounge, circuit: P1, known: tested, at: [0, 0]}
  O2: {room: lounge, circuit: P2, known: tested, at: [4, 0]}
places: {window: {room: lounge, at: [1, 0]}, door: {room: lounge, at: [3, 0]}}
heads: {key: {plate_a: 8, cord_m: 8}, fill: {plate_a: 7, cord_m: 8}}
setups: [{id: A, heads: {key: window}}, {id: B, heads: {key: window, fill: door}}]
"""
PROGRAM = [sys.executable, "-m", "spreadload"]


def run(*words: str) -> tuple[int, str, str]:
    """Return exit code, standard output and standard error of a command."""
    result = CliRunner().invoke(cli, list(words), prog_name="spreadload")
    return result.exit_code, result.stdout, result.stderr


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (["plan", TWO_ROOMS, "--brief"], 0),
        (["plan", str(JOBS / "too_much.yaml"), "--brief"], 1),
        (["check", TWO_ROOMS, str(JOBS / "two_rooms.overloaded.json"), "--brief"], 1),
        (["plan", str(JOBS / "nowhere.yaml")], 2),
        (["plan", TWO_ROOMS, "--time-limit", "soon"], 2),
        (["plan", TWO_ROOMS, "--alternatives", "-1"], 2),
        (["sketch", TWO_ROOMS], 2),
        ([], 2),
    ],
)
def test_exit_codes(words: list[str], code: int) -> None:
    """Holds, breaks, bad input and bad usage are told apart by the shell."""
    assert run(*words)[0] == code


def test_version_is_that_of_the_project() -> None:
    """Somebody who reports a fault can say of what."""
    project = tomllib.loads((Path(__file__).parents[2] / "pyproject.toml").read_text("utf-8"))
    assert run("--version") == (0, f"spreadload {project['project']['version']}\n", "")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["generator", TWO_ROOMS, "nosuch"], "LOAD: no such head or load in the job (is nosuch)"),
        (["generator", TWO_ROOMS, "nosuch=2"], "LOAD: no such head or load in the job (is nosuch)"),
        (["how-many", "scenarios/first_job", "kettle"], "`spreadload ask JOB kettle anywhere`"),
        (["how-many", "scenarios/first_job", "kettel"], "HEAD: no such head in the job"),
        (["region", "Narnia"], "REGION: no such region (is Narnia)"),
    ],
)
def test_one_slip_on_the_command_line_is_one_fault(words: list[str], said: str) -> None:
    """It is told once, under the name that ``--help`` gives the argument."""
    code, _, errors = run(*words)
    assert code == 2
    assert said in errors
    assert errors.count("error:") == 1


def test_ask_goes_by_the_plan_that_is_rigged(tmp_path: Path) -> None:
    """The plan kept beside the job is what is plugged in; without one it is planned, and said."""
    job = tmp_path / "job.yaml"
    job.write_bytes(Path(TWO_ROOMS).read_bytes())
    assert "none kept beside the job: planning first" in run("ask", str(tmp_path), "1A")[2]
    assert run("plan", str(tmp_path), "--save", str(tmp_path / "plan.json"))[0] == 0
    code, _, errors = run("ask", str(tmp_path), "1A")
    assert code == 0
    assert f"by the plan kept in {tmp_path / 'plan.json'}" in errors
    assert "planning" not in errors


@pytest.mark.parametrize(
    "command",
    [["ask", "1A"], ["turn"], ["sag"], ["trip", "--device", "P1"], ["replan", "--from", "SU1"]],
)
def test_a_plan_that_lacks_something_is_no_quiet_yes(command: list[str], tmp_path: Path) -> None:
    """What is not in a plan is counted nowhere: whoever asks has to hear that."""
    kept = tmp_path / "plan.json"
    assert run("plan", TWO_ROOMS, "--save", str(kept))[0] == 0
    name, *more = command
    assert "does not match the day" not in run(name, TWO_ROOMS, *more, "--plan", str(kept))[2]
    plan = json.loads(kept.read_text(encoding="utf-8"))
    plan["plan"]["placements"].pop()
    kept.write_text(json.dumps(plan), encoding="utf-8")
    errors = run(name, TWO_ROOMS, *more, "--plan", str(kept))[2]
    assert "does not match the day, and what it lacks is not counted" in errors
    assert "neither placed nor left out" in errors


def test_undecided_leaves_with_three(monkeypatch: pytest.MonkeyPatch) -> None:
    """No plan and no proof in the time allowed is exit code 3."""
    told = planning.plan_job(planning.load_job(Path(TWO_ROOMS)))
    outcome = Undecided(reason="no plan and no proof within 1 s")
    undecided = planning.PlanTold(told.facts, outcome, answer(told.facts, outcome), None)
    monkeypatch.setattr(planning, "plan_job", lambda *_a, **_k: undecided)
    code, out, _ = run("plan", TWO_ROOMS)
    assert (code, out) == (3, "NOT DECIDED: no plan and no proof within 1 s\n")


@pytest.mark.parametrize("error", [InternalError("the judge refused"), ValueError("odd")])
def test_our_own_fault_leaves_with_four(error: Exception, monkeypatch: pytest.MonkeyPatch) -> None:
    """A fault of the program is said to be one, without a traceback unless asked for."""

    def fail(*_args: object, **_more: object) -> None:
        raise error

    monkeypatch.setattr(planning, "plan_job", fail)
    code, out, said = run("plan", TWO_ROOMS)
    assert (code, out) == (4, "")
    assert str(error) in said
    assert "Traceback" not in said
    assert "Traceback" in run("plan", TWO_ROOMS, "--debug")[2]


def test_a_saved_plan_checks_out(tmp_path: Path) -> None:
    """What ``plan`` keeps, ``check`` passes; the note about it goes to standard error."""
    kept = tmp_path / "plan.json"
    code, out, said = run("plan", TWO_ROOMS, "--save", str(kept), "--brief")
    assert code == 0
    assert str(kept) in said
    assert str(kept) not in out
    assert run("check", TWO_ROOMS, str(kept), "--brief")[1].startswith("HOLDS: tightest is P2")


def test_saving_where_nothing_can_be_written_is_bad_input(tmp_path: Path) -> None:
    """A folder that is not there is one clear fault."""
    code, _, said = run("plan", TWO_ROOMS, "--save", str(tmp_path / "no" / "plan.json"))
    assert code == 2
    assert said.startswith("error: ")


def test_json_is_all_of_standard_output() -> None:
    """Another program can read it straight."""
    assert json.loads(run("plan", TWO_ROOMS, "--json")[1])["answer"] == "fits"


def test_why_holds_against_a_plan_file() -> None:
    """``--plan`` names the plan the price is held against."""
    plan = str(JOBS / "two_rooms.plan.json")
    code, out, _ = run("why", TWO_ROOMS, "fill", "O1", "--plan", plan)
    assert code == 0
    assert "Held against the plan given." in out


def test_a_folder_with_a_job_is_a_job(tmp_path: Path) -> None:
    """``plan FOLDER`` reads its job.yaml."""
    (tmp_path / "job.yaml").write_text(Path(TWO_ROOMS).read_text("utf-8"), "utf-8")
    assert run("plan", str(tmp_path), "--brief")[0] == 0


def test_output_piped_elsewhere_has_no_escape_codes() -> None:
    """Colour is for terminals only."""
    assert "\x1b" not in run("plan", TWO_ROOMS)[1]


@pytest.mark.skipif(sys.platform == "win32", reason="needs a pseudo-terminal")
@pytest.mark.parametrize(("no_colour", "has_escapes"), [("", True), ("1", False)])
def test_no_color_is_respected_on_a_terminal(no_colour: str, has_escapes: bool) -> None:  # noqa: FBT001
    """On a terminal the answer is emphasised, unless NO_COLOR says not to."""
    import pty  # noqa: PLC0415 - not on every system

    reader, writer = pty.openpty()
    env = os.environ | {"NO_COLOR": no_colour}
    words = [*PROGRAM, "check", TWO_ROOMS, str(JOBS / "two_rooms.plan.json"), "--brief"]
    with subprocess.Popen(words, stdout=writer, stderr=subprocess.DEVNULL, env=env) as process:
        os.close(writer)
        said = b""
        while chunk := _read(reader):
            said += chunk
        assert process.wait() == 0
    os.close(reader)
    assert (b"\x1b[1m" in said) is has_escapes


def _read(reader: int) -> bytes:
    try:
        return os.read(reader, 4096)
    except OSError:  # the other end has closed
        return b""


@pytest.mark.skipif(sys.platform == "win32", reason="pipes differ")
def test_a_reader_that_leaves_early_is_no_fault() -> None:
    """``plan … | head -1`` ends quietly."""
    words = [*PROGRAM, "plan", TWO_ROOMS, "--json"]
    with subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        said = process.stderr.read()
        assert process.wait() == 0
    assert said == b""


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="signals differ")
def test_ctrl_c_leaves_with_a_plan_or_undecided() -> None:
    """An interrupted search says what it has instead of a traceback."""
    hall = Path(__file__).parents[2] / "scenarios" / "community_hall"
    words = [*PROGRAM, "plan", str(hall), "--brief", "--time-limit", "120"]
    with subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
        time.sleep(8)
        process.send_signal(signal.SIGINT)
        out, said = process.communicate(timeout=120)
    assert process.returncode in (0, 1, 3)
    assert b"Traceback" not in said
    assert out or said


def test_python_dash_m_is_the_same_program() -> None:
    """``python -m spreadload`` answers like ``spreadload``."""
    done = subprocess.run([*PROGRAM, "--help"], capture_output=True, text=True, check=False)
    assert done.returncode == 0
    assert done.stdout.startswith("Usage: spreadload ")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full")
@pytest.mark.parametrize("words", [("keys",), ("region", "UK", "--json")])
def test_a_full_disk_is_no_fault_of_the_program(words: tuple[str, ...]) -> None:
    """The answer cannot be written: said in a line, exit code 2, nothing of Python's own."""
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [*PROGRAM, *words], stdout=full, stderr=subprocess.PIPE, text=True, check=False
        )
    assert done.returncode == ExitCode.BAD_INPUT
    assert done.stderr.startswith("error: standard output: cannot be written: ")
    assert "Traceback" not in done.stderr
    assert "Exception" not in done.stderr


KEPT = ("--plan", str(JOBS / "two_rooms.plan.json"))


@pytest.mark.parametrize(
    "words",
    [
        ("board", TWO_ROOMS),
        ("offers", TWO_ROOMS),
        ("offers", TWO_ROOMS, *KEPT),
        ("swap", TWO_ROOMS, "-v", "kettle off"),
        ("ask", TWO_ROOMS, "1A", *KEPT),
        ("how-many", TWO_ROOMS, "key"),
        ("generator", TWO_ROOMS, "key"),
        ("sag", TWO_ROOMS, *KEPT),
        ("turn", TWO_ROOMS, *KEPT),
        ("note", TWO_ROOMS, "--list"),
        ("trip", TWO_ROOMS, "--dark", "O1", *KEPT),
    ],
    ids=lambda words: " ".join(words[::2])[:12],
)
def test_every_answer_as_data_says_what_it_is(words: tuple[str, ...]) -> None:
    """A reader of JSON can tell answers apart and refuse a later version."""
    data = json.loads(run(*words, "--json")[1])
    assert (data["format"], data["version"]) == (f"spreadload {words[0]} answer", 1)


COMMANDS = get_command(cli).commands  # type: ignore[attr-defined]


def test_help_lists_commands_whole_and_as_the_readme_does() -> None:
    """At 80 columns no summary is cut short, and both tell the commands in one order."""
    result = CliRunner().invoke(cli, ["--help"], prog_name="spreadload", terminal_width=80)
    listed = re.findall(r"^  ([a-z-]+)  +(\S.*)$", result.stdout, re.MULTILINE)
    told = [(name, summary) for name, summary in listed if name in COMMANDS]
    assert [name for name, _ in told] == list(COMMANDS)
    assert [name for name, summary in told if not summary.endswith(".")] == []
    assert [name for name, summary in told if summary.endswith("...")] == []
    readme = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
    assert re.findall(r"^\| `spreadload ([a-z-]+)", readme, re.MULTILINE) == list(COMMANDS)


@pytest.mark.parametrize("name", COMMANDS)
def test_every_option_says_what_it_does_and_what_all_share_comes_last(name: str) -> None:
    """``--time-limit``, ``--json`` and ``--debug`` are looked for at the same end everywhere."""
    options = [p for p in COMMANDS[name].params if p.param_type_name == "option"]
    assert [each.opts for each in options if not getattr(each, "help", "")] == []
    flags = [each.opts[0] for each in options]
    shared = [flag for flag in ("--time-limit", "--json", "--debug") if flag in flags]
    assert flags[-len(shared) :] == shared


def test_the_plan_after_a_trip_is_kept_whole(tmp_path: Path) -> None:
    """``trip --save`` keeps the day with one plug moved, and the judge lets it pass.

    Both lamps are on P1, 15 of 16 A. It trips, and one of them goes to P2; what is over stays.
    """
    job, kept, saved = tmp_path / "job.yaml", tmp_path / "plan.json", tmp_path / "moved.json"
    job.write_text(TWO_LAMPS, encoding="utf-8")
    assert run("plan", str(job), "--save", str(kept), "--brief")[0] == 0
    rigged = json.loads(kept.read_text(encoding="utf-8"))
    before = rigged["plan"]["placements"]
    for socket, placement in enumerate((p for p in before if p["setup"] == "B"), start=1):
        placement |= {"point": "O1", "socket": socket}
    kept.write_text(json.dumps(rigged), encoding="utf-8")
    words = ["--setup", "B", "--device", "P1", "--dark", "O1", "--save", str(saved)]
    code, _, told = run("trip", str(job), *words)
    assert (code, f"plan kept in {saved}" in told) == (0, True)
    after = json.loads(saved.read_text(encoding="utf-8"))["plan"]["placements"]
    moved = [p for p in after if p not in before]
    assert [(p["setup"], p["point"]) for p in moved] == [("B", "O2")]
    assert len(after) == len(before)
    assert run("check", str(job), str(saved), "--brief")[0] == 0
