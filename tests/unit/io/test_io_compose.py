"""YAML text to entries, with the traps of the format refused by both parsers PyYAML has."""

import pytest
import yaml

from spreadload.errors import Fault
from spreadload.io import compose as module
from spreadload.io.compose import Composed, compose
from spreadload.io.source import Source, plain

PARSERS = [yaml.SafeLoader, *([yaml.CSafeLoader] if hasattr(yaml, "CSafeLoader") else [])]


@pytest.fixture(autouse=True, params=PARSERS, ids=lambda parser: parser.__name__)
def parser(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Run every test here with the fast parser and with the one that is always there."""
    monkeypatch.setattr(module, "_PARSER", request.param)


def data(text: str) -> object:
    """Return the plain data of text without faults."""
    composed = compose(text, "f")
    assert composed.faults == ()
    assert composed.complete
    assert composed.root is not None
    return plain(composed.root)


def only(text: str) -> Fault:
    """Return the single fault of a text."""
    (fault,) = compose(text, "f").faults
    assert fault.file == "f"
    assert fault.remedy
    return fault


def test_keys_are_always_text_as_written() -> None:
    """A circuit called on, 1, true or 10-12 keeps its name."""
    text = "1: a\non: b\n10-12: c\ntrue: d\nnull: e\n0755: f\n1.50: g\n~: h\n"
    expected = {"1": "a", "on": "b", "10-12": "c", "true": "d", "null": "e", "0755": "f"}
    assert data(text) == expected | {"1.50": "g", "~": "h"}


def test_quoted_and_block_text_is_text() -> None:
    """Quotes and blocks always mean text, whatever is in them."""
    text = "a: '16'\nb: \"true\"\nc: |\n  12\nd: >\n  x\n  y\ne: ''\n"
    assert data(text) == {"a": "16", "b": "true", "c": "12\n", "d": "x y\n", "e": ""}


def test_lists_groups_and_nothing() -> None:
    """Both ways to write lists and groups give the same data."""
    assert data("a: [1, {b: x}]\nc:\n") == {"a": [1, {"b": "x"}], "c": None}
    assert data("a:\n- 1\n- b: x\nc: ~\n") == {"a": [1, {"b": "x"}], "c": None}


def test_raw_text_is_kept() -> None:
    """Numbers remember how they were written."""
    root = compose("a: 1.50\nb: [007, 1e3]\n", "f").root
    assert root is not None
    source = Source(root)
    assert [source.raw(path) for path in (("a",), ("b", 0), ("b", 1), ("z",))] == [
        "1.50", "007", "1e3", "",
    ]  # fmt: skip


def test_lines_of_keys_and_entries() -> None:
    """A value stands on the line of its key, a list entry on its own, also far below a comment."""
    root = compose("# c\na:\n  b:\n    - x\n\n    - y: 1\n      z: >\n        t\n", "f").root
    assert root is not None
    source = Source(root)
    paths = [("a",), ("a", "b"), ("a", "b", 0), ("a", "b", 1), ("a", "b", 1, "y")]
    assert [source.where(path).line for path in paths] == [2, 3, 4, 6, 6]
    assert source.where(("a", "b", 1, "z", "nowhere", 3)).line == 7
    assert source.where(("a", "b", 9)).line == 3


def test_odd_line_breaks_do_not_shift_lines() -> None:
    """Line ends that only YAML knows, pasted from elsewhere, are blanks."""
    root = compose("a: x\u2028y\u0085z\r\nb: 1\n", "f").root
    assert root is not None
    assert plain(root) == {"a": "x y z", "b": 1}
    assert Source(root).where(("b",)).line == 2


def test_unseen_marks_from_pasting_do_no_harm() -> None:
    """Hard blanks indent like blanks, and marks of no width do not make a key another one."""
    assert data("\u200ba:\n\u00a0\u00a0b\ufeff: 16\u00a0\n") == {"a": {"b": 16}}


@pytest.mark.parametrize(
    ("text", "line", "key", "first"),
    [("a: 1\nb: 2\na: 3\n", 3, "a", 1),
     ("x:\n  y:\n    - k: 1\n      j: 2\n      k: 3\n", 5, "x.y[1].k", 3),
     ("c: {P1: {r: 1},\n  P1: {r: 2}}\n", 2, "c.P1", 1), ("1: x\n'1': y\n", 2, "1", 1)],
)  # fmt: skip
def test_duplicates_name_both_lines(text: str, line: int, key: str, first: int) -> None:
    """The same key twice at any depth is one fault that names both lines."""
    fault = only(text)
    assert (fault.line, fault.key) == (line, key)
    assert f"line {first}" in fault.problem


def test_every_duplicate_is_found_and_the_rest_is_read() -> None:
    """Duplicates do not stop the reading: all are found, and the first value stands."""
    composed = compose("a: 1\na: 2\nb: 3\nb: 4\na: 5\n", "f")
    assert [fault.line for fault in composed.faults] == [2, 4, 5]
    assert composed.complete
    assert composed.root is not None
    assert plain(composed.root) == {"a": 1, "b": 3}


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [("", 1, "empty"), ("# only a note\n", 1, "empty"), ("---\n", 1, "empty"),
     ("- a\n- b\n", 1, "not a group"), ("\n\nsentence\n", 3, "not a group"),
     ("a: 1\n---\nb: 2\n", 2, "second document"), ("a:\n\tb: 1\n", 2, "tab"),
     ("a:\n  b: 1\n\tc: 2\n", 3, "tab"), ("a: 1\nb: c: d\n", 2, "second colon"),
     ("a: 1\nb: 'x\nc: 2\n", 2, "never closed"), ("a: 1\nb: [1, 2\nc: 2\n", 2, "bracket"),
     ("a:\n    b: 1\n  c: 2\n", 3, "line up"), ("a: @x\n", 1, "meaning of its own"),
     ("a: 1\nb: *later*\n", 2, "`*`"), ("a: 'it's'\n", 1, "closing quote"),
     ("a: }\n", 1, ""), ("a: 1\nb: .nan\n", 2, "finite"), ("a: 1\nb: [x, 1e999]\n", 2, "finite"),
     ('a: "\\0"\n', 1, "control"), ('a: "\\e[31m"\n', 1, "control"),
     ("? [a, b]\n: 1\n", 1, "key is missing"), ("'': 1\n", 1, "key is missing"),
     ("a: &x {b: 1}\nc:\n  <<: *x\n", 3, "<<")],
)  # fmt: skip
def test_one_fault_on_its_line(text: str, line: int, words: str) -> None:
    """Each slip is one fault, on the line of the slip, in plain words."""
    fault = only(text)
    assert (fault.line, words in fault.problem) == (line, True), fault


@pytest.mark.parametrize(
    "tag", ["!!python/object/apply:os.getcwd", "!!int", "!own", "!!binary", "!!set"]
)
def test_tags_are_refused(tag: str) -> None:
    """No file can ask for an object or a type; the rest is still checked."""
    assert "`!`" in only(f"a: {tag} x\n").problem
    assert "`!`" in only(f"a: {tag} {{x: 1}}\n").problem
    assert len(compose(f"a: {tag} x\nb: {tag} y\n", "f").faults) == 2


def test_plain_aliases_are_read() -> None:
    """An entry may repeat another; what is below it keeps the line where it was written."""
    text = "a: &x\n  b: 1\nc: *x\nd: [*x]\n"
    assert data(text) == {"a": {"b": 1}, "c": {"b": 1}, "d": [{"b": 1}]}
    root = compose(text, "f").root
    assert root is not None
    assert Source(root).where(("c",)).line == 3
    assert Source(root).where(("c", "b")).line == 2


def test_a_star_after_an_anchor_that_is_not_there() -> None:
    """A star meant as emphasis is explained, whichever parser reads it."""
    assert "`*`" in only("a: *bold\n").problem


def test_an_alias_as_key_is_its_text() -> None:
    """An alias of a word may stand as a key; an alias of a group may not."""
    assert data("a: &x P1\n*x : 2\n") == {"a": "P1", "P1": 2}
    assert "key" in only("a: &x {b: 1}\n*x : 2\n").problem


def test_an_entry_cannot_contain_itself() -> None:
    """A circle of aliases is a fault, not an endless tree."""
    assert "itself" in only("a: &x\n  b: [*x]\n").problem


def test_aliases_cannot_swell() -> None:
    """Nine lists of nine of nine ... are refused long before they are written out."""
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]" for n in range(1, 10)]
    assert "too big" in only("\n".join(lines)).problem


def test_aliases_cannot_dig() -> None:
    """A chain of aliases cannot nest deeper than brackets may."""
    lines = ["a0: &a0 [x]"] + [f"a{n}: &a{n} [*a{n - 1}]" for n in range(1, 500)]
    assert "too big" in only("\n".join(lines)).problem


@pytest.mark.parametrize("opening", ["[", "{a: ", "- "])
def test_deep_nesting(opening: str) -> None:
    """Nesting without end is a fault, not a crash."""
    assert "deep" in only(opening * 50_000).problem


def test_nesting_up_to_the_limit() -> None:
    """The limit itself is still read."""
    depth = module.MAX_DEPTH - 1
    assert data(f"a: {'[' * depth}{']' * depth}")
    assert "deep" in only(f"a: {'[' * (depth + 1)}{']' * (depth + 1)}").problem


def test_what_was_lost_is_said() -> None:
    """After a slip that hides part of the file the tree does not pass as complete."""
    lost = ["a: [", "? [a]\n: 1\n", "a: 1\n<<: b\n", ""]
    kept = ["a: 1\na: 2\n", "a: .nan\n", "a: !t x\n", "a: &x {}\n<<: *x\n"]
    results: list[Composed] = [compose(text, "f") for text in lost + kept]
    assert [result.complete for result in results] == [False] * 4 + [True] * 4


def test_ten_thousand_entries() -> None:
    """A large file is read whole, with the last line where it is."""
    text = "outlets:\n" + "".join(f"  B{n}: {{room: r{n}, sockets: 2}}\n" for n in range(10_000))
    root = compose(text, "f").root
    assert root is not None
    assert Source(root).where(("outlets", "B9999", "room")).line == 10_001
