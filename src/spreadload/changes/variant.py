"""Reading what-if variants written in a few words, each to another job.

A variant is one or more clauses, separated by semicolons, with a name in front if you like::

    key on LED: DH1200 -> LED600 spare; chargers on battery
    kettle off in SU4
    circuit P3 off limits
    dryer in laundry
    heads.DH1200.plate_w=720
"""

import json
import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from spreadload.changes.edits import (
    allow,
    forbid,
    replaced_load,
    swap_heads,
    without_heads,
    without_load,
)
from spreadload.derived.asked import counts_by_place
from spreadload.errors import Fault, InputError
from spreadload.job.job import Job
from spreadload.suggest import suggest

_SHOWN = 12


@dataclass(frozen=True)
class Said:
    """A variant as somebody wrote it: its text, and where it stands if it stands in a file."""

    text: str
    file: str = ""
    line: int = 0


# Turns the plain data of a job into a job; its fault says which slip it holds.
ReadsJob = Callable[[Any], Job | Fault]


@dataclass(frozen=True)
class Variant:
    """One what-if.

    Attributes:
        name: What to call it.
        words: Its clauses as written.
        job: The job it makes.
        said: As it was written, with its place.
        lit_elsewhere: Heads that burn on, but not on the house's power: set-up, head, how many.
    """

    name: str
    words: str
    job: Job
    said: Said
    lit_elsewhere: tuple[tuple[str, str, int], ...] = ()


class _RefusedError(ValueError):
    """A clause that cannot be meant: problem, what to do about it, and what would be allowed."""

    def __init__(self, problem: str, remedy: str = "", limit: str = "") -> None:
        self.problem, self.remedy, self.limit = problem, remedy, limit
        super().__init__(problem)


def read_variants(job: Job, texts: Iterable[str | Said], reads: ReadsJob) -> tuple[Variant, ...]:
    """Return variants of a job.

    Args:
        job: What is varied.
        texts: Each as ``name: clause; clause``, the name if you like.
        reads: Reads the job that an entry given anew makes.

    Raises:
        InputError: One fault for every clause that cannot be read.
    """
    faults: list[Fault] = []
    found: list[Variant] = []
    for each in texts:
        said = each if isinstance(each, Said) else Said(each)
        name, clauses = _split(said.text)
        key = name if said.file and name else "variant"
        changed = job
        lit_elsewhere: list[tuple[str, str, int]] = []
        for clause in clauses:
            try:
                before, changed = changed, _changed(changed, clause, reads)
                if _ELSEWHERE.search(clause):
                    lit_elsewhere += _heads_gone(before, changed)
            except _RefusedError as refusal:
                told = (refusal.problem, clause, refusal.limit, refusal.remedy)
                faults.append(Fault(said.file, said.line, key, *told))
        if not clauses:
            written = (key, "says nothing", said.text.strip(), "", _HOW)
            faults.append(Fault(said.file, said.line, *written))
        words = "; ".join(clauses)
        found.append(Variant(name or words, words, changed, said, tuple(lit_elsewhere)))
    if faults:
        raise InputError(faults)
    return tuple(found)


_ELSEWHERE = re.compile(r"\s+on\s+(?:battery|a\s+generator)\b", re.IGNORECASE)
_HOW = "write e.g. “kettle off”, “DH1200 -> LED600 spare” or “heads.DH1200.plate_w=720”"


def _split(text: str) -> tuple[str, list[str]]:
    """Return the name, if one stands in front of a colon, and the clauses."""
    name, colon, rest = text.partition(":")
    is_name = colon and "=" not in name and "->" not in name
    body = rest if is_name else text
    return name.strip() if is_name else "", [c.strip() for c in body.split(";") if c.strip()]


def _changed(job: Job, clause: str, reads: ReadsJob) -> Job:
    if entry := _ENTRY.match(clause):
        return _set(job, _parts(entry), reads)
    _refuse_one_setup(job, clause)
    for pattern, change in _CLAUSES:
        match = pattern.match(clause)
        if match:
            return change(job, _parts(match))
    raise _RefusedError("this cannot be read", _HOW)


def _parts(match: re.Match[str]) -> dict[str, str]:
    return {name: part.strip() for name, part in match.groupdict().items() if part}


def _refuse_one_setup(job: Job, clause: str) -> None:
    """Refuse what holds all day, as where a load stands, but is said of one set-up.

    Raises:
        _RefusedError: With the clause as it can be said.
    """
    for setup in job.setups:
        whole = clause.removesuffix(f" in {setup.id}")
        first = next((change for pattern, change in _CLAUSES if pattern.match(whole)), None)
        if whole != clause and first in (_permission, _move):
            raise _RefusedError("this holds for the whole day or not at all", f"write “{whole}”")


def _known(name: str, known: Iterable[str], what: str) -> str:
    names = list(known)
    if name in names:
        return name
    plain = {other.casefold(): other for other in names}
    if name.casefold() in plain:
        return plain[name.casefold()]
    listed = ", ".join(names[:_SHOWN])
    remedy = suggest(name, names) or f"the job has {listed or 'none'}"
    raise _RefusedError(f"no {what} is called {name}", remedy)


def _heads_gone(before: Job, after: Job) -> Iterator[tuple[str, str, int]]:
    """Yield the heads that a change takes off the house: set-up, head, how many."""
    for was, now in zip(before.setups, after.setups, strict=True):
        for head in was.heads.keys() - now.heads.keys():
            yield was.id, head, sum(counts_by_place(was.heads[head]).values())


def _setups(job: Job, said: dict[str, str], load: str) -> list[str]:
    """Return the set-ups a clause is about: the one named, else all that ask for the load."""
    if "setup" in said:
        return [_known(said["setup"], (s.id for s in job.setups), "set-up")]
    loads = job.loads
    stays = load in loads and (loads[load].policy == "must stay on" or loads[load].starts_by_itself)
    found = [s.id for s in job.setups if load in s.heads or load in s.on or stays]
    if not found:
        raise _RefusedError(f"no set-up asks for {load}")
    return found


def _swap(job: Job, said: dict[str, str]) -> Job:
    old = _known(said["old"], job.heads, "head")
    new = _known(said["new"], (*job.stock, *job.heads), "head in stock or on the list")
    entry = job.stock[new] if new in job.stock else job.heads[new]
    for setup in _setups(job, said, old):
        places = counts_by_place(job.setup(setup).heads.get(old, {}))
        for place, count in places.items():
            job = swap_heads(job, setup, (old, place, count), new, entry)
    return job


def _off(job: Job, said: dict[str, str]) -> Job:
    load = _known(said["load"], (*job.heads, *job.departments, *job.house), "head or load")
    edit = without_heads if load in job.heads else without_load
    for setup in _setups(job, said, load):
        job = edit(job, setup, load)
    return job


def _permission(job: Job, said: dict[str, str]) -> Job:
    group = f"{said['group'].lower()}s"
    name = _known(said["name"], getattr(job, group), said["group"].lower())
    edit = forbid if said["use"].lower() in ("off limits", "not usable") else allow
    return edit(job, **{group: (name,)})


def _move(job: Job, said: dict[str, str]) -> Job:
    loads = job.loads
    name = _known(said["load"], loads, "department's or house load")
    spots = {
        **dict.fromkeys(job.places, "place"),
        **dict.fromkeys(job.rooms, "room"),
        **dict.fromkeys(job.outlets, "outlet"),
    }
    where = _known(said["where"], spots, "place, room or outlet")
    moved = loads[name].model_copy(
        update={"outlet": None, "room": None, "place": None, "circuit": None}
        | {spots[where]: where}
    )
    return replaced_load(job, name, moved)


def _set(job: Job, said: dict[str, str], reads: ReadsJob) -> Job:
    data = json.loads(job.model_dump_json(by_alias=True, exclude_unset=True))
    steps = list(_steps(data, said["path"]))
    spot: Any = data
    for step in steps[:-1]:
        spot = spot[step]
    spot[steps[-1]] = _value(said["value"])
    made = reads(data)
    if isinstance(made, Fault):
        remedy = made.remedy or ("" if made.limit else _HOW)
        raise _RefusedError(f"{said['path']}: {made.problem}", remedy, made.limit)
    return made


def _steps(data: Any, path: str) -> Iterator[str | int]:  # noqa: ANN401 - any JSON
    """Yield keys down a dotted path; ids may hold dots and blanks themselves."""
    rest, spot = path.strip(), data
    while rest:
        keys = list(_keys(spot))
        fitting = [k for k in keys if rest == k or rest.startswith(f"{k}.")]
        key = max(fitting, key=len) if fitting else rest.partition(".")[0]
        is_last = len(key) == len(rest)
        if not fitting and not (is_last and isinstance(spot, dict)):
            said = suggest(key, keys) or f"here are {', '.join(keys[:_SHOWN])}"
            raise _RefusedError(f"nothing is called {key} in {path}", said)
        step = _index(spot, key) if isinstance(spot, list) else key
        yield step
        spot = spot.get(step) if isinstance(spot, dict) else spot[int(step)]
        rest = rest[len(key) + 1 :]


def _keys(spot: Any) -> Iterator[str]:  # noqa: ANN401 - any JSON
    if isinstance(spot, dict):
        yield from spot
    elif isinstance(spot, list):
        for index, entry in enumerate(spot):
            named = entry.get("id") if isinstance(entry, dict) else None
            yield named if isinstance(named, str) else str(index + 1)


def _index(spot: list[Any], key: str) -> int:
    return list(_keys(spot)).index(key)


def _value(text: str) -> Any:  # noqa: ANN401 - any JSON
    try:
        return json.loads(text)
    except json.JSONDecodeError:
        return text


def _pattern(text: str) -> re.Pattern[str]:
    return re.compile(text, re.IGNORECASE)


_IN = r"(?:\s+in\s+(?P<setup>[^;]+?))?\s*$"
_ENTRY = _pattern(r"^(?P<path>[^=]+?)\s*=\s*(?P<value>.+)$")
_CLAUSES: tuple[tuple[re.Pattern[str], Callable[[Job, dict[str, str]], Job]], ...] = (
    (_pattern(rf"^(?P<old>.+?)\s*(?:->|→)\s*(?P<new>.+?){_IN}"), _swap),
    (
        _pattern(
            r"^(?P<group>circuit|outlet)\s+(?P<name>.+?)\s+(?P<use>off limits|not usable|allowed)$"
        ),
        _permission,
    ),
    (_pattern(rf"^(?P<load>.+?)\s+(?:on\s+battery|on\s+a\s+generator|off){_IN}"), _off),
    (_pattern(r"^(?P<load>.+?)\s+(?:in|at)\s+(?P<where>.+)$"), _move),
)
