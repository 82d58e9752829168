"""How long somebody waits for whole commands, start-up included.

    python benchmarks/whole_commands.py --write

Every command is run as a process of its own, by turns, after one run that is not counted. Start-up
is the time until everything that the command needs is loaded, measured in the same run; CPU is user
and system time of both cores together. ``--beside TREE`` runs another source tree by turns with
this one and tells its times as ratios: on a shared machine only those mean anything.
"""

import argparse
import json
import os
import platform
import resource
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass, field
from datetime import UTC, datetime
from importlib.metadata import version
from pathlib import Path
from statistics import median

from robust_speed import ten_rooms

ROOT = Path(__file__).parents[1]
RESULTS = Path(__file__).parent / "results"
HOUSES = ("first_job", "bungalow", "ranch_house", "family_house")
_KEPT = ROOT / "tests" / "browser" / "plans"
_LOADS = {
    "plan": "spreadload.app.planning, spreadload.solver.any_wiring",
    "check": "spreadload.app.planning",
    "ask": "spreadload.app.may_i",
    "trip": "spreadload.app.trip",
}


@dataclass
class Case:
    """One command on one site, with the times of every run."""

    site: str
    words: tuple[str, ...]
    tree: Path
    wall_s: list[float] = field(default_factory=list)
    cpu_s: list[float] = field(default_factory=list)
    start_s: list[float] = field(default_factory=list)

    def run(self) -> None:
        """Run it once, and what it loads once."""
        wall_s, cpu_s = timed([sys.executable, "-m", "spreadload", *self.words], self.tree)
        load = f"import spreadload.cli, {_LOADS[self.words[0]]}"
        start_s, _ = timed([sys.executable, "-c", load], self.tree)
        self.wall_s.append(wall_s)
        self.cpu_s.append(cpu_s)
        self.start_s.append(start_s)

    def forget(self) -> None:
        """Forget the runs so far."""
        for times in (self.wall_s, self.cpu_s, self.start_s):
            times.clear()


def timed(command: list[str], tree: Path) -> tuple[float, float]:
    """Return wall and CPU seconds of a process on a source tree, byte code kept."""
    kept = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    # Set by the command line itself, and so by what stands for its start-up.
    env = kept | {"PYTHONPATH": str(tree / "src"), "OPENBLAS_NUM_THREADS": "1"}
    before, began = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
    done = subprocess.run(command, env=env, capture_output=True, check=False)
    wall_s = time.perf_counter() - began
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    if done.returncode not in (0, 1):
        raise SystemExit(f"{' '.join(command)}: {done.stderr.decode()}")
    return wall_s, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def cases(tree: Path, large: Path) -> list[Case]:
    """Return every command on every site."""
    found = []
    for house in HOUSES:
        job = str(ROOT / "scenarios" / house)
        found.append(Case(house, ("plan", job), tree))
        plan = _KEPT / f"{house}.json"
        if plan.exists():
            given = ("--plan", str(plan))
            found.append(Case(house, ("check", job, str(plan)), tree))
            found.append(Case(house, ("ask", job, "1A", *given), tree))
    given = ("--plan", str(_KEPT / "family_house.json"))
    job = str(ROOT / "scenarios" / "family_house")
    found.append(Case("family_house", ("trip", job, "--device", "GPO 2", *given), tree))
    return [*found, Case("ten rooms", ("plan", str(large)), tree)]


def report(ours: list[Case], theirs: list[Case]) -> str:
    """Return the table: best and median of the runs."""
    made = datetime.now(UTC).strftime("%Y-%m-%d")
    tools = f"Python {platform.python_version()}, OR-Tools {version('ortools')}"
    machine = f"{platform.machine()}, {os.cpu_count()} cores"
    runs = f"best and median of {len(ours[0].wall_s)} runs"
    head = "| site | command | start-up [s] | whole [s] | median [s] | CPU [s] |"
    lines = [f"# Whole commands, {made}", "", f"{tools}; {machine}; {runs}.", ""]
    beside = " before over now: whole, CPU |" if theirs else ""
    lines += [head + beside, "|---" * (7 if theirs else 6) + "|"]
    for n, case in enumerate(ours):
        times = (min(case.start_s), min(case.wall_s), median(case.wall_s), min(case.cpu_s))
        cells = [case.site, case.words[0], *(f"{each:.2f}" for each in times)]
        if theirs:
            wall = min(theirs[n].wall_s) / min(case.wall_s)
            cells.append(f"{wall:.2f}, {min(theirs[n].cpu_s) / min(case.cpu_s):.2f}")
        lines.append("| " + " | ".join(cells) + " |")
    return "\n".join(lines) + "\n"


def main() -> None:
    """Measure, print, and keep the table when asked."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--runs", type=int, default=5)
    parser.add_argument("--only", nargs="*", help="sites")
    parser.add_argument("--beside", type=Path, help="another source tree")
    parser.add_argument("--write", action="store_true")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        large = Path(folder) / "ten_rooms.yaml"
        job = ten_rooms().model_dump(mode="json", by_alias=True, exclude_unset=True)
        large.write_text(json.dumps(job))
        trees = [ROOT] if options.beside is None else [ROOT, options.beside.resolve()]
        measured = [cases(tree, large) for tree in trees]
        by_turns = [case for pair in zip(*measured, strict=True) for case in pair]
        if options.only:
            by_turns = [case for case in by_turns if case.site in options.only]
        for case in by_turns:
            case.run()
            case.forget()
        for _ in range(options.runs):
            for case in by_turns:
                case.run()
    ours = [case for case in by_turns if case.tree == ROOT]
    text = report(ours, [case for case in by_turns if case.tree != ROOT])
    print(text, end="")
    if options.write:
        (RESULTS / "whole_commands.md").write_text(text)


if __name__ == "__main__":
    main()
