"""Files that pull in files: what wins, where it stands, and every way it can go wrong."""

from pathlib import Path

import pytest

from spreadload.errors import Fault
from spreadload.io import yaml_source
from spreadload.io.source import Source
from spreadload.io.yaml_source import read


@pytest.fixture
def house(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder to work in, so that files are named as a user would name them."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


def write(**files: str) -> None:
    """Write files named without their suffix; two underscores stand for a folder."""
    for name, text in files.items():
        path = Path(name.replace("__", "/") + ".yaml")
        path.parent.mkdir(exist_ok=True, parents=True)
        path.write_text(text)


def job() -> Source:
    """Read the job file."""
    return read(Path("job.yaml"))


def only() -> Fault:
    """Return the single fault of the job."""
    source = job()
    (fault,) = source.faults
    assert fault.remedy
    return fault


@pytest.mark.usefixtures("house")
def test_sections_join_and_each_value_keeps_its_place() -> None:
    """Circuits of both files are there, each with its own file and line."""
    write(
        site="region: eu\ncircuits:\n  P1: {breaker_a: 16}\n  P2:\n    breaker_a: 20\n",
        job="use: site.yaml\ncircuits:\n  P3: {breaker_a: 10}\n  P2:\n    breaker_a: 16\n",
    )
    source = job()
    assert source.faults == ()
    assert source.complete
    assert source.files == ("job.yaml", "site.yaml")
    assert source.data == {
        "region": "eu",
        "circuits": {"P1": {"breaker_a": 16}, "P2": {"breaker_a": 16}, "P3": {"breaker_a": 10}},
    }
    assert source.where(("region",)) == ("site.yaml", 1)
    assert source.where(("circuits", "P1", "breaker_a")) == ("site.yaml", 3)
    assert source.where(("circuits", "P2", "breaker_a")) == ("job.yaml", 5)
    assert source.where(("circuits", "P3")) == ("job.yaml", 3)


@pytest.mark.usefixtures("house")
def test_one_changed_key_leaves_the_rest_of_the_entry() -> None:
    """A reshoot changes one breaker and keeps its label; lists are replaced whole."""
    write(
        site="circuits: {P1: {label: hall, breaker_a: 16}}\nleads: [1, 2]\n",
        job="use: site.yaml\ncircuits: {P1: {breaker_a: 20}}\nleads: [3]\n",
    )
    assert job().data == {"circuits": {"P1": {"label": "hall", "breaker_a": 20}}, "leads": [3]}


@pytest.mark.usefixtures("house")
def test_a_heading_left_empty_adds_nothing_but_null_replaces() -> None:
    """An empty heading keeps what was pulled in; null written out does not."""
    write(site="circuits: {P1: {a: 1}}\n", job="use: site.yaml\ncircuits:\n")
    assert job().data == {"circuits": {"P1": {"a": 1}}}
    write(job="use: site.yaml\ncircuits: null\n")
    assert job().data == {"circuits": None}


@pytest.mark.usefixtures("house")
def test_paths_are_relative_to_the_file_that_names_them() -> None:
    """A file in another folder may pull in its neighbours."""
    write(
        jobs__job="use: ../houses/site.yaml\n",
        houses__site="use: [rooms/up.yaml]\na: 1\n",
        houses__rooms__up="b: 2\n",
    )
    source = read(Path("jobs/job.yaml"))
    assert source.data == {"a": 1, "b": 2}
    assert source.where(("b",)) == ("jobs/../houses/rooms/up.yaml", 1)


@pytest.mark.usefixtures("house")
def test_two_files_may_pull_in_the_same_third() -> None:
    """A file reached on two ways is read once and is no contradiction."""
    write(
        job="use: [a.yaml, b.yaml]\n",
        a="use: c.yaml\nx: 1\n",
        b="use: c.yaml\ny: 1\n",
        c="z: {k: 1}\nz: 2\n",
    )
    source = job()
    assert source.data == {"z": {"k": 1}, "x": 1, "y": 1}
    assert source.files.count("c.yaml") == 1
    assert len(source.faults) == 1


@pytest.mark.usefixtures("house")
def test_neighbours_that_differ_are_a_fault_unless_the_job_decides() -> None:
    """Two pulled-in files may not silently override one another."""
    write(
        a="c:\n  P1: {r: 16, s: 1}\n",
        b="\nc:\n  P1: {r: 20, s: 1}\n",
        job="use: [a.yaml, b.yaml]\n",
    )
    fault = only()
    assert (fault.file, fault.line, fault.key) == ("b.yaml", 3, "c.P1.r")
    assert "a.yaml:2" in fault.problem
    assert "b.yaml:3" in fault.problem
    write(job="use: [a.yaml, b.yaml]\nc: {P1: {r: 10}}\n")
    assert job().faults == ()
    assert job().data == {"c": {"P1": {"r": 10, "s": 1}}}


@pytest.mark.usefixtures("house")
def test_a_loop_shows_its_way() -> None:
    """Files that pull each other in are refused with the way round."""
    write(job="use: a.yaml\n", a="x: 1\nuse: b.yaml\n", b="use: ./job.yaml\n")
    fault = only()
    assert (fault.file, fault.line, fault.key) == ("b.yaml", 1, "use")
    assert "job.yaml -> a.yaml -> b.yaml -> job.yaml" in fault.problem
    assert not job().complete


@pytest.mark.usefixtures("house")
def test_a_file_cannot_pull_in_itself() -> None:
    """The smallest loop is refused too."""
    write(job="use: job.yaml\n")
    assert "job.yaml -> job.yaml" in only().problem


@pytest.mark.usefixtures("house")
def test_a_missing_file_is_reported_where_it_is_named() -> None:
    """The fault stands on the `use` line, shows the way there and offers a like name."""
    write(job="use: house.yaml\n", house="use:\n  - kit.yaml\n  - circus.yaml\n", kit="a: 1\n")
    write(circuits="b: 1\n")
    fault = only()
    assert (fault.file, fault.line, fault.value) == ("house.yaml", 3, "circus.yaml")
    assert "job.yaml -> house.yaml" in fault.problem
    assert "circuits.yaml" in fault.remedy
    assert job().data == {"a": 1}


@pytest.mark.parametrize(
    "name",
    ["https://example.org/site.yaml", "file:site.yaml", "/etc/site.yaml", "~/site.yaml",
     "\\\\host\\site.yaml", "C:\\site.yaml", "list.csv", "site", "folder.yaml", "'a\\0.yaml'", "5",
     "{a: 1}", "[[site.yaml]]", "''", "[5]", "true"],
)  # fmt: skip
def test_names_that_are_no_file_of_the_job(house: Path, name: str) -> None:
    """Addresses, absolute paths, other kinds of file and folders are refused on their line."""
    (house / "folder.yaml").mkdir()
    write(job=f"a: 1\nuse: {name}\n", site="b: 1\n")
    fault = only()
    assert (fault.file, fault.line, fault.key) == ("job.yaml", 2, "use")
    assert job().data == {"a": 1}


@pytest.mark.usefixtures("house")
def test_use_with_nothing_after_it() -> None:
    """A `use` line left empty is said to be so."""
    write(job="use:\na: 1\n")
    assert only().line == 1


@pytest.mark.usefixtures("house")
def test_all_files_report_in_one_pass() -> None:
    """A slip in one file does not hide those in the others."""
    write(
        job="use: [a.yaml, b.yaml, gone.yaml]\nx: 1\nx: 2\n",
        a="y: 1\nz: [\n",
        b="k: .nan\n",
    )
    source = job()
    assert {(fault.file, fault.line) for fault in source.faults} == {
        ("job.yaml", 1), ("job.yaml", 3), ("a.yaml", 2), ("b.yaml", 1),
    }  # fmt: skip
    assert not source.complete
    assert source.data["x"] == 1


@pytest.mark.usefixtures("house")
def test_chains_and_numbers_of_files_are_limited() -> None:
    """A chain at the limit is read; one longer, or too many files, is refused."""
    longest = yaml_source.MAX_CHAIN
    write(job="use: f1.yaml\n")
    for number in range(1, longest):
        write(**{f"f{number}": f"use: f{number + 1}.yaml\n"})
    write(**{f"f{longest}": "a: 1\n"})
    assert job().data == {"a": 1}
    write(**{f"f{longest}": f"use: f{longest + 1}.yaml\n", f"f{longest + 1}": "a: 1\n"})
    assert "too many" in only().problem
    names = [f"g{number}" for number in range(yaml_source.MAX_FILES)]
    write(**{name: f"{name}: 1\n" for name in names})
    write(job=f"use: [{', '.join(f'{name}.yaml' for name in names)}]\n")
    assert "too many" in only().problem
    assert len(job().files) == yaml_source.MAX_FILES


@pytest.mark.usefixtures("house")
def test_a_job_that_cannot_be_read_is_one_fault() -> None:
    """Missing, empty and broken first files give one fault and no data."""
    assert only().file == "job.yaml"
    for text in ("", "a: [\n", "- a\n"):
        write(job=text)
        assert only().file == "job.yaml"
        assert job().data == {}
        assert not job().complete


@pytest.mark.usefixtures("house")
def test_keys_are_named_as_people_count() -> None:
    """List entries go by their id, or count from one; odd characters do not reach the terminal."""
    write(job="setups:\n  - id: S2\n    on: [x]\nleads:\n  - m: 1\n")
    source = job()
    assert source.key(("setups", 0, "on", 0)) == "setups.S2.on[1]"
    assert source.key(("leads", 0, "m")) == "leads[1].m"
    assert source.key(("a\x1b[31m",)) == "a?[31m"
    fault = source.fault(("leads", 0, "m"), "too short", limit="2 m", remedy="buy another")
    assert str(fault) == (
        "error: job.yaml:5: leads[1].m: too short (is 1); allowed: 2 m\n  hint: buy another"
    )


def test_a_quote_left_open_is_told_where_it_was_opened(tmp_path: Path) -> None:
    """The parser stumbles at the next quote, two lines on; an apostrophe is no quote."""
    path = tmp_path / "job.yaml"
    path.write_text(
        "region: UK\nnote: the owner's own\ntitle: \"Dinner scene\nsupply:\n"
        '  {limit_a: 80, limit_source: "cut-out fuse"}\n',
        encoding="utf-8",
    )
    (fault,) = read(path).faults
    assert (fault.line, fault.problem) == (3, "a quote is opened and not closed on this line")
