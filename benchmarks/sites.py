"""Invented sites of growing size for the benchmarks: the same seed gives the same job file.

A site is a grid of rooms with a few outlets each, circuits that run through neighbouring rooms, and
two set-ups whose heads stand in groups. Breakers and heads are like those of the shipped houses;
nothing is copied from a real place.
"""

import json
from dataclasses import dataclass
from pathlib import Path
from random import Random
from typing import Any

from spreadload.job.job import Job

INSTANCES = Path(__file__).parent / "instances"
ROOM_M = 6.0
HEADS: tuple[dict[str, Any], ...] = (
    {"kind": "led", "plate_w": 350.0, "power_factor": 0.95},
    {"kind": "led", "plate_w": 165.0, "power_factor": 0.93},
    {"kind": "discharge", "plate_w": 1350.0, "power_factor": 0.98, "lamp_w": 1200.0},
    {"kind": "led", "plate_w": 700.0, "power_factor": 0.97},
    {"kind": "tungsten", "plate_w": 650.0, "power_factor": 1.0},
)


@dataclass(frozen=True)
class Size:
    """How large a site is; ``heads`` counts the units of the fuller set-up."""

    name: str
    heads: int
    outlets: int
    circuits: int
    phases: int
    fill: float = 0.6


SIZES = (
    Size("tiny", 4, 6, 2, 1),
    Size("house", 12, 20, 5, 1),
    Size("large house", 24, 30, 8, 1),
    Size("medium", 48, 60, 16, 3),
    Size("large", 110, 100, 32, 3),
    Size("extra large", 300, 200, 60, 3),
)


def job_data(size: Size, seed: int) -> dict[str, Any]:
    """Return the plain data of one site."""
    random = Random(f"{size.name} {seed}")  # noqa: S311 - a layout, not a secret
    lines = ["L1", "L2", "L3"][: size.phases]
    circuits = {
        f"C{n}": {"label": f"POWER {n}", "breaker_a": 20.0, "feeds": "outlets"}
        | ({"phase": lines[n % size.phases]} if size.phases > 1 else {})
        for n in range(size.circuits)
    }
    across = max(1, round(size.circuits**0.5))
    spots = {
        name: (ROOM_M * (n % across), ROOM_M * (n // across)) for n, name in enumerate(circuits)
    }
    outlets: dict[str, Any] = {}
    for n in range(size.outlets):
        circuit = f"C{n % size.circuits}"
        x, y = spots[circuit]
        at = [round(x + random.uniform(0, ROOM_M), 1), round(y + random.uniform(0, ROOM_M), 1)]
        outlets[f"O{n}"] = {"at": at, "sockets": 2, "circuit": circuit, "known": "tested"}
    places = {f"spot {n}": {"at": list(spot)} for n, spot in enumerate(spots.values())}
    heads, setups = _heads(size, random, sorted(places))
    count = size.heads
    return {
        "region": "AU",
        "supply": {
            "system": "three-phase" if size.phases > 1 else "single-phase",
            "limit_a": 20.0 * size.circuits / size.phases,
            "planning_v": 230.0,
        },
        "circuits": circuits,
        "outlets": outlets,
        "places": places,
        "heads": heads,
        "leads": [
            {"length_m": 10.0, "size_mm2": 1.5, "count": count},
            {"length_m": 20.0, "size_mm2": 1.5, "count": count // 2 + 2},
            {"length_m": 30.0, "size_mm2": 2.5, "count": count // 4 + 2},
        ],
        "power_boards": [{"ways": 4, "rating_a": 10.0, "count": count // 4 + 1}],
        "setups": setups,
    }


def _heads(size: Size, random: Random, places: list[str]) -> tuple[dict[str, Any], list[Any]]:
    room_w = size.fill * size.circuits * 20.0 * 230.0
    setups: list[Any] = [{"id": "SU1", "heads": {}}, {"id": "SU2", "heads": {}}]
    counts = [0] * len(HEADS)
    used_w = 0.0
    for _ in range(size.heads):
        light = [0, 1, 1, 3]
        kind = random.choice([*range(len(HEADS))] if used_w < room_w else light[:3])
        if used_w + HEADS[kind]["plate_w"] > room_w:
            kind = 1
        used_w += HEADS[kind]["plate_w"]
        counts[kind] += 1
        place = random.choice(places)
        for setup in setups[: 2 if random.random() < 0.5 else 1]:
            at = setup["heads"].setdefault(f"H{kind}", {})
            at[place] = at.get(place, 0) + 1
    heads = {
        f"H{n}": HEADS[n] | {"count": count, "leakage_ma": 0.2}
        for n, count in enumerate(counts)
        if count
    }
    return heads, [setup for setup in setups if setup["heads"]]


def instance_path(size: Size, seed: int) -> Path:
    """Return where a site is stored."""
    return INSTANCES / f"{size.name.replace(' ', '_')}_{seed}.json"


def load(path: Path) -> Job:
    """Return a stored site as a job."""
    return Job.model_validate_json(path.read_text(encoding="utf-8"))


def store(seeds: range) -> None:
    """Write every size with every seed; the extra large one once."""
    INSTANCES.mkdir(exist_ok=True)
    for size in SIZES:
        for seed in seeds if size.heads < HEADS_OF_ONE_ONLY else seeds[:1]:
            text = json.dumps(job_data(size, seed), separators=(",", ":"))
            instance_path(size, seed).write_text(text + "\n", encoding="utf-8")


HEADS_OF_ONE_ONLY = 200

if __name__ == "__main__":
    store(range(3))
