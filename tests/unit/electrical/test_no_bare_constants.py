"""Every physical number of the electrical package sits in a row that names its source."""

import ast
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path
from typing import Any

import pytest

from bare_numbers import bare_numbers
from source_words import status_of
from spreadload import electrical

FOLDER = Path(electrical.__file__).parent
MODULES = sorted(FOLDER.glob("*.py"))


@pytest.mark.parametrize("module", MODULES, ids=lambda path: path.stem)
def test_no_number_stands_without_a_source(module: Path) -> None:
    """No module of the package holds a physical number outside a row with a source."""
    found = [f"line {n.lineno}: {n.value!r}" for n in bare_numbers(ast.parse(module.read_text()))]
    assert not found


def test_a_planted_number_is_found() -> None:
    """The search sees a number in an expression, a default and a call without a source."""
    planted = "x = 0.8 * y\ndef f(a=1.13): return g(230)\nRow(0.9, source='s')\nz = 2 * 1000"
    assert [node.value for node in bare_numbers(ast.parse(planted))] == [0.8, 1.13, 230]


def rows_of(value: Any) -> Iterator[Any]:  # noqa: ANN401 - looks into whatever a module holds
    """Yield every row in a module value, one level into tuples and dicts."""
    if isinstance(value, dict):
        value = tuple(value.values())
    for each in value if isinstance(value, tuple) else (value,):
        if not isinstance(each, type) and hasattr(each, "source"):
            yield each


@pytest.mark.parametrize("module", MODULES, ids=lambda path: path.stem)
def test_every_source_ends_with_its_status(module: Path) -> None:
    """Every row says where its number comes from and how far that can be trusted."""
    for value in vars(import_module(f"spreadload.electrical.{module.stem}")).values():
        for row in rows_of(value):
            assert status_of(row.source), row
            assert len(row.source) > len(status_of(row.source)) + 10, row
