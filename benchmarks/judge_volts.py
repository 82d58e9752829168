"""What the volts cost the judge: one plan of the ranch house, with and without readings.

Run ``OMP_NUM_THREADS=1 python benchmarks/judge_volts.py``; it prints one JSON object, kept in
``benchmarks/results/judge_volts.json``. Times are processor seconds of one judgement, the best of
several, each by a new judge; ``fresh`` solves every set-up, ``kept`` has them solved.
"""

import json
import platform
from datetime import UTC, datetime
from pathlib import Path
from time import process_time

from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.io.job_file import load_job
from spreadload.job.site import Reading
from spreadload.network.house import House
from spreadload.plan import Plan
from spreadload.solver.engine.limits import Clock, SolverConfig
from spreadload.solver.model.variables import Relaxations
from spreadload.solver.search.ranked_plans import Request, find_one

HOUSE = Path(__file__).parent.parent / "scenarios" / "ranch_house"
ROUNDS, TIME_LIMIT_S = 20, 30.0
PAIR = Reading(at="board", idle_v=121.0, loaded_v=120.0, load_a=10.0)


def some_plan(facts: Facts) -> tuple[Plan, float]:
    """Return a plan of the house and the seconds it took to find."""
    config = SolverConfig(time_limit_s=TIME_LIMIT_S, alternatives=0)
    start = process_time()
    relaxed = Request(relaxed=Relaxations(heads_may_be_left_out=True))
    found, _ = find_one(facts, Judge(facts), config, Clock(TIME_LIMIT_S), relaxed)
    if found is None:
        message = "no plan of the ranch house within the time"
        raise SystemExit(message)
    return found[0], process_time() - start


def best_s(facts: Facts, plan: Plan, house: House | None = None) -> float:
    """Return the least processor time of one judgement by a judge who has seen no set-up yet [s].

    Args:
        facts: The job.
        plan: What is judged.
        house: The house with what it has solved, or None for one that has solved nothing.
    """
    times = []
    for _ in range(ROUNDS):
        judge = Judge(facts)
        judge.house = house or judge.house
        start = process_time()
        judge.judge(plan)
        times.append(process_time() - start)
    return min(times)


def main() -> None:
    """Print the measurement."""
    job = load_job(HOUSE)
    blind = job.model_copy(update={"supply": job.supply.model_copy(update={"readings": ()})})
    seen = job.model_copy(update={"supply": job.supply.model_copy(update={"readings": (PAIR,)})})
    plan, solving_s = some_plan(Facts.of(blind))
    known = Facts.of(seen)
    seconds = {
        "without_readings": best_s(Facts.of(blind), plan),
        "fresh": best_s(known, plan),
        "kept": best_s(known, plan, House(known)),
    }
    result = {
        "date": datetime.now(tz=UTC).date().isoformat(),
        "placements": len(plan.placements),
        "setups": len(job.setups),
        "machine": platform.machine(),
        "python": platform.python_version(),
        "seconds": {name: round(value, 5) for name, value in seconds.items()},
        "solving_s": round(solving_s, 2),
        "fresh_share_of_solving": round(seconds["fresh"] / solving_s, 5),
    }
    print(json.dumps(result, indent=2))


if __name__ == "__main__":
    main()
