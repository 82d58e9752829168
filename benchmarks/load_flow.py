"""Ten thousand load flows of one family house, beside a general library on the same tree.

Run ``OMP_NUM_THREADS=1 python benchmarks/load_flow.py`` for one core; it prints one JSON object,
kept in ``benchmarks/results/load_flow.json``. Times are processor seconds. ``one_by_one`` folds the
network anew for every flow, ``textbook`` walks it branch by branch in plain Python, and ``library``
is power-grid-model's batch, one thread, Newton's method.
"""

import json
import platform
import sys
from datetime import UTC, datetime
from importlib.metadata import version
from pathlib import Path
from random import Random
from time import process_time
from typing import Any

import numpy as np
import power_grid_model as pgm

sys.path.insert(0, str(Path(__file__).parent.parent / "tests"))

from spreadload.electrical.behaviour import LoadClass
from spreadload.electrical.loadflow import load_flow
from spreadload.electrical.tree import Branch, Wiring, build_tree
from textbook_sweep import random_branches, random_loads, textbook_sweep

NODES, LOADS, FLOWS, SEED, SOURCE_V = 40, 20, 10_000, 7, 230.0


def library_input(branches: list[Branch], loads: list[Any]) -> dict[str, Any]:
    """Return the house as power-grid-model's arrays; node 0 is the source."""
    place = {"source": 0} | {branch.node: i for i, branch in enumerate(branches, start=1)}
    node = pgm.initialize_array("input", "node", len(place))
    node["id"], node["u_rated"] = np.arange(len(place)), SOURCE_V
    line = pgm.initialize_array("input", "line", len(branches))
    line["id"] = 1000 + np.arange(len(branches))
    line["from_node"] = [place[branch.parent] for branch in branches]
    line["to_node"] = [place[branch.node] for branch in branches]
    line["from_status"] = line["to_status"] = 1
    ohms = np.array([branch.line_ohm for branch in branches])
    line["r1"], line["x1"], line["c1"], line["tan1"] = ohms.real, ohms.imag, 0, 0
    load = pgm.initialize_array("input", "sym_load", len(loads))
    load["id"], load["status"], load["type"] = 2000 + np.arange(len(loads)), 1, 0
    load["node"] = [place[each.node] for each in loads]
    load["p_specified"] = load["q_specified"] = 0
    source = pgm.initialize_array("input", "source", 1)
    source["id"], source["node"], source["status"] = 9000, 0, 1
    source["u_ref"], source["sk"] = 1, 1e18
    return {"node": node, "line": line, "sym_load": load, "source": source}


def seconds(work: Any) -> float:  # noqa: ANN401 - anything that can be called
    """Return the processor time of one call [s]."""
    start = process_time()
    work()
    return process_time() - start


def main() -> None:
    """Print the measurement."""
    random = Random(SEED)  # noqa: S311 - a repeatable house, no secret
    branches = random_branches(random, NODES, neutral=False)
    loads = random_loads(random, NODES, LOADS, [LoadClass.CONSTANT_POWER], [(0,)])
    tree = build_tree(Wiring.SINGLE_PHASE, branches)
    watts = np.random.default_rng(SEED).uniform(20, 900, (FLOWS, LOADS))
    tangents = np.array([(-1 if x.leads else 1) * np.tan(np.arccos(x.pf)) for x in loads])
    model = pgm.PowerGridModel(library_input(branches, loads))
    update = pgm.initialize_array("update", "sym_load", (FLOWS, LOADS))
    update["id"] = 2000 + np.arange(LOADS)
    update["p_specified"], update["q_specified"] = watts, watts * tangents
    times = {
        "one_by_one": seconds(lambda: [load_flow(tree, SOURCE_V, loads) for _ in range(FLOWS)]),
        "textbook": 100
        * seconds(
            lambda: [
                textbook_sweep(Wiring.SINGLE_PHASE, branches, SOURCE_V, loads)
                for _ in range(FLOWS // 100)
            ]
        ),
        "library": seconds(
            lambda: model.calculate_power_flow(
                update_data={"sym_load": update}, error_tolerance=1e-10, threading=-1
            )
        ),
    }
    result = {
        "date": datetime.now(tz=UTC).date().isoformat(),
        "flows": FLOWS,
        "nodes": NODES,
        "loads": LOADS,
        "seed": SEED,
        "machine": platform.machine(),
        "python": platform.python_version(),
        "numpy": version("numpy"),
        "power-grid-model": version("power-grid-model"),
        "seconds": {name: round(value, 3) for name, value in times.items()},
        "ratio_to_library": {
            name: round(value / times["library"], 2) for name, value in times.items()
        },
    }
    print(json.dumps(result, indent=2))


if __name__ == "__main__":
    main()
