"""Terminals of any width and any alphabet, and names that hide codes."""

import io
import os
import pty
import subprocess
import sys
from pathlib import Path

import pytest

from builders import amps, circuits, outlet, plan_of, put, setup, small_job
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.explain.judged import JudgedPlan
from spreadload.job.job import Job
from spreadload.report.board import overview, setup_board
from spreadload.report.style import Style, bar, clip, pad, shown_width
from spreadload.report.terminal import MOST_COLUMNS, cleaned, columns_of, with_plain_signs

ROOT = Path(__file__).parents[3]


def job_with_long_names() -> Job:
    """Return two set-ups whose names are longer than most terminals."""
    long = "very long name of a thing that nobody shortened"
    return small_job(
        circuits={"P1": {"breaker_a": 10.0, "label": long}},
        outlets={"O1": outlet("P1", "lounge")},
        heads={"lamp of the gallery, the second one": amps(4.0)},
        places={long: {"at": [1.0, 1.0]}},
        setups=[
            {"id": n, "name": long, "heads": {"lamp of the gallery, the second one": long}}
            for n in ("SU1", "SU2")
        ],
    )


def judged(job: Job) -> JudgedPlan:
    """Judge the plan with the one head at O1 all day."""
    facts = Facts.of(job)
    (place,) = job.places
    (head,) = job.heads
    plan = plan_of(*(put(head, "O1", name=n, place=place) for n in ("SU1", "SU2")))
    return JudgedPlan.of(facts, Judge(facts), plan)


@pytest.mark.parametrize("width", [56, 60, 80, 100])
def test_no_line_of_a_board_is_longer_than_the_terminal(width: int) -> None:
    """Names are cut, figures and bars never: the amps and the bar are whole at every width."""
    style = Style(width=width)
    told = judged(job_with_long_names())
    lines = [*overview(told, style), *setup_board(told, told.facts.job.setups[0], style)]
    rows = "\n".join(lines).split("\n")
    assert max(shown_width(row) for row in rows) <= width
    assert any(row.endswith(bar(40)) and "40 %" in row for row in rows)
    assert sum("4.0" in row for row in rows) >= 2


def test_bars_stand_under_each_other_whatever_the_names() -> None:
    """Letters two columns wide count as two, so that the bars of all ways line up."""
    job = small_job(
        circuits=circuits(P1=10.0, 台所=10.0),
        outlets={"O1": outlet("P1", "lounge"), "O2": outlet("台所", "bed")},
        setups=[setup(lamp={"lounge": 2})],
    )
    facts = Facts.of(job)
    plan = plan_of(*(put("lamp", f"O{n}", unit=n, place="lounge") for n in (1, 2)))
    told = JudgedPlan.of(facts, Judge(facts), plan)
    rows = [row for row in setup_board(told, job.setups[0], Style()) if "█" in row]
    starts = {shown_width(row[: row.index("█")]) for row in rows}
    assert len(rows) >= 2
    assert len(starts) == 1


def test_width_counts_what_a_terminal_shows() -> None:
    """A wide letter is two columns, a combining mark none; cutting and filling go by that."""
    assert [shown_width(text) for text in ("abc", "台所", "e\u0301", "💡")] == [3, 4, 1, 2]
    assert clip("台所台所", 5) == "台所…"
    assert pad("台所", 6) == "台所  "


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "cp437"])
def test_a_terminal_without_the_signs_still_shows_the_bar(encoding: str) -> None:
    """Blocks, dots, quotes and arrows have plain stand-ins one column wide; nothing fails."""
    raw = io.BytesIO()
    stream = io.TextIOWrapper(raw, encoding=encoding)
    with_plain_signs(stream)
    stream.write(f"P1 “KÜCHE” {bar(30)} → 台")
    stream.flush()
    shown = raw.getvalue().decode(encoding)
    assert len(shown) == len(f"P1 “KÜCHE” {bar(30)} → 台")
    assert '"' in shown
    assert shown.endswith("?")
    if encoding == "ascii":
        assert shown == 'P1 "KUCHE" ###....... > ?'


@pytest.mark.parametrize("hidden", ["\x1b[2J", "\x1b]0;owned\x07", "\u202e", "\r", "\x9b31m"])
def test_a_name_cannot_command_the_terminal(hidden: str) -> None:
    """Escape codes and turned writing in a name are left away; our own emphasis stays."""
    strong = Style(colour=True).strong("FITS")
    shown = cleaned(f"{strong} a{hidden}b\n\tc")
    assert shown.startswith(strong)
    assert not set(shown.removeprefix(strong)) & set("\x1b\u202e\r\x9b\x07")
    assert shown.endswith("b\n\tc")


def test_a_file_gets_the_usual_width() -> None:
    """Only a terminal changes the width, so that what is kept in a file is always the same."""
    assert columns_of(io.StringIO(), 80) == 80


def on_terminal(columns: int, **env: str) -> str:
    """Run ``check`` on a terminal of so many columns; return what it showed."""
    ours, theirs = pty.openpty()
    plan = str(ROOT / "tests/browser/plans/first_job.json")
    words = [sys.executable, "-m", "spreadload", "check", "scenarios/first_job", plan]
    inherited = {k: v for k, v in os.environ.items() if k not in ("NO_COLOR", "PYTHONIOENCODING")}
    process = subprocess.Popen(
        words,
        stdout=theirs,
        stderr=subprocess.DEVNULL,
        cwd=ROOT,
        env=inherited | {"COLUMNS": str(columns)} | env,
    )
    os.close(theirs)
    shown = b""
    while True:
        try:
            piece = os.read(ours, 65536)
        except OSError:  # how a terminal says that its other end is gone
            break
        if not piece:
            break
        shown += piece
    os.close(ours)
    assert process.wait(timeout=60) == 0
    return shown.decode("utf-8", "replace").replace("\r\n", "\n")


@pytest.mark.parametrize("columns", [60, 80, 120])
def test_a_real_terminal_is_filled_and_not_overrun(columns: int) -> None:
    """On a terminal of any width no line wraps, with the bars of ways and supply whole."""
    shown = on_terminal(columns, NO_COLOR="1")
    assert max(shown_width(line) for line in shown.split("\n")) <= min(columns, MOST_COLUMNS)
    assert "\x1b" not in shown
    assert "The supply" in shown
    assert sum("█" in line for line in shown.split("\n")) >= 5


def test_colour_is_only_added_where_it_is_wanted() -> None:
    """With NO_COLOR the words are the same, without it only escape codes are added."""
    plain, loud = on_terminal(80, NO_COLOR="1"), on_terminal(80)
    assert "\x1b[1m" in loud
    for code in ("\x1b[0m", "\x1b[1m", "\x1b[2m"):
        loud = loud.replace(code, "")
    assert loud == plain
