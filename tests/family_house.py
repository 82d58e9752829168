"""The family house of the scenarios and the prior over its wirings that a worked example states.

Drawn in a few plain lines that share no code with the package.
"""

import random
from pathlib import Path

from builders import plan_of, put
from spreadload.io.job_file import load_job
from spreadload.job.job import Job
from spreadload.plan import Plan

HOUSE = Path(__file__).parents[1] / "scenarios" / "family_house"
HEADS = {
    ("DH1200", "window W"): "B5",
    ("DH1200", "window E"): "B7",
    ("LED1200", "key corner"): "B7",
    ("LED600", "back wall"): "B5",
    ("LED300", "dining W"): "B9",
    ("LED300", "dining E"): "B10",
    ("mat", "sofa"): "B6",
    ("mat", "ceiling"): "B6",
    ("practicals", "sideboard"): "B6",
}
REST = {
    "video": "B1",
    "chargers": "B17",
    "dryer": "B20",
    "irons": "B20",
    "coffee": "B11",
    "microwave": "B12",
    "fridge": "B14",
    "freezer": "B16",
    "router": "B2",
}
ZONES = {
    "front": ("B1", "B2", "B3", "B4"),
    "rear": ("B6", "B7"),
    "up": ("B18", "B19", "B20", "B21", "B22"),
    "kitchen": ("B13", "B14"),
    "laundry": ("B16",),
}
BESIDE = {
    "front": ("rear", "up"),
    "rear": ("front", "kitchen", "up"),
    "up": ("front", "rear"),
    "kitchen": ("rear", "laundry"),
    "laundry": ("kitchen",),
}
KNOWN = {"B5": "P2", "B8": "P2", "B11": "P4", "B12": "P4", "B15": "P5"}
ONE_MOVED = {("LED1200", "key corner"): "B15"}
SPREAD = ONE_MOVED | {("DH1200", "window E"): "B18", ("LED600", "back wall"): "B2"}
BREAKER_MA = 20_000


def main_setup() -> Job:
    """Return the house with its main set-up alone, which is what the figures are about."""
    job = load_job(HOUSE)
    return job.model_copy(update={"setups": tuple(s for s in job.setups if s.id == "SU2")})


def plan(moved: dict[tuple[str, str], str]) -> Plan:
    """Return the nearest-outlet plan with some heads moved."""
    numbers: dict[str, int] = {}
    entries = []
    for (load, place), outlet in (HEADS | moved).items():
        numbers[load] = numbers.get(load, 0) + 1
        entries.append(put(load, outlet, unit=numbers[load], name="SU2", place=place))
    entries += [put(load, outlet, name="SU2") for load, outlet in REST.items()]
    return plan_of(*entries)


def plain_map(rng: random.Random) -> dict[str, str]:
    """Draw one map of the worked example's prior, in plain Python."""
    front, up = rng.sample(["P1", "P3"], 2)
    on = {"front": front, "up": up, "rear": "P2", "kitchen": "P4", "laundry": "P5"}
    found = dict(KNOWN)
    for zone, outlets in ZONES.items():
        for outlet in outlets:
            stray = rng.random() < 0.1
            found[outlet] = on[rng.choice(BESIDE[zone])] if stray else on[zone]
    found["B9"] = on["rear"] if rng.random() < 0.65 else on["kitchen"]
    found["B10"] = on[rng.choices(["kitchen", "rear", "front"], [45, 45, 10])[0]]
    found["B17"] = on[rng.choices(["laundry", "front", "kitchen"], [55, 35, 10])[0]]
    return found
