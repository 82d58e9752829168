"""How fast the solver is, beside HiGHS and SCIP on the same rows and beside rules of thumb.

One row a site: the size of the model; time to build it; time to the first judged plan; time of the
whole search and what it proved; the same stages (every goal in order, held before the next) by
HiGHS and by SCIP, both from the OR-Tools wheel, on the full model of our last stages; and whether
two rules of thumb find room for everything.

    python benchmarks/solve.py --limit 20 --out benchmarks/results/solve.md
    python benchmarks/solve.py --only tiny --limit 5
    python benchmarks/solve.py --quick

``--quick`` takes the shipped scenarios and one generated site of each of the three smallest sizes,
and ends in under two minutes.
"""

import argparse
import os
import platform
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from importlib.metadata import version
from math import ceil, isfinite
from pathlib import Path
from statistics import median
from time import perf_counter

from ortools.math_opt.python import mathopt

import sites
from heuristics import fits_largest_first, fits_nearest_outlet
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.io.job_file import load_job
from spreadload.job.job import Job
from spreadload.job.preferences import Goal
from spreadload.solver.cable.linear import Rows, programme
from spreadload.solver.engine.excerpt import proto_of
from spreadload.solver.engine.found import Found
from spreadload.solver.engine.limits import Clock, SolverConfig
from spreadload.solver.model.goals import GOALS
from spreadload.solver.model.implied import seats_at_points, serve_places
from spreadload.solver.model.request import Request
from spreadload.solver.model.rules import RULES
from spreadload.solver.model.variables import Variables, evaluate, is_constant
from spreadload.solver.search.greedy import Greedy
from spreadload.solver.search.ranked_plans import find_one

SCENARIOS = Path(__file__).parents[1] / "scenarios"
RIVALS = {"HiGHS": mathopt.SolverType.HIGHS, "SCIP": mathopt.SolverType.GSCIP}
WHOLE = 1e-4
LIMIT_S = 20.0
QUICK_LIMIT_S = 4.0
QUICK = frozenset({"tiny_0", "house_0", "large_house_0"})


@dataclass(frozen=True)
class Staged:
    """What one solver made of a site."""

    time_s: float
    word: str
    values: tuple[int, ...]

    @property
    def is_done(self) -> bool:
        """Whether nothing was left open."""
        return self.word in {"proved", "impossible"}


@dataclass(frozen=True)
class Row:
    """Everything measured on one site."""

    name: str
    decisions: int
    build_s: float
    first_s: float | None
    ours: Staged
    rivals: dict[str, Staged]
    fits: dict[str, bool]


def main() -> None:
    """Measure the sites asked for and print the table."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--limit", type=float, help="seconds for each solver (20; quick: 4)")
    parser.add_argument(
        "--quick", action="store_true", help="shipped scenarios and a few small sites: two minutes"
    )
    parser.add_argument("--only", default="", help="part of a site's name")
    parser.add_argument("--out", type=Path, help="also write the table here")
    asked = parser.parse_args()
    limit_s = asked.limit or (QUICK_LIMIT_S if asked.quick else LIMIT_S)
    rows = []
    for name, job in jobs(asked.only, is_quick=asked.quick):
        rows.append(measure(name, job, limit_s))
        print(as_line(rows[-1]), flush=True)
    text = report(rows, limit_s)
    print(text)
    if asked.out:
        asked.out.write_text(text, encoding="utf-8")


def jobs(part: str, *, is_quick: bool) -> Iterable[tuple[str, Job]]:
    """Yield every shipped and stored site whose name holds some text; quick: small sites only."""
    for folder in sorted(SCENARIOS.iterdir()):
        if part in folder.name and (folder / "job.yaml").is_file():
            yield folder.name, load_job(folder / "job.yaml")
    for path in sorted(sites.INSTANCES.glob("*.json")):
        if part in path.stem and (not is_quick or path.stem in QUICK):
            yield path.stem, sites.load(path)


def measure(name: str, job: Job, limit_s: float) -> Row:
    """Measure one site."""
    facts = Facts.of(job)
    start = perf_counter()
    v = whole_model(facts)
    build_s = perf_counter() - start
    return Row(
        name,
        len(v.model.proto.variables),
        build_s,
        first_plan_s(facts, limit_s),
        ours(facts, limit_s),
        {rival: staged(facts, kind, limit_s) for rival, kind in RIVALS.items()},
        {"largest first": fits_largest_first(facts), "nearest": fits_nearest_outlet(facts)},
    )


def whole_model(facts: Facts) -> Variables:
    """Return the full model the way the last stages of our search see it."""
    v = Variables.of(facts, None, frozenset())
    for rule in RULES:
        rule(v)
    seats_at_points(v)
    serve_places(v)
    return v


def first_plan_s(facts: Facts, limit_s: float) -> float | None:
    """Return the seconds until a plan has passed the judge, or None without one."""
    start = perf_counter()
    judge = Judge(facts)
    plan = Greedy(facts).plan()
    if plan is not None and judge.judge(plan).holds:
        return perf_counter() - start
    request = Request(goals=(Goal.KEEP_HEADS, Goal.KEEP_HOUSE_ON))
    best, _ = find_one(facts, judge, SolverConfig(), Clock(limit_s), request)
    return None if best is None else perf_counter() - start


def ours(facts: Facts, limit_s: float) -> Staged:
    """Return what the project's own search makes of a site."""
    start = perf_counter()
    config = SolverConfig(time_limit_s=limit_s, alternatives=0)
    judge = Judge(facts)
    best, found = find_one(facts, judge, config, Clock(limit_s))
    took_s = perf_counter() - start
    if found is Found.NONE_EXISTS:
        return Staged(took_s, "impossible", ())
    if best is None:
        return Staged(took_s, "nothing", ())
    plan, verdict = best
    word = "proved" if plan.search.proven else plan.search.gap
    return Staged(took_s, word, tuple(g.value for g in verdict.goals))


def staged(facts: Facts, kind: mathopt.SolverType, limit_s: float) -> Staged:
    """Return what a linear solver makes of the same goals in the same order."""
    start = perf_counter()
    v = whole_model(facts)
    values: list[int] = []
    reached: list[int] = []
    is_proved = True
    for goal in facts.job.rules.goals:
        aim = GOALS[goal](v)
        if is_constant(aim):
            reached.append(evaluate(aim, []))
            continue
        v.model.minimize(aim)
        left_s = limit_s - (perf_counter() - start)
        result = _solve(v, kind, max(left_s, 0.01), values)
        if result is None:
            return Staged(perf_counter() - start, "nothing", tuple(reached))
        if not result:
            return Staged(perf_counter() - start, "impossible", ())
        values, is_best = result
        is_proved = is_proved and is_best
        reached.append(evaluate(aim, values))
        v.model.add(aim <= reached[-1])
    word = "proved" if is_proved else "open"
    return Staged(perf_counter() - start, word, tuple(reached))


def _solve(
    v: Variables, kind: mathopt.SolverType, left_s: float, hint: list[int]
) -> tuple[list[int], bool] | tuple[()] | None:
    """Return whole values and whether they are proved, () if none exist, None if none came."""
    linear, decisions = programme(Rows(proto_of(v.model)))
    model_parameters = mathopt.ModelSolveParameters()
    if hint:
        known = dict(zip(decisions, map(float, hint), strict=False))
        model_parameters.solution_hints.append(mathopt.SolutionHint(variable_values=known))
    parameters = mathopt.SolveParameters(
        time_limit=timedelta(seconds=left_s), relative_gap_tolerance=0.0
    )
    result = mathopt.solve(linear, kind, params=parameters, model_params=model_parameters)
    reason = result.termination.reason
    if reason in {
        mathopt.TerminationReason.INFEASIBLE,
        mathopt.TerminationReason.INFEASIBLE_OR_UNBOUNDED,
    }:
        return ()
    if not result.has_primal_feasible_solution():
        return None
    found = [round(value) for value in result.variable_values(decisions)]
    bounds = result.termination.objective_bounds
    # A search cut short may have no bound at all.
    is_best = isfinite(bounds.dual_bound) and (
        ceil(bounds.dual_bound - WHOLE) >= round(bounds.primal_bound)
    )
    return found, is_best


def as_line(row: Row) -> str:
    """Return one line of the table."""
    first = "none" if row.first_s is None else f"{row.first_s:.2f}"
    cells = [row.name, str(row.decisions), f"{row.build_s:.2f}", first, f"{row.ours.time_s:.2f}"]
    cells.append(row.ours.word)
    for rival in row.rivals.values():
        ratio = rival.time_s / max(row.ours.time_s, 1e-3)
        cells.append(f"{rival.time_s:.2f} ({ratio:.1f}x), {rival.word}, {_compared(row, rival)}")
    cells += ["fits" if fits else "does not fit" for fits in row.fits.values()]
    return "| " + " | ".join(cells) + " |"


def _compared(row: Row, rival: Staged) -> str:
    if not rival.values or not row.ours.values or len(rival.values) < len(row.ours.values):
        return "no plan to compare" if row.ours.values else "-"
    if rival.values == row.ours.values:
        return "same values"
    return "worse values" if rival.values > row.ours.values else "better values"


def report(rows: list[Row], limit_s: float) -> str:
    """Return the whole table with date, versions, machine and sums."""
    names = " | ".join(f"{name} [s] (times ours)" for name in RIVALS)
    head = (
        "| site | decisions | build [s] | first plan [s] | ours [s] | ours ended "
        f"| {names} | largest first | nearest outlet |"
    )
    rule = "|---" * (8 + len(RIVALS)) + "|"
    solvable = [row for row in rows if row.first_s is not None]
    sums = [
        f"{sum(not row.fits[name] for row in solvable)} of {len(solvable)} sites that fit are said "
        f"not to by {name}"
        for name in ("largest first", "nearest")
    ]
    done = sum(row.ours.is_done for row in rows)
    sums.append(f"proved: ours {done} of {len(rows)}" + "".join(_proved(rows, n) for n in RIVALS))
    sums += [f"median time of {n} over ours: {_ratio(rows, n):.1f}" for n in RIVALS if rows]
    made = datetime.now(UTC).strftime("%Y-%m-%d")
    machine = f"{platform.machine()}, {os.cpu_count()} cores"
    tools = f"Python {platform.python_version()}, OR-Tools {version('ortools')}"
    title = f"# Solver, {made}\n\n{tools}; {machine}; {limit_s:g} s for each solver.\n"
    lines = "\n".join(as_line(row) for row in rows)
    return f"{title}\n{head}\n{rule}\n{lines}\n\n" + "".join(f"- {line}\n" for line in sums)


def _proved(rows: list[Row], rival: str) -> str:
    return f", {rival} {sum(row.rivals[rival].is_done for row in rows)}"


def _ratio(rows: list[Row], rival: str) -> float:
    return median(row.rivals[rival].time_s / max(row.ours.time_s, 1e-3) for row in rows)


if __name__ == "__main__":
    main()
