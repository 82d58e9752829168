"""A plan kept in a file: JSON that another tool can read, written whole or not at all.

Shape, version 1::

    {"format": "spreadload plan", "version": 1, "job": "<digest of the job>", "plan": {...},
     "others": [{...}, ...]}

where ``plan`` holds the fields of ``spreadload.plan.Plan``, and so does each of ``others``: the
plans ranked behind it, left away where there are none. Keys are added, never changed, within
one version.
"""

import json
from collections.abc import Iterable
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any, Literal

from spreadload.errors import Fault, InputError
from spreadload.io.atomic import write_text_atomic
from spreadload.io.compose import compose
from spreadload.io.faults import validate
from spreadload.io.job_file import job_path
from spreadload.io.source import Source, shown
from spreadload.io.text_file import read_text
from spreadload.job.job import Job
from spreadload.plan import Frozen, Plan

FORMAT: Literal["spreadload plan"] = "spreadload plan"
VERSION: Literal[1] = 1
# A file that says one of these is a job, or a house that a job pulls in.
_JOB_KEYS = frozenset({"circuits", "outlets", "setups"})


class PlanFile(Frozen):
    """What stands in the file."""

    format: Literal["spreadload plan"]
    version: Literal[1]
    job: str
    plan: Plan
    others: tuple[Plan, ...] = ()


@dataclass(frozen=True)
class LoadedPlan:
    """A plan read from a file, those ranked behind it, and what its reader should know."""

    plan: Plan
    warnings: tuple[str, ...] = ()
    others: tuple[Plan, ...] = ()


def job_digest(job: Job) -> str:
    """Return a short text that changes whenever anything in the job does.

    What nobody stated is left away, so that a key the tool learns later makes no job another.
    """
    said = job.model_dump(mode="json", by_alias=True, exclude_defaults=True)
    data = json.dumps(said, sort_keys=True)
    return sha256(data.encode()).hexdigest()[:16]


def save_plan(path: Path, digest: str, plan: Plan, others: Iterable[Plan] = ()) -> None:
    """Write a plan and those ranked behind it.

    Raises:
        InputError: The file cannot be written; an old one is untouched.
    """
    kept = tuple(others)
    content = PlanFile(format=FORMAT, version=VERSION, job=digest, plan=plan, others=kept)
    data = content.model_dump(mode="json", exclude=set() if kept else {"others"})
    text = json.dumps(data, indent=1, ensure_ascii=False)
    write_text_atomic(path, text + "\n")


def load_plan(path: Path, job: Job) -> LoadedPlan:
    """Return the plan of a file; one made for another job comes with a warning.

    Raises:
        InputError: Not JSON, not a plan, or of a later version; every fault in one pass.
    """
    if job_path(path) != path and job_path(path).exists():
        raise _no_plan(path, "this is the folder of a job, not a plan")
    text = read_text(path)
    composed = compose(text, str(path))
    top = composed.root.value if composed.root is not None else None
    if isinstance(top, dict) and not _JOB_KEYS.isdisjoint(top):
        raise _no_plan(path, "this is a job, not a plan")
    data = _json(text, path)
    _require_plan(data, path)
    if composed.root is None:
        raise InputError(composed.faults)
    source = Source(composed.root, (str(path),), composed.faults, composed.complete)
    content = validate(source, PlanFile)
    if content.job == job_digest(job):
        return LoadedPlan(content.plan, others=content.others)
    warning = f"{path} was made for another job, or this job has changed since: check it again"
    return LoadedPlan(content.plan, (warning,), content.others)


def _no_plan(path: Path, problem: str) -> InputError:
    return _refusal(path, problem, 0, "plan it with plan --save FILE, and name that file here")


def _json(text: str, path: Path) -> Any:  # noqa: ANN401 - any JSON
    try:
        return json.loads(text, object_pairs_hook=_no_repeats, parse_constant=_no_constant)
    except json.JSONDecodeError as error:
        problem = f"not JSON: {error.msg.lower()}"
        raise _refusal(path, problem, error.lineno) from error
    except (ValueError, RecursionError) as error:
        raise _refusal(path, f"not a plan: {shown(str(error))}", 0) from error


def _no_repeats(pairs: Iterable[tuple[str, Any]]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for key, value in pairs:
        if key in found:
            raise ValueError(f"the key {key} is given twice")
        found[key] = value
    return found


def _no_constant(word: str) -> Any:  # noqa: ANN401 - signature of the decoder's hook
    raise ValueError(f"{word} is not a number")


def _require_plan(data: Any, path: Path) -> None:  # noqa: ANN401 - any JSON
    if isinstance(data, dict) and data.get("format") == f"{FORMAT} answer":
        problem = "this is the answer that plan --json prints, not a plan that was kept"
        raise _refusal(path, problem, 1, "keep the plans with plan --save FILE")
    if not isinstance(data, dict) or data.get("format") != FORMAT:
        raise _refusal(path, "this is JSON, but not a plan", 1)
    version = data.get("version")
    if isinstance(version, int) and version > VERSION:
        problem = f"written by a later version of this program (plan version {version})"
        raise _refusal(path, problem, 1, "update the program, or plan again")


def _refusal(
    path: Path, problem: str, line: int, remedy: str = "name a plan file, or plan again"
) -> InputError:
    return InputError([Fault(str(path), line, "", problem, remedy=remedy)])
