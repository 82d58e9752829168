"""Hypothesis strategies for small random jobs and for random plans over them.

``jobs()`` draws houses small enough for brute force; ``plans(job)`` draws plans that are mostly
sensible and sometimes absurd; ``sensible_plans(job)`` places every asked unit at some point.
"""

from typing import Any

from hypothesis import strategies as st

from builders import Entry, job_of
from spreadload.derived.asked import Demand
from spreadload.derived.facts import Facts
from spreadload.job.job import Job
from spreadload.plan import LeftOut, Placement, Plan, SwitchedOff

REGIONS = ("AU", "NZ", "UK", "EU", "IT", "US", "CA", "JP")
PHASES: dict[str, tuple[str, ...]] = {
    "single-phase": ("L1",),
    "split-phase": ("A", "B"),
    "three-phase": ("L1", "L2", "L3"),
}
ROOMS: Entry = {
    "lounge": {"use": "living", "at": [2.0, 2.0]},
    "kitchen": {"use": "kitchen", "at": [8.0, 2.0]},
    "bed": {"use": "bedroom", "floor": "1"},
}
PLACES: Entry = {
    "sofa": {"room": "lounge", "at": [3.0, 3.0]},
    "stairs": {"room": "bed"},
}


@st.composite
def jobs(draw: st.DrawFn, *, regions: tuple[str, ...] = REGIONS) -> Job:
    """Return a small house with a day of one to three set-ups."""
    return job_of(draw(job_data(regions=regions)))


@st.composite
def job_data(draw: st.DrawFn, *, regions: tuple[str, ...] = REGIONS) -> Entry:
    """Return the plain data of a small house."""
    region = draw(st.sampled_from(regions))
    system = _system(draw, region)
    circuits = draw(_circuits(PHASES[system]))
    outlets = draw(_outlets(tuple(circuits)))
    heads = draw(_heads())
    departments = draw(_departments(tuple(outlets), tuple(circuits)))
    house = draw(_house(tuple(circuits)))
    return {
        "region": region,
        "supply": draw(_supply(system)),
        "rcds": {"R1": {"rating_a": draw(st.sampled_from([None, 16.0, 40.0]))}},
        "circuits": circuits,
        "rooms": ROOMS,
        "places": PLACES,
        "outlets": outlets,
        "heads": heads,
        "departments": departments,
        "house": house,
        "leads": draw(_leads()),
        "power_boards": draw(st.sampled_from([[], [{"ways": 4, "count": 1}], [{"ways": 2}]])),
        "setups": draw(_setups(heads, tuple(departments), tuple(house))),
        "rules": draw(_rules()),
    }


def _system(draw: st.DrawFn, region: str) -> str:
    if region in {"US", "CA", "JP"}:
        return draw(st.sampled_from(["single-phase", "split-phase"]))
    return draw(st.sampled_from(["single-phase", "three-phase"]))


@st.composite
def _supply(draw: st.DrawFn, system: str) -> Entry:
    contract_w = draw(st.sampled_from([None, None, 3000.0, 6000.0]))
    return {
        "system": system,
        "limit_a": draw(st.sampled_from([20.0, 40.0, 63.0])),
        "limit_source": "drawn at random",
    } | ({} if contract_w is None else {"contract_w": contract_w})


@st.composite
def _circuits(draw: st.DrawFn, phases: tuple[str, ...]) -> Entry:
    found: Entry = {}
    for number in range(1, draw(st.integers(1, 5)) + 1):
        entry: Entry = {
            "label": draw(st.sampled_from(["PLUGS", "POWER", "KITCHEN"])),
            "breaker_a": draw(st.sampled_from([10.0, 15.0, 16.0, 20.0, 32.0])),
            "feeds": "outlets" if number == 1 else draw(st.sampled_from(["outlets"] * 4 + ["air"])),
            "use": draw(st.sampled_from(["allowed"] * 4 + ["last resort", "off limits"])),
        }
        phase = draw(st.sampled_from([*phases, None]))
        if phase is not None:
            entry["phase"] = phase
        if draw(st.booleans()):
            entry["rcd"] = "R1"
        found[f"C{number}"] = entry
    return found


@st.composite
def _outlets(draw: st.DrawFn, circuits: tuple[str, ...]) -> Entry:
    found: Entry = {}
    for number in range(1, draw(st.integers(1, 8)) + 1):
        entry: Entry = {
            "room": draw(st.sampled_from(sorted(ROOMS))),
            "sockets": draw(st.integers(1, 2)),
            "use": draw(st.sampled_from(["allowed"] * 5 + ["last resort", "off limits"])),
        }
        known = draw(st.sampled_from(["circuit", "circuit", "circuit", "maybe", "nothing"]))
        if known == "circuit":
            entry["circuit"] = draw(st.sampled_from(circuits))
            entry["known"] = draw(st.sampled_from(["tested", "labelled", "guessed"]))
        elif known == "maybe":
            entry["maybe_on"] = draw(
                st.lists(st.sampled_from(circuits), min_size=1, max_size=3, unique=True)
            )
        if draw(st.booleans()):
            entry["at"] = [float(draw(st.integers(0, 12))), float(draw(st.integers(0, 8)))]
        found[f"O{number}"] = entry
    return found


@st.composite
def _heads(draw: st.DrawFn) -> Entry:
    found: Entry = {}
    for number in range(1, draw(st.integers(1, 3)) + 1):
        entry: Entry = {
            "kind": draw(st.sampled_from(["tungsten", "discharge", "led"])),
            "plate_w": float(draw(st.integers(1, 25)) * 100),
            "power_factor": 1.0,
            "leakage_ma": float(draw(st.integers(0, 4))),
            "cord_m": draw(st.sampled_from([3.0, 10.0, 40.0])),
            "priority": draw(st.integers(1, 9)),
            "count": 6,
        }
        found[f"H{number}"] = entry
    return found


@st.composite
def _departments(draw: st.DrawFn, outlets: tuple[str, ...], circuits: tuple[str, ...]) -> Entry:
    spots: list[Entry] = [
        {"outlet": outlets[0]},
        {"room": "lounge"},
        {"circuit": circuits[0]},
        {"place": "sofa"},
        {},
    ]
    if not draw(st.booleans()):
        return {}
    entry: Entry = {
        "kind": draw(st.sampled_from(["heater", "electronics"])),
        "plate_w": float(draw(st.integers(1, 12)) * 100),
        "power_factor": 1.0,
        "leakage_ma": 0.5,
        "by": "make-up",
        "count": draw(st.integers(1, 2)),
    }
    return {"D1": entry | draw(st.sampled_from(spots))}


@st.composite
def _house(draw: st.DrawFn, circuits: tuple[str, ...]) -> Entry:
    if not draw(st.booleans()):
        return {}
    return {
        "fridge": {
            "kind": "motor",
            "plate_a": draw(st.sampled_from([1.0, 3.0, 8.0])),
            "leakage_ma": 0.5,
            "circuit": draw(st.sampled_from(circuits)),
            "intermittent": draw(st.booleans()),
            "policy": draw(st.sampled_from(["must stay on", "may be off"])),
        }
    }


@st.composite
def _leads(draw: st.DrawFn) -> list[Entry]:
    lead: Entry = {
        "length_m": draw(st.sampled_from([5.0, 10.0, 25.0])),
        "size_mm2": draw(st.sampled_from([1.0, 1.5, 2.5])),
        "count": draw(st.integers(1, 4)),
    }
    return draw(st.sampled_from([[], [lead], [lead, lead | {"length_m": 20.0, "wound": True}]]))


@st.composite
def _setups(
    draw: st.DrawFn, heads: Entry, departments: tuple[str, ...], house: tuple[str, ...]
) -> list[Entry]:
    spots = st.sampled_from(["lounge", "kitchen", "sofa", "stairs"])
    found: list[Entry] = []
    for number in range(1, draw(st.integers(1, 3)) + 1):
        lit: Entry = {
            head: draw(st.dictionaries(spots, st.integers(1, 2), min_size=1, max_size=2))
            for head in heads
            if draw(st.integers(0, 3))
        }
        entry: Entry = {"id": f"SU{number}", "heads": lit, "on": [*departments, *house]}
        if draw(st.booleans()):
            entry |= {"from": f"{6 + 4 * number}:00", "to": f"{10 + 4 * number}:00"}
        found.append(entry)
    return found


@st.composite
def _rules(draw: st.DrawFn) -> Entry:
    off: list[str] = draw(st.sampled_from([[], ["balance"], ["tightest", "cable"]]))
    return {"off": off}


@st.composite
def sensible_plans(draw: st.DrawFn, job: Job) -> Plan:
    """Return a plan that places, leaves out or switches off every asked unit, limits or no."""
    facts = Facts.of(job)
    placed: list[Placement] = []
    left: list[LeftOut] = []
    off: list[SwitchedOff] = []
    for demands in facts.demands.values():
        for demand in demands:
            if demand.may_be_off and draw(st.booleans()):
                off.append(SwitchedOff(setup=demand.setup, load=demand.load))
            elif demand.circuit is None:
                for unit in range(1, demand.count + 1):
                    if facts.loads[demand.load].is_head and draw(st.integers(0, 5)) == 0:
                        left.append(_left(demand, unit))
                    else:
                        placed.append(_placement(draw, facts, demand, unit))
    return Plan(placements=tuple(placed), left_out=tuple(left), switched_off=tuple(off))


@st.composite
def plans(draw: st.DrawFn, job: Job) -> Plan:
    """Return any plan over a job: entries dropped, repeated, and of things that do not exist."""
    base = draw(sensible_plans(job))
    placed = [p for p in base.placements if draw(st.integers(0, 7))]
    placed += [p for p in base.placements if draw(st.integers(0, 7)) == 0]
    strange = draw(st.lists(_strange_placements(), max_size=3))
    left = [entry for entry in base.left_out if draw(st.integers(0, 7))]
    off = [*base.switched_off, *draw(st.lists(_strange_switches(), max_size=2))]
    return Plan(placements=(*placed, *strange), left_out=tuple(left), switched_off=tuple(off))


@st.composite
def one_change(draw: st.DrawFn, job: Job, plan: Plan) -> Plan:
    """Return a plan with one unit plugged in elsewhere, gone, there twice, or left out."""
    facts = Facts.of(job)
    demands = [d for asked in facts.demands.values() for d in asked if d.circuit is None]
    if not plan.placements or not demands:
        return draw(plans(job))
    at = draw(st.integers(0, len(plan.placements) - 1))
    old, rest = plan.placements[at], (*plan.placements[:at], *plan.placements[at + 1 :])
    how = draw(st.sampled_from(["move", "move", "move", "drop", "more", "left out"]))
    demand = draw(st.sampled_from(demands))
    if how == "move":
        seat = _placement(draw, facts, demand, 1)
        kept = ("point", "socket", "board", "board_lead", "lead")
        rest = (*rest, old.model_copy(update={key: getattr(seat, key) for key in kept}))
    elif how == "more":
        rest = (*rest, old, _placement(draw, facts, demand, draw(st.integers(1, demand.count))))
    gone = LeftOut(setup=old.setup, load=old.load, unit=old.unit, place=old.place)
    left = (*plan.left_out, gone) if how == "left out" else plan.left_out
    return plan.model_copy(update={"placements": rest, "left_out": left})


def _left(demand: Demand, unit: int) -> LeftOut:
    return LeftOut(setup=demand.setup, load=demand.load, unit=unit, place=demand.place)


def _placement(draw: st.DrawFn, facts: Facts, demand: Demand, unit: int) -> Placement:
    point = draw(st.sampled_from(sorted(facts.points)))
    leads: list[Any] = [None, *range(len(facts.leads))]
    boards: list[Any] = [None, None, *range(len(facts.boards))]
    return Placement(
        setup=demand.setup,
        load=demand.load,
        unit=unit,
        place=demand.place,
        point=point,
        socket=draw(st.integers(1, facts.points[point].sockets)),
        board=draw(st.sampled_from(boards)),
        lead=None if demand.place is None else draw(st.sampled_from(leads)),
    )


def _strange_placements() -> st.SearchStrategy[Placement]:
    names = st.sampled_from(
        ["SU1", "SU9", "H1", "H7", "D1", "fridge", "O1", "O9", "C1", "", "O1/b"]
    )
    return st.builds(
        Placement,
        setup=names,
        load=names,
        unit=st.integers(1, 2000),
        place=st.none() | names,
        point=names,
        socket=st.integers(1, 99),
        board=st.none() | st.integers(-5, 9),
        lead=st.none() | st.integers(-5, 9),
    )


def _strange_switches() -> st.SearchStrategy[SwitchedOff]:
    names = st.sampled_from(["SU1", "SU9", "H1", "D1", "fridge", "nothing"])
    return st.builds(SwitchedOff, setup=names, load=names)
