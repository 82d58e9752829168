"""The page as text: alone, escaped, and with lists that no spreadsheet runs."""

import csv
import re
from base64 import b64encode
from hashlib import sha256
from io import StringIO

import pytest

from builders import small_job
from spreadload.app import sheet as app_sheet
from spreadload.errors import ExitCode, InputError
from spreadload.explain.recce import Field, recce
from spreadload.explain.sheet import Table
from spreadload.job.job import Job
from spreadload.plan import Placement, Plan
from spreadload.practice import region_ids
from spreadload.report.sheet import table_csv

PLAN = Plan(placements=(Placement(setup="SU1", load="lamp", unit=1, place="lounge", point="O1"),))


def html_of(**changes: object) -> str:
    """Return the page of the small flat."""
    return app_sheet.sheet_of(small_job(**changes), PLAN).html()


def test_scripts_named_in_the_policy_are_the_ones_on_the_page() -> None:
    """Every script carries its digest, and nothing else may run."""
    html = html_of()
    policy = re.search(r'script-src ([^"]*)"', html)
    assert policy is not None
    scripts = re.findall(r"<script>(.*?)</script>", html, re.DOTALL)
    digests = {f"'sha256-{b64encode(sha256(s.encode()).digest()).decode()}'" for s in scripts}
    assert len(scripts) == 3
    assert digests == set(policy[1].replace("&#39;", "'").split())
    assert "default-src 'none'" in html


@pytest.mark.parametrize("text", ["<script>x</script>", "</script><b>", "<!--", "a & b <i>"])
def test_text_of_a_job_never_becomes_markup(text: str) -> None:
    """A hostile title and outlet name appear escaped, in the page and in its data."""
    html = html_of(title=text, note=text)
    start = html.index('<script type="application/json"')
    data = html[start : html.index("</script>", start)]
    assert text not in html.replace('<script>"use strict"', "")
    assert "<" not in data.split(">", 1)[1]


def test_a_plan_that_breaks_a_limit_says_so_first() -> None:
    """The sheet of a bad plan is made, but nobody can take it for a good one."""
    told = app_sheet.sheet_of(small_job(supply={"limit_a": 2.0, "limit_source": "test"}), PLAN)
    assert told.exit_code == 1
    assert 'data-says="breaks"' in told.html()


def test_no_plan_makes_no_sheet(tmp_path_factory: pytest.TempPathFactory) -> None:
    """Where no plan was found there is nothing to write down, and no file appears."""
    told = app_sheet.SheetTold(
        app_sheet.sheet_of(small_job(), PLAN).answer, ExitCode.UNDECIDED, None
    )
    path = tmp_path_factory.mktemp("out") / "sheet.html"
    with pytest.raises(InputError, match="no plan"):
        app_sheet.write_sheet(told, path)
    assert not path.exists()


def test_csv_reads_back_and_holds_no_formula() -> None:
    """Commas, quotes and line breaks survive; a cell that starts like a formula is only text."""
    cells = ('a "b", c', "=1+1", "@x", "-5", "two\nlines", "\n=1", "\uff1d1")
    columns = tuple("1234567")
    read = list(csv.reader(StringIO(table_csv(Table("t", "T", columns, (cells,))))))
    assert read[1] == ['a "b", c', "'=1+1", "'@x", "'-5", "two\nlines", "'\n=1", "'\uff1d1"]


def test_blank_lines_are_in_the_csv_too() -> None:
    """A log to write on has its empty lines."""
    assert table_csv(Table("t", "T", ("a", "b"), (), blank=3)).count("\r\n") == 4


def annotation_fields(section: str) -> set[str]:
    """Return the keys a job file knows in one section."""
    schema = Job.model_json_schema(by_alias=True)
    node = schema["properties"] if not section else schema["properties"][section]
    if not section:
        return set(node)
    text = str(node)
    name = re.search(r"#/\$defs/(\w+)", text)
    assert name is not None, section
    return set(schema["$defs"][name[1]]["properties"])


@pytest.mark.parametrize("region", region_ids())
def test_every_field_of_the_recce_sheet_is_a_key_of_the_job_file(region: str) -> None:
    """A form that asks for what the tool cannot read would lose it."""
    for section in recce(region).sections:
        known = annotation_fields(section.key)
        asked = {f.key.split(".")[0] for f in section.fields if f.kind != "note"}
        assert asked <= known, section.title


def test_recce_choices_are_what_the_job_file_allows() -> None:
    """What can be chosen is read from the models and the region's practice."""
    sections = {section.key: section for section in recce("US").sections}

    def field(section: str, key: str) -> Field:
        return next(f for f in sections[section].fields if f.key == key)

    assert field("outlets", "known").choices == ("tested", "told", "labelled", "guessed")
    assert field("outlets", "plug").choices[0] == "us-15"
    assert "AB" in field("circuits", "phase").choices
    assert field("leads", "length_ft").kind == "number"


def test_an_unknown_region_is_named_with_those_there_are() -> None:
    """A slip of the region is one clear fault."""
    with pytest.raises(InputError, match=r"no such region .*\n.*AU, NZ"):
        app_sheet.recce_of("XX")
