"""Whatever passes the checks can be worked out: no slip gets through to crash later."""

import copy
import json
from functools import cache
from pathlib import Path
from typing import Any

from hypothesis import assume, given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from spreadload import practice
from spreadload.derived.facts import Facts
from spreadload.io.tidy import tidy
from spreadload.io.yaml_source import read
from spreadload.job.job import Job
from spreadload.job.references import find_faults

SCENARIOS = Path(__file__).parents[2] / "scenarios"
HOUSES = ("bungalow", "ranch_house", "community_hall", "first_job")
WORDS = ("P1", "A1", "lounge", "L2", "A", "US", "cee-32-5pin", "au-10", "SU1", "kettle", "", "x")
NUMBERS = (0.0, 0.4, 1.0, 5.0, 11.0, 400.0)
Path_ = tuple[str | int, ...]


@cache
def house(name: str) -> Any:  # noqa: ANN401 - a tree of dicts, lists and scalars
    """Return the plain data of a shipped house."""
    return tidy(read(SCENARIOS / name / "job.yaml").root, Job)


def leaves(data: Any, path: Path_ = ()) -> list[Path_]:  # noqa: ANN401 - a tree
    """Return the path of every entry below the top."""
    if isinstance(data, dict):
        below = [leaf for key, value in data.items() for leaf in leaves(value, (*path, key))]
    elif isinstance(data, list):
        below = [leaf for i, value in enumerate(data) for leaf in leaves(value, (*path, i))]
    else:
        below = []
    return ([path] if path else []) + below


def changed(data: Any, path: Path_, value: Any) -> Any:  # noqa: ANN401 - trees
    """Return a copy with the entry at a path replaced, or removed when the value is None."""
    whole = copy.deepcopy(data)
    owner = whole
    for step in path[:-1]:
        owner = owner[step]
    if value is None:
        del owner[path[-1]]
    else:
        owner[path[-1]] = value
    return whole


@settings(max_examples=300)
@given(
    name=st.sampled_from(HOUSES),
    at=st.floats(min_value=0, max_value=0.999999),
    value=st.one_of(st.none(), st.sampled_from(WORDS), st.sampled_from(NUMBERS)),
)
def test_a_job_without_faults_can_be_worked_out(name: str, at: float, value: Any) -> None:  # noqa: ANN401
    """One entry of a house is changed or lost: it is refused, or its facts can be worked out."""
    data = house(name)
    paths = leaves(data)
    text = json.dumps(changed(data, paths[int(at * len(paths))], value))
    try:
        job = Job.model_validate_json(text)
    except ValidationError:
        assume(False)  # noqa: FBT003 - the format's own business
    found = find_faults(job, regions=practice.region_ids(), plugs=practice.plug_ids())
    if not found:
        assert Facts.of(job).demands
    for finding in found:
        assert finding.problem
        assert finding.remedy
