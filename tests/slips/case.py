"""What a slip in a job is, and the corners of the small flat that slips are made in."""

from dataclasses import dataclass
from typing import Any

from builders import amps, circuit, outlet, setup

Entry = dict[str, Any]
ROOMS: Entry = {"lounge": {}, "bed": {}}


def load(**more: Any) -> Entry:  # noqa: ANN401 - any field of a load
    """Return one department's load in the bedroom."""
    return {"departments": {"fan": {"measured_a": 1.0, "room": "bed"} | more}}


def head(**more: Any) -> Entry:  # noqa: ANN401 - any field of a head
    """Return the one head of the flat, described anew; None takes a field away."""
    described = amps(4.0) | more
    return {"heads": {"lamp": {k: v for k, v in described.items() if v is not None}}}


def way(**more: Any) -> Entry:  # noqa: ANN401 - any field of a circuit
    """Return the flat's two circuits with more said of P1."""
    return {"circuits": {"P1": circuit(10.0, **more), "P2": circuit(10.0)}}


def plate(**more: Any) -> Entry:  # noqa: ANN401 - any field of an outlet
    """Return the flat's two outlets with more said of O1."""
    return {"outlets": {"O1": outlet("P1", "lounge", **more), "O2": outlet("P2", "bed")}}


def plates(first: Entry) -> Entry:
    """Return two outlets, the first described from nothing."""
    return {"outlets": {"O1": first, "O2": outlet("P2", "bed")}}


def supply(**stated: Any) -> Entry:  # noqa: ANN401 - any field of a supply
    """Return a supply of 20 A with more said of it."""
    return {"supply": {"limit_a": 20.0} | stated}


def reading(**stated: Any) -> Entry:  # noqa: ANN401 - any field of a reading
    """Return a supply with one reading."""
    return supply(readings=[{"idle_v": 235.0} | stated])


def lead(**stated: Any) -> Entry:  # noqa: ANN401 - any field of a lead
    """Return one kind of lead."""
    return {"leads": [stated]}


def day(*setups: Entry) -> Entry:
    """Return a day of set-ups."""
    return {"setups": list(setups)}


def timed(name: str, start: str, end: str) -> Entry:
    """Return one set-up with its window."""
    return setup(name, lamp="lounge") | {"from": start, "to": end}


def subs(**fed_from: str | None) -> Entry:
    """Return sub-boards by id, each with what feeds it."""
    return {
        "sub_boards": {
            name: {"feed_a": 32.0} | ({"fed_from": feeder} if feeder else {})
            for name, feeder in fed_from.items()
        }
    }


@dataclass(frozen=True)
class Case:
    """One check: where it reports, what it says, what it refuses and what it lets pass."""

    path: tuple[str | int, ...]
    says: str
    wrong: Entry
    right: Entry


def clash(*ids: str) -> Entry:
    """Return heads, departments and house loads with these ids, and a day that uses none."""
    groups = ("heads", "departments", "house", "stock")
    quiet: Entry = {"setups": [setup()]}
    return quiet | {group: {name: amps(1.0)} for group, name in zip(groups, ids, strict=False)}
