"""Set-ups that a crew merely numbers: no sentence of any command says “in 2” and means a set-up.

The numbers are such as no amps, metres or watts come to, so that whatever is found is a set-up.
"""

import csv
import json
import re
import shlex
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path

import pytest
from typer.testing import CliRunner

from spreadload.cli import cli

TOP = Path(__file__).parents[2]
FIRST, SECOND = "90411", "90412"
# What is named as a set-up, in a row or alone, and what is or was typed as one.
SAID = re.compile(
    r"[Ss]et-ups (?:9041\d, )*9041\d (?:and|or) 9041\d|[Ss]et-up 9041\d"
    r"|--setup 9041\d(?:(?:, 9041\d)* or 9041\d)?|\(is 9041\d\)"
)
FITS, CANNOT, UNKNOWN, LEGS = "first_job", "bungalow", "family_house", "ranch_house"
WORDS = {
    FITS: (
        "plan JOB --save PLAN",
        "plan JOB --json",
        "check JOB PLAN",
        "why JOB soft O1",
        f"why JOB soft O4 --setup {FIRST}",
        f"why JOB kettle O4 --setup {FIRST}",
        "board JOB",
        "offers JOB",
        "offers JOB --margin 30",
        "swap JOB -v 'kettle off' -v 'soft -> daylight'",
        "ask JOB 5A O1 --plan PLAN",
        "ask JOB 25A O4 --plan PLAN",
        f"ask JOB 5A O4 --until {FIRST} --plan PLAN --json",
        "ask JOB 9A O4 --plan PLAN",
        "how-many JOB soft",
        "how-many JOB daylight --place kitchen --json",
        "generator JOB soft=2",
        "sag JOB --plan PLAN",
        "turn JOB --plan PLAN",
        "turn JOB --plan PLAN --json",
        "sheet JOB --plan PLAN --out PAGE --lists LISTS",
        "trace JOB",
        "trip JOB --plan PLAN --dark O4",
        f"replan JOB --from {SECOND} --off P1 --plan PLAN",
        f"replan JOB --from {FIRST} --off P1 P2 --plan PLAN",
    ),
    CANNOT: (
        "plan JOB",
        "plan JOB --json",
        "offers JOB",
        "sag JOB --time-limit 3",
        "why JOB DH1200 A1",
    ),
    UNKNOWN: (
        "plan JOB --save PLAN",
        "check JOB PLAN --json",
        "ask JOB 9A anywhere --plan PLAN",
        "ask JOB 60A anywhere --plan PLAN",
        "trace JOB --plan PLAN",
        "trip JOB --plan PLAN --dark B5 B6 --after 5min",
        f"replan JOB --from {SECOND} --off P2 --plan PLAN",
        "sheet JOB --plan PLAN --out PAGE --lists LISTS",
    ),
    LEGS: ("plan JOB --brief --save PLAN", "sag JOB --plan PLAN", "turn JOB --plan PLAN"),
}


class _Texts(HTMLParser):
    """Takes the words of a page, block by block; scripts and styles are none."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.found: list[str] = []
        self._is_code = False
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: object) -> None:  # noqa: ARG002 - the parser's own
        self._is_code = tag in ("script", "style")

    def handle_endtag(self, tag: str) -> None:  # noqa: ARG002 - the parser's own
        self._is_code = False

    def handle_data(self, data: str) -> None:
        if not self._is_code:
            self.found.append(data)


def _texts(data: object) -> Iterator[str]:
    """Yield every text of an answer as data; keys are none."""
    if isinstance(data, str):
        yield data
    elif isinstance(data, dict):
        yield from (text for value in data.values() for text in _texts(value))
    elif isinstance(data, list):
        yield from (text for value in data for text in _texts(value))


def _bare(text: str) -> str:
    """Return where a text names a set-up by its number alone, with what is around it, else ""."""
    plain = " ".join(text.split())
    if re.fullmatch(r"9041\d", plain):
        return ""  # an id as data, or in a column of them
    found = re.search(r".{0,40}9041\d.{0,20}", SAID.sub("", plain))
    return found.group() if found else ""


def _pages(folder: Path) -> Iterator[str]:
    """Yield the words of pages, and the cells of lists, that a command wrote."""
    for file in folder.rglob("*.html"):
        yield from _Texts(file.read_text(encoding="utf-8")).found
    for file in folder.rglob("*.csv"):
        with file.open(encoding="utf-8", newline="") as lines:
            yield from (cell for line in csv.reader(lines) for cell in line)


@pytest.mark.slow
@pytest.mark.parametrize("scenario", WORDS)
def test_no_sentence_has_a_bare_number_for_a_set_up(scenario: str, tmp_path: Path) -> None:
    """Every command, as text and as data, and the page with its lists, calls a set-up one."""
    stated = (TOP / "scenarios" / scenario / "job.yaml").read_text(encoding="utf-8")
    files = {
        name: str(tmp_path / file)
        for name, file in (
            ("JOB", "job.yaml"), ("PLAN", "p.json"), ("PAGE", "page.html"), ("LISTS", "lists")
        )
    }  # fmt: skip
    Path(files["JOB"]).write_text(re.sub(r"\bSU(\d)", r'"9041\1"', stated), encoding="utf-8")
    named = 0
    for command in WORDS[scenario]:
        words = [files.get(word, word) for word in shlex.split(command)]
        told = CliRunner().invoke(cli, words, prog_name="spreadload")
        assert told.exit_code in (0, 1, 2), f"{command}: {told.stderr}"
        said = _texts(json.loads(told.stdout)) if "--json" in words else (told.stdout,)
        texts = [*said, told.stderr, *(_pages(tmp_path) if "PAGE" in command else ())]
        assert [bare for text in texts if (bare := _bare(text))] == [], command
        named += sum(len(SAID.findall(" ".join(text.split()))) for text in texts)
    assert named, "no set-up was named at all, so nothing was held"
