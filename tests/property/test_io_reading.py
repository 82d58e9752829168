"""Whatever stands in a file, reading it ends in data or in faults, never in a crash."""

import json
import re
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from spreadload.errors import InputError
from spreadload.io import compose as compose_module
from spreadload.io.compose import compose
from spreadload.io.faults import validate
from spreadload.io.source import plain
from spreadload.io.yaml_source import read
from spreadload.job.job import Job

SCRAPS = st.sampled_from(
    ["use: ", "job.yaml", "circuits:", "setups:", "P1", ": ", "\n", "\n  ", "\n- ", "- ", "[", "]",
     "{", "}", ", ", "&a ", "*a", "<<: ", "!!int ", "'", '"', "|\n", "# ", "---\n", "\t", "~",
     "true", "16", "1e999", ".nan", "? ", "breaker_a: ", "region: eu", "heads: ", "id: ", "%", "@",
     "\\", "\x85", "\u2028", "\ufeff", "é"],
)  # fmt: skip
NEARLY_YAML = st.lists(SCRAPS, max_size=40).map("".join)
WORDS = st.text(
    st.characters(exclude_categories=["C", "Zl", "Zp"], exclude_characters="\xa0"), max_size=8
)
SCALARS = (
    st.none() | st.booleans() | st.integers(-(10**15), 10**15) | WORDS
    | st.floats(allow_nan=False, allow_infinity=False)
)  # fmt: skip
KEYS = WORDS.filter(lambda word: word not in ("", "<<", "use"))
DATA = st.recursive(
    SCALARS, lambda inner: st.lists(inner, max_size=4) | st.dictionaries(KEYS, inner, max_size=4)
)
FILES = st.dictionaries(KEYS, DATA, min_size=1, max_size=5)
FREELY = settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=300)


class Writer(yaml.SafeDumper):
    """PyYAML's writer, told that ``1e5`` is a number, so that text like it is written in quotes.

    The number is YAML 1.2.2 section 10.3.2 and JSON; PyYAML alone keeps to YAML 1.1, where it is
    text.
    """


Writer.add_implicit_resolver(
    "tag:yaml.org,2002:float",
    re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)[eE][-+]?[0-9]+"),
    list("-+.0123456789"),
)


def written(data: dict[str, Any]) -> str:
    """Return data as PyYAML's own writer puts it."""
    return str(yaml.safe_dump(data, allow_unicode=True, sort_keys=False))


def outcome(folder: Path, content: bytes) -> Job | tuple[Any, ...]:
    """Return the job of a file, or its faults."""
    path = folder / "job.yaml"
    path.write_bytes(content)
    try:
        return validate(read(path), Job)
    except InputError as error:
        return error.faults


@FREELY
@given(text=NEARLY_YAML | st.text(max_size=60))
@example(text="a: &x [*x]")
@example(text='region: "\\ud800"')
@example(text='region: "\\UFFFFFFFF"')
def test_no_text_crashes(tmp_path: Path, text: str) -> None:
    """Text of any kind gives a job or faults that print on their own lines."""
    found = outcome(tmp_path, text.encode("utf-8", "surrogatepass"))
    assert found
    for fault in found if isinstance(found, tuple) else ():
        assert fault.line <= text.count("\n") + text.count("\r") + 1
        assert all(part.isprintable() for part in (fault.key, fault.value))


@FREELY
@given(content=st.binary(max_size=40))
def test_no_bytes_crash(tmp_path: Path, content: bytes) -> None:
    """Bytes of any kind give a job or faults."""
    assert outcome(tmp_path, content)


@FREELY
@given(data=FILES)
def test_no_data_crashes_the_model(tmp_path: Path, data: dict[str, Any]) -> None:
    """Data of any shape under the job's own headings gives a job or one fault per value."""
    headed = dict(
        zip(["circuits", "setups", "heads", "rules", "leads"], data.values(), strict=False)
    )
    found = outcome(tmp_path, json.dumps({"region": "eu", **headed}, ensure_ascii=False).encode())
    if isinstance(found, tuple):
        places = [(fault.line, fault.key) for fault in found]
        assert len(places) == len(set(places))


@FREELY
@given(data=FILES)
def test_json_is_read_as_json_reads_it(data: dict[str, Any]) -> None:
    """JSON is YAML, so the standard library's reading of it must be ours (json, RFC 8259)."""
    composed = compose(json.dumps(data, ensure_ascii=False), "f")
    assert composed.faults == ()
    assert composed.root is not None
    assert plain(composed.root) == data


@FREELY
@given(data=FILES)
@example(data={"0": "0E0"})
def test_what_a_yaml_writer_writes_is_read_back(data: dict[str, Any]) -> None:
    """PyYAML's own writer, in block style, is read back without loss and without surprise."""
    composed = compose(yaml.dump(data, Dumper=Writer, allow_unicode=True, sort_keys=False), "f")
    assert composed.faults == ()
    assert composed.root is not None
    assert plain(composed.root) == data


@pytest.mark.skipif(not hasattr(yaml, "CSafeLoader"), reason="only one parser on this machine")
@FREELY
@given(text=NEARLY_YAML | FILES.map(written))
def test_both_parsers_agree(monkeypatch: pytest.MonkeyPatch, text: str) -> None:
    """Text both of PyYAML's parsers take gives the same tree with the same places."""
    trees = []
    for parser in (yaml.SafeLoader, yaml.CSafeLoader):
        monkeypatch.setattr(compose_module, "_PARSER", parser)
        composed = compose(text, "f")
        trees.append(composed.root)
    assert None in trees or trees[0] == trees[1]
