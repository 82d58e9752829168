"""Whether the planner reaches the published optima of bin packing.

A circuit is a bin and a head an item: so many equal circuits, one outlet on each, heads that any
outlet takes. With as many circuits as the published optimum a plan must be found, and with one less
the answer must be that none exists. Both questions go through the door that every command takes.

    python benchmarks/packing.py --limit 60
    python benchmarks/packing.py --limit 60 --out benchmarks/results/packing.md

Sizes become tenths, hundredths or thousandths of an ampere, the largest that keeps a circuit within
20 A: every figure stays exact. The instances' sources are in ``benchmarks/packing_data/README.md``.
"""

import argparse
import json
import os
import platform
from collections import Counter
from dataclasses import dataclass
from datetime import UTC, datetime
from importlib.metadata import version
from pathlib import Path
from time import perf_counter
from typing import Any

from spreadload.job.job import Job
from spreadload.job.preferences import Goal
from spreadload.plan import Impossible, Outcome, Solved
from spreadload.solver.any_wiring import look_for_plans
from spreadload.solver.engine.limits import SolverConfig

DATA = Path(__file__).parent / "packing_data"
KNOWN = {
    "web_csp": 33,
    "BPPC_1_0_1": 48,
    "BPPC_1_0_2": 49,
    "BPPC_5_0_1": 20,
    "BPPC_5_0_2": 20,
}
MOST_A = 20.0
UNITS_A = (0.1, 0.01, 0.001)
SPOT = [0.0, 0.0]
CORD_M = 10.0


@dataclass(frozen=True)
class Instance:
    """Items to pack into equal bins."""

    name: str
    capacity: int
    counts: Counter[int]
    optimum: int


@dataclass(frozen=True)
class Answer:
    """What the planner said about one number of circuits."""

    word: str
    time_s: float


def main() -> None:
    """Ask about every instance and print the table."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--limit", type=float, default=60.0, help="seconds for each question")
    parser.add_argument("--only", default="", help="part of an instance's name")
    parser.add_argument("--out", type=Path, help="also write the table here")
    asked = parser.parse_args()
    lines = [line(read(name), asked.limit) for name in KNOWN if asked.only in name]
    text = report(lines, asked.limit)
    print(text)
    if asked.out:
        asked.out.write_text(text, encoding="utf-8")


def read(name: str) -> Instance:
    """Return a stored instance with its known optimum."""
    with_conflicts, with_demands = DATA / f"{name}.txt", DATA / f"{name}.vbp"
    if with_demands.is_file():
        capacity, counts = _vector_form(_numbers(with_demands))
    else:
        capacity, counts = _conflict_form(_numbers(with_conflicts))
    return Instance(name, capacity, counts, KNOWN[name])


def _numbers(path: Path) -> list[list[int]]:
    lines = path.read_text(encoding="utf-8").splitlines()
    return [[int(word) for word in line.split()] for line in lines if line.strip()]


def _conflict_form(lines: list[list[int]]) -> tuple[int, Counter[int]]:
    """Read items and capacity, then the number and size of each item, without any conflicts."""
    (count, capacity), *items = lines
    if len(items) != count or any(len(item) != len(("number", "size")) for item in items):
        raise ValueError(f"{count} items without conflicts expected")
    return capacity, Counter(size for _, size in items)


def _vector_form(lines: list[list[int]]) -> tuple[int, Counter[int]]:
    """Read dimensions, capacity and number of sizes, then every size with how many there are."""
    (dimensions,), (capacity,), (kinds,), *demands = lines
    if dimensions != 1 or len(demands) != kinds:
        raise ValueError(f"one dimension and {kinds} sizes expected")
    return capacity, Counter({each[0]: each[1] for each in demands})


def job_of(instance: Instance, circuits: int) -> Job:
    """Return the job that fits exactly if the items go into so many bins."""
    return Job.model_validate_json(json.dumps(job_data(instance, circuits)))


def job_data(instance: Instance, circuits: int) -> dict[str, Any]:
    """Return the plain data of that job."""
    unit_a = next(unit for unit in UNITS_A if instance.capacity * unit <= MOST_A)
    counts = instance.counts
    sockets = instance.capacity // min(counts)
    names = [f"C{n}" for n in range(circuits)]
    breaker_a = round(instance.capacity * unit_a, 3)
    return {
        "region": "EU",
        "supply": {"system": "single-phase", "limit_a": breaker_a * circuits, "planning_v": 230.0},
        "circuits": {n: {"label": n, "breaker_a": breaker_a, "feeds": "outlets"} for n in names},
        "outlets": {
            f"O{n}": {"at": SPOT, "sockets": sockets, "circuit": n, "known": "tested"}
            for n in names
        },
        "places": {"spot": {"at": SPOT}},
        "heads": {
            f"H{size}": {"plate_a": round(size * unit_a, 3), "count": count, "cord_m": CORD_M}
            for size, count in counts.items()
        },
        "rules": {"off": [goal.value for goal in Goal if goal is not Goal.KEEP_HEADS]},
        "setups": [
            {"id": "SU1", "heads": {f"H{size}": {"spot": count} for size, count in counts.items()}}
        ],
    }


def ask(instance: Instance, circuits: int, limit_s: float) -> Answer:
    """Return what the planner says about so many circuits."""
    start = perf_counter()
    config = SolverConfig(time_limit_s=limit_s, alternatives=0)
    _, outcome = look_for_plans(job_of(instance, circuits), config)
    return Answer(word_of(outcome), perf_counter() - start)


def word_of(outcome: Outcome) -> str:
    """Return one word for how the planner ended."""
    match outcome:
        case Solved():
            return "fits"
        case Impossible():
            return "impossible"
        case _:
            return "undecided"


def line(instance: Instance, limit_s: float) -> str:
    """Return one line of the table."""
    enough = ask(instance, instance.optimum, limit_s)
    short = ask(instance, instance.optimum - 1, limit_s)
    is_reached = (enough.word, short.word) == ("fits", "impossible")
    cells = [
        instance.name,
        str(instance.counts.total()),
        str(instance.capacity),
        str(instance.optimum),
        f"{enough.word}, {enough.time_s:.1f}",
        f"{short.word}, {short.time_s:.1f}",
        "reached" if is_reached else "NOT REACHED",
    ]
    return "| " + " | ".join(cells) + " |"


def report(lines: list[str], limit_s: float) -> str:
    """Return the table with date, versions and machine."""
    made = datetime.now(UTC).strftime("%Y-%m-%d")
    tools = f"Python {platform.python_version()}, OR-Tools {version('ortools')}"
    machine = f"{platform.machine()}, {os.cpu_count()} cores"
    head = "| instance | items | bin | optimum | that many [s] | one less [s] | known optimum |"
    rule = "|---" * head.count(" | ") + "|---|"
    title = f"# Bin packing, {made}\n\n{tools}; {machine}; at most {limit_s:g} s for each question."
    return "\n".join([title, "", head, rule, *lines, ""])


if __name__ == "__main__":
    main()
