"""Tiny readable jobs and plans for every test suite.

``small_job()`` is a flat with two 10 A circuits, one outlet on each, and one lamp of 4 A. Any
top-level entry of the job file can be replaced by keyword:
``small_job(circuits=circuits(P1=16.0))``.
"""

import json
from typing import Any

from spreadload.job.job import Job
from spreadload.plan import LeftOut, Placement, Plan, SwitchedOff

Entry = dict[str, Any]


def job_of(data: Entry) -> Job:
    """Return a job from plain data, by the same strict door as a job file."""
    return Job.model_validate_json(json.dumps(data))


def small_job(**changes: Any) -> Job:  # noqa: ANN401 - any entry of a job file
    """Return the small flat with some top-level entries replaced."""
    return job_of(small_data(**changes))


def small_data(**changes: Any) -> Entry:  # noqa: ANN401 - any entry of a job file
    """Return the plain data of the small flat with some top-level entries replaced."""
    flat: Entry = {
        "region": "AU",
        "supply": {"limit_a": 63.0, "limit_source": "stated for the test", "planning_v": 230.0},
        "circuits": circuits(P1=10.0, P2=10.0),
        "rooms": {"lounge": {"use": "living"}, "bed": {"use": "bedroom"}},
        "outlets": {"O1": outlet("P1", "lounge"), "O2": outlet("P2", "bed")},
        "heads": {"lamp": amps(4.0)},
        "setups": [setup(lamp="lounge")],
    }
    return flat | changes


def circuits(**breakers_a: float) -> Entry:
    """Return outlet circuits by id with their breakers [A]."""
    return {name: circuit(rated_a) for name, rated_a in breakers_a.items()}


def circuit(breaker_a: float, **more: Any) -> Entry:  # noqa: ANN401 - any field of a circuit
    """Return one circuit that feeds outlets."""
    return {"label": "PLUGS", "breaker_a": breaker_a, "feeds": "outlets"} | more


def outlet(circuit_id: str | None, room: str | None = None, **more: Any) -> Entry:  # noqa: ANN401
    """Return a double outlet; circuit None leaves its wiring unknown."""
    known: Entry = {} if circuit_id is None else {"circuit": circuit_id, "known": "tested"}
    placed: Entry = {} if room is None else {"room": room}
    return {"sockets": 2} | known | placed | more


def amps(current_a: float, **more: Any) -> Entry:  # noqa: ANN401 - any field of a load
    """Return a resistive load of so many measured amps, no leakage and a cord that reaches."""
    return {"kind": "tungsten", "measured_a": current_a, "leakage_ma": 0.0, "cord_m": 50.0} | more


def setup(name: str = "SU1", *, on: Any = (), **heads: Any) -> Entry:  # noqa: ANN401
    """Return one set-up without times: heads by keyword, and what else is on."""
    return {"id": name, "heads": heads, "on": on if isinstance(on, dict) else list(on)}


def put(
    load: str,
    point: str,
    *,
    unit: int = 1,
    name: str = "SU1",
    place: str | None = None,
    socket: int = 1,
    board: int | None = None,
    board_lead: int | None = None,
    lead: int | None = None,
) -> Placement:
    """Return one unit plugged in at one point of one set-up."""
    return Placement(
        setup=name,
        load=load,
        unit=unit,
        place=place,
        point=point,
        socket=socket,
        board=board,
        board_lead=board_lead,
        lead=lead,
    )


def plan_of(*entries: Placement | LeftOut | SwitchedOff) -> Plan:
    """Return a plan from its entries, each put where it belongs."""
    return Plan(
        placements=tuple(e for e in entries if isinstance(e, Placement)),
        left_out=tuple(e for e in entries if isinstance(e, LeftOut)),
        switched_off=tuple(e for e in entries if isinstance(e, SwitchedOff)),
    )
