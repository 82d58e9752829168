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
from dataclasses import dataclass, replace
from hashlib import sha256
from pathlib import Path
from typing import Any, Literal

from spreadload.errors import Fault, InputError
from spreadload.io.atomic import write_text_atomic
from spreadload.io.compose import compose
from spreadload.io.faults import validate
from spreadload.io.job_file import job_path
from spreadload.io.source import Source
from spreadload.io.syntax import MERGE_MARK, is_merge_mark
from spreadload.io.text_file import read_text
from spreadload.job.job import Job
from spreadload.lookalikes import odd_signs
from spreadload.plan import Frozen, Plan

FORMAT: Literal["spreadload plan"] = "spreadload plan"
VERSION: Literal[1] = 1
_AGAIN = "name a plan file, or plan again"
# What the decoder of the standard library says of the slips of a hand, and what to do.
_BROKEN = {
    "property name": "put the key in double quotes, with no comma behind the last one of a group",
    "delimiter": "put a comma between two entries, a colon behind a key, and close every bracket",
    "Expecting value": "write a number, null, or a text in double quotes; no comma behind the last",
    "Illegal trailing comma": "remove the comma behind the last entry",
    "Extra data": "remove what stands behind the last bracket",
    "Unterminated string": "close the quote on the same line",
    "control character": "close the quote on the same line",
    "escape": "write a backslash twice",
}
_REMEDIES = {
    "`-`": "put the entries in square brackets: [{...}, {...}]",
    "two blanks further in": 'write it as {"key": value, ...}',
    "after the colon": "write a value after the colon",
    "`key: value` lines after it": 'add it as "plan": {...}, or plan again',
}
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
    try:
        content = validate(source, PlanFile)
    except InputError as error:
        raise InputError(_in_json(fault) for fault in error.faults) from error
    if content.job == job_digest(job):
        return LoadedPlan(content.plan, others=content.others)
    warning = f"{path} was made for another job, or this job has changed since: check it again"
    return LoadedPlan(content.plan, (warning,), content.others)


def _no_plan(path: Path, problem: str) -> InputError:
    return _refusal(path, problem, 0, "plan it with plan --save FILE, and name that file here")


def _json(text: str, path: Path) -> Any:  # noqa: ANN401 - any JSON
    """Return what the text holds; what is given twice or is no number is told with its line later.

    Raises:
        InputError: It is no JSON.
    """
    try:
        return json.loads(text)
    except json.JSONDecodeError as error:
        if not text.strip().startswith(("{", "[")):
            problem = "this is not JSON, which starts with {" if text.strip() else "it is empty"
            raise _refusal(path, f"not a plan: {problem}", 1) from error
        lines = text.splitlines()
        written = lines[error.lineno - 1] if error.lineno <= len(lines) else ""
        problem, remedy = _broken(error.msg, written)
        raise _refusal(path, problem, error.lineno, remedy) from error
    except (ValueError, RecursionError) as error:
        raise _refusal(path, "not a plan: brackets in brackets without end", 0) from error


def _broken(said: str, written: str) -> tuple[str, str]:
    """Return problem and remedy from what the decoder says of a line as written."""
    if is_merge_mark(written):
        return MERGE_MARK
    if odd := odd_signs(written):
        return f"not JSON: {said.lower()}", f"write it with plain signs: {odd}"
    return f"not JSON: {said.lower()}", next(
        (remedy for words, remedy in _BROKEN.items() if words in said), _AGAIN
    )


def _in_json(fault: Fault) -> Fault:
    """Return a fault with a remedy for JSON where its own is for YAML."""
    remedy = next((own for yaml, own in _REMEDIES.items() if yaml in fault.remedy), fault.remedy)
    return replace(fault, remedy=remedy)


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


def _refusal(path: Path, problem: str, line: int, remedy: str = _AGAIN) -> InputError:
    return InputError([Fault(str(path), line, "", problem, remedy=remedy)])
