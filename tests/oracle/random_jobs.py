"""Small random jobs for the oracle: seeded, so that a failure can be looked at again."""

from random import Random

from builders import Entry, job_of
from spreadload.job.job import Job
from spreadload.job.preferences import Goal

SYSTEMS = (
    ("AU", "single-phase"),
    ("AU", "three-phase"),
    ("US", "split-phase"),
    ("UK", "single-phase"),
)
PLUGS = {"AU": "au-10", "US": "us-15", "UK": "uk-13"}


def random_job(seed: int) -> Job:
    """Return a job of at most six units, three outlets and two set-ups."""
    return job_of(_data(Random(seed)))


def with_random_rules(seed: int) -> Job:
    """Return the same job with some soft rules in another order, and some left aside."""
    random = Random(f"rules {seed}")
    rules: Entry = {"order": random.sample(sorted(Goal), random.randint(1, len(Goal)))}
    if random.random() < 0.3:
        rules["off"] = random.sample(sorted({*Goal} - {Goal.KEEP_HEADS}), random.randint(1, 4))
    return job_of(_data(Random(seed)) | {"rules": rules})


def _data(random: Random) -> Entry:
    region, system = random.choice(SYSTEMS)
    phases = {"single-phase": ["L1"], "three-phase": ["L1", "L2", "L3"], "split-phase": ["A", "B"]}
    lines = phases[system]
    circuits = {
        f"P{n}": _circuit(random, random.choice(lines) if len(lines) > 1 else None)
        for n in range(1, random.randint(2, 3) + 1)
    }
    outlets = {
        f"O{n}": _outlet(random, sorted(circuits)) for n in range(1, random.randint(2, 3) + 1)
    }
    heads = {f"H{n}": _head(random) for n in range(1, random.randint(1, 2) + 1)}
    data: Entry = {
        "region": region,
        "supply": {"system": system, "limit_a": random.choice([16.0, 25.0, 63.0])},
        "circuits": circuits,
        "rooms": {"lounge": {"use": "living"}, "kitchen": {"use": "kitchen"}},
        "outlets": outlets,
        "places": {"window": {"at": [1.0, 1.0]}, "door": {"at": [8.0, 3.0]}},
        "heads": heads,
        "leads": _leads(random),
        "power_boards": [{"ways": random.choice([2, 4]), "count": random.randint(1, 2)}]
        * random.randint(0, 1),
        "departments": _departments(random, sorted(circuits)),
        "setups": [
            _setup(random, f"SU{n}", sorted(heads)) for n in range(1, random.randint(1, 2) + 1)
        ],
    }
    for setup in data["setups"]:
        setup["on"] = sorted(data["departments"])
    return data


def _circuit(random: Random, phase: str | None) -> Entry:
    entry: Entry = {
        "label": "PLUGS",
        "breaker_a": random.choice([10.0, 16.0, 20.0]),
        "feeds": "outlets",
        "use": random.choice(["allowed"] * 4 + ["last resort"]),
    }
    return entry if phase is None else entry | {"phase": phase}


def _outlet(random: Random, circuits: list[str]) -> Entry:
    known = random.random()
    wired: Entry = {"circuit": random.choice(circuits), "known": "tested"}
    if known < 0.2:
        wired = {"maybe_on": random.sample(circuits, 2)}
    return wired | {
        "room": random.choice(["lounge", "lounge", "kitchen"]),
        "sockets": random.randint(1, 2),
        "at": [float(random.randint(0, 9)), float(random.randint(0, 4))],
    }


def _head(random: Random) -> Entry:
    return {
        "kind": random.choice(["tungsten", "discharge", "led"]),
        "measured_a": random.choice([1.5, 3.0, 4.5, 6.0, 8.0]),
        "leakage_ma": random.choice([0.0, 1.0]),
        "cord_m": random.choice([2.0, 6.0, 12.0]),
        "count": 3,
        "big": random.choice([None, True]),
    }


def _leads(random: Random) -> list[Entry]:
    kinds = [
        {"length_m": 5.0, "size_mm2": 1.5, "count": random.randint(1, 3)},
        {"length_m": 15.0, "size_mm2": 2.5, "count": random.randint(1, 3)},
    ]
    return kinds[: random.randint(1, 2)]


def _departments(random: Random, circuits: list[str]) -> Entry:
    drawn = random.random()
    base: Entry = {"leakage_ma": 0.5, "count": 1}
    if drawn < 0.3:
        return {"dryer": base | {"kind": "heater", "measured_a": 5.0, "by": "make-up"}}
    if drawn < 0.5:
        wired = {"circuit": random.choice(circuits), "policy": "may be off"}
        return {"boiler": base | {"kind": "heater", "measured_a": 7.0} | wired}
    return {}


def _setup(random: Random, name: str, heads: list[str]) -> Entry:
    lit = {head: {random.choice(["window", "door"]): random.randint(1, 2)} for head in heads}
    entry: Entry = {"id": name, "heads": lit}
    if random.random() < 0.5:
        hour = 6 if name == "SU1" else 13
        entry |= {"from": f"{hour:02}:00", "to": f"{hour + random.choice([2, 4]):02}:00"}
    return entry
