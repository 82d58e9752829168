"""Small random houses for the oracles, and a plain search of every plan they have.

No leads and no power boards are needed in them: cords reach everywhere, so that a plan is just an
outlet for every unit, and all plans can be listed with the judge alone.
"""

from itertools import product
from random import Random

from builders import Entry, amps, circuit, job_of, outlet
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.job.job import Job
from spreadload.plan import Placement, Plan, SwitchedOff

ROOMS: Entry = {"lounge": {"use": "living"}, "bed": {"use": "bedroom"}}


def hungry_house(random: Random) -> Job:
    """Return a house of two or three outlets whose one set-up asks for a little too much."""
    breakers_a = [random.choice([6.0, 8.0, 10.0]) for _ in range(random.choice([1, 2]))]
    circuits = {f"P{n}": circuit(a) for n, a in enumerate(breakers_a, start=1)}
    if random.random() < 0.3:
        circuits["P9"] = circuit(10.0, use="off limits")
    outlets = {
        f"O{n}": outlet(random.choice(list(circuits)), random.choice(list(ROOMS)))
        for n in range(1, random.choice([2, 3]) + 1)
    }
    heads = {
        f"H{n}": amps(
            random.choice([2.0, 3.0, 4.5, 6.0]), priority=random.randint(1, 9), kind="led"
        )
        for n in range(1, random.choice([2, 3]) + 1)
    }
    department = amps(random.choice([1.5, 3.0]), kind="electronics", count=1)
    department |= random.choice([{"room": "lounge"}, {}])
    stock = {"small": amps(1.0, kind="led")} if random.random() < 0.5 else {}
    return job_of(
        {
            "region": "AU",
            "supply": {
                "limit_a": random.choice([12.0, 63.0]),
                "limit_source": "drawn at random",
                "planning_v": 230.0,
            },
            "circuits": circuits,
            "rooms": ROOMS,
            "outlets": outlets,
            "heads": heads,
            "stock": stock,
            "departments": {"cart": department},
            "setups": [{"id": "SU1", "heads": dict.fromkeys(heads, "lounge"), "on": ["cart"]}],
        }
    )


def can_run(job: Job, setup: str = "SU1") -> bool:
    """Whether any plan of a set-up holds, by trying an outlet for every unit."""
    facts = Facts.of(job).only([setup])
    judge = Judge(facts)
    asked = facts.demands[setup]
    off = tuple(SwitchedOff(setup=setup, load=d.load) for d in asked if d.may_be_off)
    units = [d for d in asked if d.circuit is None and not d.may_be_off for _ in range(d.count)]
    for outlets in product(sorted(job.outlets), repeat=len(units)):
        placements = []
        for index, (demand, outlet_id) in enumerate(zip(units, outlets, strict=True)):
            placements.append(
                Placement(
                    setup=setup,
                    load=demand.load,
                    unit=1 + sum(d.load == demand.load for d in units[:index]),
                    place=demand.place,
                    point=outlet_id,
                    socket=1 + outlets[:index].count(outlet_id),
                )
            )
        if judge.judge(Plan(placements=tuple(placements), switched_off=off)).holds:
            return True
    return False
