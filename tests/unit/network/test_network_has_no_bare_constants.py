"""Every physical number of the network package sits in a row that names its source."""

import ast
from importlib import import_module
from pathlib import Path

import pytest

from bare_numbers import bare_numbers
from source_words import status_of
from spreadload import network

MODULES = sorted(Path(network.__file__).parent.glob("*.py"))
NOT_PHYSICAL = {"KEPT_SETUPS": "how many solved set-ups are kept in memory"}


@pytest.mark.parametrize("module", MODULES, ids=lambda path: path.stem)
def test_no_number_of_the_network_stands_without_a_source(module: Path) -> None:
    """No module of the package holds a physical number outside a row with a source."""
    statements = [
        each
        for each in ast.parse(module.read_text()).body
        if not (isinstance(each, ast.Assign) and _name(each) in NOT_PHYSICAL)
    ]
    found = [f"line {n.lineno}: {n.value!r}" for each in statements for n in bare_numbers(each)]
    assert not found


def _name(assign: ast.Assign) -> str:
    target = assign.targets[0]
    return target.id if isinstance(target, ast.Name) else ""


@pytest.mark.parametrize("module", MODULES, ids=lambda path: path.stem)
def test_every_row_of_the_network_says_how_far_to_trust_it(module: Path) -> None:
    """Every row of a module, in tables too, names a source that ends with its status."""
    values = vars(import_module(f"spreadload.network.{module.stem}")).values()
    flat = [each for value in values for each in _flat(value)]
    for row in flat:
        source = getattr(row, "source", None)
        if isinstance(source, str):
            assert status_of(source), row


def _flat(value: object) -> list[object]:
    if isinstance(value, dict):
        return [each for part in value.values() for each in _flat(part)]
    if isinstance(value, tuple):
        return [each for part in value for each in _flat(part)]
    return [] if isinstance(value, type) else [value]
