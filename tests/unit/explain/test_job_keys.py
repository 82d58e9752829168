"""The reference of the job file: complete, and true to what the reader accepts."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from spreadload.app.keys import find_keys, find_region
from spreadload.errors import InputError
from spreadload.explain.job_keys import job_schema, sections
from spreadload.io.yaml_source import read
from spreadload.job.job import Job
from spreadload.job.observations import Log
from spreadload.practice import region_ids
from spreadload.practice.keys import meaning
from spreadload.practice.load import read_data

ROOT = Path(__file__).parents[3]
# Found out when a log is read, never written.
NEVER_WRITTEN = {("Observation", "in_doubt")}


def stated_models() -> dict[str, Any]:
    """Return the properties of every model of a job and its log, by model name."""
    found = {}
    for model in (Job, Log):
        schema = model.model_json_schema(by_alias=True)
        for name, definition in ((model.__name__, schema), *schema["$defs"].items()):
            if "properties" in definition:
                found[name] = definition["properties"]
    return found


def test_every_key_has_a_meaning() -> None:
    """No key of the models goes without a line."""
    keys = {(model, key) for model, properties in stated_models().items() for key in properties}
    assert not {pair for pair in keys - NEVER_WRITTEN if not meaning(*pair)}


def test_no_meaning_without_a_key() -> None:
    """A line about a key that no longer exists would mislead."""
    models = stated_models()
    models["Draw"] = models["Head"]
    written = {(model, key) for model, keys in read_data("keys.yaml").items() for key in keys}
    assert written
    assert not {(model, key) for model, key in written if key not in models.get(model, {})}


def test_sections_reach_every_model() -> None:
    """Every group of keys of the models stands in a section of its own."""
    named = {section.path.rpartition(".")[2] for section in sections()}
    assert {"", "supply", "readings", "circuits", "setups", "route", "observations"} <= named
    shown = sum(
        len(section.keys) for section in sections() if section.path not in ("stock", "house")
    )
    models = stated_models()
    assert (
        shown == sum(len(p) for name, p in models.items() if name != "Log") - len(NEVER_WRITTEN) + 1
    )


JOBS = sorted([*ROOT.glob("scenarios/*/*.yaml"), *ROOT.glob("tests/jobs/*.yaml")])


@pytest.mark.parametrize("path", JOBS, ids=lambda p: f"{p.parent.name}/{p.stem}")
def test_schema_takes_every_job(path: Path) -> None:
    """The schema an editor uses does not refuse a job that the reader takes.

    Checked with jsonschema, a general library, against the 2020-12 dialect.
    """
    jsonschema.Draft202012Validator.check_schema(job_schema())
    data = read(path).data
    assert not list(jsonschema.Draft202012Validator(job_schema()).iter_errors(data))


def test_schema_refuses_what_the_reader_refuses() -> None:
    """A misspelt key and a negative rating are marked while typing."""
    data = {
        "region": "AU",
        "circuits": {"P1": {"braker_a": 20}, "P2": {"breaker_a": -1}},
        "setups": [{"id": "A"}],
    }
    assert len(list(jsonschema.Draft202012Validator(job_schema()).iter_errors(data))) == 2


def test_limits_are_those_of_the_reader() -> None:
    """What is printed as limit and default is what the model holds."""
    found = {
        key.name: key
        for section in sections()
        if section.path == "power_boards"
        for key in section.keys
    }
    assert found["ways"].kind == "whole number, 2 to 24"
    assert found["ways"].default == "4"
    assert found["rcd_ma"].kind == "milliamps, over 0 to 1000"


def test_a_key_is_found_wherever_it_stands() -> None:
    """A bare name shows every section that has the key; a path shows one."""
    assert {section.path for section, _ in find_keys("power_factor").found} == {
        "heads",
        "stock",
        "departments",
        "house",
    }
    assert len(find_keys("heads.power_factor").found) == 1


@pytest.mark.parametrize(
    ("find", "name", "hint"),
    [
        (find_keys, "circiuts", "circuits"),
        (find_keys, "supply.power_factor", ""),
        (find_region, "AUS", "AU"),
    ],
)
def test_unknown_names_are_one_fault(find: Callable[[str], object], name: str, hint: str) -> None:
    """A name that does not exist is refused once, with the likely one offered."""
    with pytest.raises(InputError) as refused:
        find(name)
    (fault,) = refused.value.faults
    assert hint in fault.remedy


@pytest.mark.parametrize("region", region_ids())
def test_region_shows_sources(region: str) -> None:
    """Every region's page names the plugs to write, and a source below every figure."""
    text = find_region(region.lower()).text()
    assert find_region(region).region.ordinary_plug in text
    figures = text.split("\nFigures\n")[1].split("\n\nUsual breakers")[0].splitlines()
    heads = [n for n, line in enumerate(figures) if not line.startswith("      ")]
    assert heads
    assert all(figures[n + 1].startswith("      [") for n in heads)
