"""A YAML syntax error in words a lighting crew understands. Imports only ``errors``."""

import re

import yaml

from spreadload.errors import Fault

_QUOTE_IT = 'put the text in quotes, for example "like this"'
_LINE_UP = (
    "start keys that belong together in the same column, two blanks deeper than their heading"
)
# Both parsers PyYAML may use word the same mistake differently; these fragments cover either.
_WORDS = (
    (
        "mapping values are not allowed",
        "a second colon on the line, or a key out of line",
        f"{_LINE_UP}; {_QUOTE_IT} if it holds a colon",
    ),
    (
        "could not find expected ':'",
        "a key without a colon",
        "write `key: value`, with a blank after the colon",
    ),
    ("block end", "this line does not line up with those above", _LINE_UP),
    ("expected key", "this line does not line up with those above", _LINE_UP),
    (
        "block sequence entries are not allowed",
        "a `-` entry in the wrong place",
        "put each `- entry` on a line of its own, below its heading",
    ),
    (
        "',' or",
        "a bracket is opened and not closed, or a comma is missing",
        "close every [ with ] and every { with }, with commas between the entries",
    ),
    ("end of stream", "a quote or bracket is opened and never closed", "close it on the same line"),
    (
        "node content",
        "a bracket or comma stands where a value should be",
        _QUOTE_IT,
    ),
    (
        "cannot start any token",
        "a value starts with a character that has a meaning of its own",
        _QUOTE_IT,
    ),
    ("alias", "a value starts with `*`, which has a meaning of its own", _QUOTE_IT),
    ("anchor", "a value starts with `&`, which has a meaning of its own", _QUOTE_IT),
    (
        "escape",
        "a backslash inside double quotes has a meaning of its own",
        "use single quotes around text with a backslash",
    ),
    (
        "nesting depth",
        "entries are nested too deep",
        "check the brackets and the indentation",
    ),
    ("directive", "a line starts with `%`, which has a meaning of its own", _QUOTE_IT),
    ("tag", "a value starts with `!`, which has a meaning of its own", _QUOTE_IT),
)
MERGE_MARK = (
    "a mark of two versions that were merged",
    "keep one of the two versions, and remove the lines with <<<<<<<, ======= and >>>>>>>",
)
_MERGE_MARK = re.compile(r"(<{7}|={7}|>{7}|\|{7})( |$)")
_UNCLOSED = ("end of stream", "',' or")
_AFTER_QUOTE = re.compile(r"""[:-] +('[^']*'|"[^"]*") *[^\s'",\]}#]""")
_TAB = re.compile(r"[ \-]*\t")


def syntax_fault(error: Exception, file: str, text: str) -> Fault:
    """Return the one fault for text the YAML parser gave up on."""
    lines = text.rstrip().splitlines()
    line = min(_where(error), len(lines))
    marks = [n for n, written in enumerate(lines, start=1) if is_merge_mark(written)]
    if marks and marks[0] <= line + 1:
        return Fault(file, marks[0], "", MERGE_MARK[0], remedy=MERGE_MARK[1])
    for number in (line, line - 1):
        if 0 < number <= len(lines) and _TAB.match(lines[number - 1]):
            problem, remedy = "the line is indented with a tab", "use blanks to indent, never tabs"
            return Fault(file, number, "", problem, remedy=remedy)
    if (opened := _open_quote(lines[: line - 1])) is not None:
        problem = "a quote is opened and not closed on this line"
        return Fault(file, opened, "", problem, remedy='close it: "like this"')
    problem, remedy = _words(error, lines[line - 1] if line else "", is_at_end=_where(error) > line)
    return Fault(file, line, "", problem, remedy=remedy)


def is_merge_mark(line: str) -> bool:
    """Whether a line was put there by a tool that merges two versions of a file."""
    return bool(_MERGE_MARK.match(line))


def _open_quote(lines: list[str]) -> int | None:
    """Return the first line with a double quote that has no partner; text in 'single' ones aside.

    Looked at only once the parser has given up further down, for a text may run on in YAML.
    """
    for number, line in enumerate(lines, start=1):
        bare = re.sub(r"'[^']*'|\\\\.", "", line).partition(" #")[0]
        if bare.count('"') % 2 and not bare.lstrip().startswith("#"):
            return number
    return None


def _words(error: Exception, written: str, *, is_at_end: bool) -> tuple[str, str]:
    """Return problem and remedy from what the parser says of a line as written."""
    said = str(getattr(error, "problem", "") or "")
    if "expected" in said and _AFTER_QUOTE.search(written):
        return (
            "text goes on after a closing quote",
            "put the whole text in quotes, and write a quote inside 'single quotes' twice",
        )
    if is_at_end:
        # The parser ran off the end in search of what would close an earlier line.
        said = "end of stream"
    everything = f"{said} {getattr(error, 'context', '')}"
    for fragment, problem, remedy in _WORDS:
        if fragment in everything:
            return problem, remedy
    remedy = f"{_LINE_UP}; {_QUOTE_IT} if it holds odd characters"
    return f"the line cannot be read ({said or 'not YAML'})", remedy


def _where(error: Exception) -> int:
    if not isinstance(error, yaml.MarkedYAMLError):
        return 0
    # An unclosed quote or bracket is noticed further down but made where it was opened.
    is_unclosed = any(sign in str(error.problem) for sign in _UNCLOSED)
    opened = error.context_mark if is_unclosed else None
    mark = opened or error.problem_mark or error.context_mark
    return mark.line + 1 if mark else 0
