"""How long the robust plan takes, and how close its bound is.

    python benchmarks/robust_speed.py --write

The family house as shipped, and an invented house of ten rooms, 40 outlets on 12 circuits, 15
heads and 4 departments, almost nothing of its wiring known. Times are to the plan of least risk
with its bound, before the other goals are settled.
"""

import argparse
import json
import platform
import time
from datetime import UTC, datetime
from importlib.metadata import version
from pathlib import Path
from typing import Any

from spreadload.derived.facts import Facts
from spreadload.io.job_file import load_job
from spreadload.job.job import Job
from spreadload.solver.engine.limits import Clock, SolverConfig
from spreadload.solver.robust.advice import fresh_risk
from spreadload.solver.robust.least_risk import (
    Robust,
    base_plan,
    certificate,
    fit,
    risk_table,
)
from spreadload.wiring.model import WiringModel

ROOT = Path(__file__).parents[1]
RESULTS = Path(__file__).parent / "results"
_USES = ("living", "dining", "kitchen", "laundry", "study", "garage")
_UPPER = ("bedroom", "bedroom", "bedroom", "bathroom")
_HEADS_W = (1450, 1350, 1350, 1350, 900, 720, 720, 600, 600, 350, 350, 350, 210, 210, 165)


def ten_rooms() -> Job:
    """Return ten rooms with four outlets each on twelve circuits, one outlet known."""
    rooms: dict[str, Any] = {}
    outlets: dict[str, Any] = {}
    for n, use in enumerate((*_USES, *_UPPER)):
        floor = "G" if n < len(_USES) else "1"
        x, y = (n % 3) * 5.0, (n // 3 % 2) * 5.0
        rooms[f"{use} {n}"] = {"use": use, "floor": floor, "at": [x + 2.0, y + 2.0]}
        for k, (dx, dy) in enumerate(((0.2, 1.0), (2.0, 0.2), (4.0, 2.0), (2.0, 4.2))):
            name = f"O{n}{k}"
            outlets[name] = {"room": f"{use} {n}", "at": [x + dx, y + dy], "sockets": 2}
    outlets["O00"] |= {"circuit": "P1", "known": "told"}
    circuits: dict[str, Any] = {
        f"P{n + 1}": {"label": f"POWER {n + 1}", "breaker_a": 16.0, "feeds": "outlets"}
        for n in range(12)
    }
    circuits["P11"]["label"], circuits["P12"]["label"] = "KITCHEN", "LAUNDRY"
    heads = {
        f"H{n + 1}": {
            "plate_w": float(watts),
            "power_factor": 0.95,
            "leakage_ma": 1.0,
            "cord_m": 3.0,
        }
        for n, watts in enumerate(_HEADS_W)
    }
    departments = {
        "kettle": {"kind": "heater", "plate_w": 1800.0, "room": "kitchen 2"},
        "dryer": {"kind": "heater", "plate_w": 2000.0, "room": "bedroom 6"},
        "coffee": {"kind": "heater", "plate_w": 1000.0, "room": "kitchen 2"},
        "village": {"kind": "electronics", "plate_w": 400.0, "room": "study 4"},
    }
    return Job.model_validate_json(
        json.dumps(
            {
                "title": "Ten rooms, wiring unknown",
                "region": "AU",
                "supply": {"limit_a": 100.0, "limit_source": "service fuse"},
                "circuits": circuits,
                "rooms": rooms,
                "outlets": outlets,
                "heads": heads,
                "departments": departments,
                "leads": [
                    {"length_m": 10.0 * (n + 1), "size_mm2": 2.5, "count": 12} for n in range(3)
                ],
                "power_boards": [{"ways": 4, "count": 12}],
                "setups": [
                    {
                        "id": "SU1",
                        "heads": dict.fromkeys(heads, "living 0"),
                        "on": list(departments),
                    }
                ],
            }
        )
    )


def measure(name: str, job: Job, limit_s: float) -> dict[str, Any]:
    """Return how long each step takes and what it reaches."""
    config = SolverConfig(time_limit_s=limit_s)
    began, began_cpu = time.perf_counter(), time.process_time()
    clock = Clock(limit_s)
    model = WiringModel.of(job)
    modelled = time.perf_counter()
    sure = certificate(model, config, clock)
    certified = time.perf_counter()
    found: dict[str, Any] = {
        "house": name,
        "outlets": len(job.outlets),
        "circuits": sum(c.can_feed_outlets for c in Facts.of(job).circuits.values()),
        "limit_s": limit_s,
        "model_s": round(modelled - began, 2),
        "certificate_s": round(certified - modelled, 2),
        "certificate": sure is not None,
    }
    if sure is not None:
        return found
    robust = Robust.of(model, config)
    base, _ = base_plan(robust, clock)
    if base is None:
        return found | {"plan": False}
    table = risk_table(robust)
    best = fit(robust, table, base[0], clock)
    return found | {
        "seconds": round(time.perf_counter() - began, 2),
        "cpu_seconds": round(time.process_time() - began_cpu, 2),
        "fitted_pct": round(100 * best.risk, 2),
        "bound_pct": round(100 * best.bound, 2),
        "fresh_pct": round(100 * fresh_risk(robust, best), 2),
    }


def main() -> None:
    """Measure both houses, print, and keep the result when asked."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--write", action="store_true")
    options = parser.parse_args()
    family = load_job(ROOT / "scenarios" / "family_house")
    found = {
        "date": datetime.now(UTC).date().isoformat(),
        "machine": platform.machine(),
        "python": platform.python_version(),
        "ortools": version("ortools"),
        "rows": [
            measure("family house", family, 20.0),
            measure("ten rooms, 40 outlets, 12 circuits, 15 heads", ten_rooms(), 30.0),
        ],
    }
    text = json.dumps(found, indent=2)
    print(text)
    if options.write:
        (RESULTS / "robust_speed.json").write_text(text + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
