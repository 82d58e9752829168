"""Invents houses and wires them in ways the planner's prior knows nothing of.

Circuits are grown outlet by outlet along the walls (not room by room), take turns round the house,
follow extensions, cross shared walls and stray; boards carry labels that are generic, right or
wrong. Rooms are rectangles in rows, one or two floors. Imports nothing of the project.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np

Entry = dict[str, Any]
KINDS = ("bungalow", "two-storey", "terrace", "apartment", "hall and rooms")
STYLES = ("grown", "grown", "grown", "by room", "by room", "extended", "turns", "lopsided")
REGIONS = {"AU": (16.0, 20.0), "NZ": (16.0, 20.0), "UK": (32.0,), "EU": (16.0,), "US": (15.0, 20.0)}
HEADS_W = (1450.0, 1350.0, 1350.0, 900.0, 720.0, 720.0, 350.0, 350.0, 210.0, 165.0)
_GROUND = ("living", "kitchen", "dining", "laundry", "hall", "study", "garage")
_FLAT = ("living", "kitchen", "bedroom", "bedroom", "bathroom", "hall")
_UPPER = ("bedroom", "bedroom", "bedroom", "bathroom", "stairs")


@dataclass(frozen=True)
class House:
    """One invented house.

    Attributes:
        job: Plain data of the job; circuits of most outlets are left open.
        truth: The circuit of every outlet, which the planner never sees.
        kind: What kind of house it is.
        style: How it was wired.
    """

    job: Entry
    truth: dict[str, str]
    kind: str
    style: str


def invent(seed: int) -> House:
    """Return a house; the same seed gives the same one."""
    rng = np.random.default_rng(seed)
    kind = KINDS[int(rng.integers(len(KINDS)))]
    region = list(REGIONS)[int(rng.integers(len(REGIONS)))]
    style = STYLES[int(rng.integers(len(STYLES)))]
    rooms = _rooms(kind, rng)
    outlets = _outlets(rooms, rng)
    number = int(rng.integers(3, 7)) if region != "UK" else int(rng.integers(2, 4))
    names = [f"P{n + 1}" for n in range(number)]
    truth = _wire(outlets, rooms, names, style, rng)
    circuits = _circuits(names, truth, outlets, rooms, region, rng)
    job: Entry = {
        "region": region,
        "supply": {"limit_a": 200.0, "limit_source": "not looked at here"},
        "circuits": circuits,
        "rooms": {r: _stated_room(room) for r, room in rooms.items()},
        "outlets": _stated_outlets(outlets, truth, circuits, rooms, rng),
        **_loads(rooms, circuits, region, rng),
    }
    return House(job, truth, kind, style)


def _rooms(kind: str, rng: np.random.Generator) -> dict[str, Entry]:
    """Lay rooms out in two rows per floor."""
    ground = list(_FLAT if kind == "apartment" else _GROUND)
    if kind in ("bungalow", "terrace"):
        ground += ["bedroom", "bathroom"]
    if kind == "hall and rooms":
        ground = ["stage", "kitchen", "hall", "study", "other", "bathroom"]
    rng.shuffle(ground)
    floors = {"G": ground}
    if kind in ("two-storey", "terrace"):
        upper = list(_UPPER)
        rng.shuffle(upper)
        floors["1"] = upper
    rooms: dict[str, Entry] = {}
    for floor, uses in floors.items():
        half = (len(uses) + 1) // 2
        for n, use in enumerate(uses):
            depth = float(rng.uniform(3.0, 5.0))
            x = (n % half) * 4.5
            y = 0.0 if n < half else 5.0
            rooms[f"{use} {floor}{n}"] = {
                "use": use,
                "floor": floor,
                "box": (x, y, x + 4.4, y + depth),
            }
    return rooms


def _outlets(rooms: dict[str, Entry], rng: np.random.Generator) -> dict[str, Entry]:
    found: dict[str, Entry] = {}
    for room_id, room in rooms.items():
        many = {"living": 4, "kitchen": 4, "stage": 5, "bathroom": 1, "hall": 1, "stairs": 1}
        for _ in range(max(1, many.get(room["use"], 2) + int(rng.integers(-1, 2)))):
            x0, y0, x1, y1 = room["box"]
            side = int(rng.integers(4))
            along = float(rng.uniform(0.1, 0.9))
            at = [
                (x0 + along * (x1 - x0), y0),
                (x0 + along * (x1 - x0), y1),
                (x0, y0 + along * (y1 - y0)),
                (x1, y0 + along * (y1 - y0)),
            ][side]
            found[f"O{len(found) + 1}"] = {"room": room_id, "at": at, "floor": room["floor"]}
    return found


def _wire(
    outlets: dict[str, Entry],
    rooms: dict[str, Entry],
    names: list[str],
    style: str,
    rng: np.random.Generator,
) -> dict[str, str]:
    if style == "by room":
        truth = _by_room(outlets, rooms, names, rng)
    elif style == "turns":
        order = _round_the_house(outlets)
        truth = {o: names[n % 2 if n < len(order) * 0.7 else -1] for n, o in enumerate(order)}
    else:
        truth = _grown(outlets, names, rng, is_lopsided=style == "lopsided")
    if style == "extended":
        truth |= _extension(outlets, rooms, truth, rng)
    stray = float(rng.uniform(0.0, 0.2))
    for outlet in outlets:
        if rng.random() < stray:
            near = sorted(outlets, key=lambda o: _away(outlets, outlet, o))[1:5]
            truth[outlet] = truth[near[int(rng.integers(len(near)))]]
    return truth


def _grown(
    outlets: dict[str, Entry], names: list[str], rng: np.random.Generator, *, is_lopsided: bool
) -> dict[str, str]:
    """Grow each circuit from one outlet to the nearest free one until its share is used up."""
    shares = rng.dirichlet(np.full(len(names), 0.7 if is_lopsided else 6.0))
    left = list(outlets)
    truth: dict[str, str] = {}
    for name, share in zip(names, shares, strict=True):
        quota = max(1, round(share * len(outlets)))
        if not left:
            break
        here = left.pop(int(rng.integers(len(left))))
        truth[here] = name
        for _ in range(quota - 1):
            if not left:
                break
            here = min(left, key=lambda o: _away(outlets, here, o) * float(rng.uniform(0.7, 1.4)))
            left.remove(here)
            truth[here] = name
    for outlet in left:
        nearest = min(truth, key=lambda o: _away(outlets, outlet, o))
        truth[outlet] = truth[nearest]
    return truth


def _by_room(
    outlets: dict[str, Entry],
    rooms: dict[str, Entry],
    names: list[str],
    rng: np.random.Generator,
) -> dict[str, str]:
    """Hand whole rooms to circuits in the order they stand, floor by floor."""
    order = list(rooms)
    cuts = sorted(rng.choice(np.arange(1, len(order)), size=len(names) - 1, replace=False))
    of_room = {room: names[sum(n >= cut for cut in cuts)] for n, room in enumerate(order)}
    return {o: of_room[outlet["room"]] for o, outlet in outlets.items()}


def _extension(
    outlets: dict[str, Entry],
    rooms: dict[str, Entry],
    truth: dict[str, str],
    rng: np.random.Generator,
) -> dict[str, str]:
    """Hang a room that was added later on whatever outlet was nearest."""
    room = list(rooms)[int(rng.integers(len(rooms)))]
    inside = [o for o, outlet in outlets.items() if outlet["room"] == room]
    outside = [o for o in outlets if o not in inside]
    nearest = min(outside, key=lambda o: min(_away(outlets, o, i) for i in inside))
    return dict.fromkeys(inside, truth[nearest])


def _round_the_house(outlets: dict[str, Entry]) -> list[str]:
    middle = np.mean([o["at"] for o in outlets.values()], axis=0)
    return sorted(
        outlets,
        key=lambda o: (
            outlets[o]["floor"],
            float(np.arctan2(*(np.array(outlets[o]["at"]) - middle)[::-1])),
        ),
    )


def _away(outlets: dict[str, Entry], a: str, b: str) -> float:
    (ax, ay), (bx, by) = outlets[a]["at"], outlets[b]["at"]
    floors = 5.0 * (outlets[a]["floor"] != outlets[b]["floor"])
    return float(abs(ax - bx) + abs(ay - by) + floors)


def _circuits(
    names: list[str],
    truth: dict[str, str],
    outlets: dict[str, Entry],
    rooms: dict[str, Entry],
    region: str,
    rng: np.random.Generator,
) -> dict[str, Entry]:
    found: dict[str, Entry] = {}
    for n, name in enumerate(names):
        uses = [rooms[outlets[o]["room"]]["use"] for o, c in truth.items() if c == name]
        label = f"POWER {n + 1}"
        main = max(set(uses), key=uses.count) if uses else ""
        if main in ("kitchen", "laundry", "garage") and uses.count(main) >= len(uses) / 2:
            label = main.upper() if rng.random() < 0.85 else label
        elif rng.random() < 0.04:
            label = ("KITCHEN", "LAUNDRY")[int(rng.integers(2))]
        ratings = REGIONS[region]
        found[name] = {
            "label": label,
            "breaker_a": ratings[int(rng.integers(len(ratings)))],
            "feeds": "outlets",
        }
    return found


def _stated_room(room: Entry) -> Entry:
    x0, y0, x1, y1 = room["box"]
    return {
        "use": room["use"],
        "floor": room["floor"],
        "at": [round((x0 + x1) / 2, 1), round((y0 + y1) / 2, 1)],
    }


def _stated_outlets(
    outlets: dict[str, Entry],
    truth: dict[str, str],
    circuits: dict[str, Entry],
    rooms: dict[str, Entry],
    rng: np.random.Generator,
) -> dict[str, Entry]:
    """State where outlets are; a sticker or a story tells the circuit of one in ten."""
    del circuits, rooms
    found: dict[str, Entry] = {}
    for name, outlet in outlets.items():
        at = [round(float(v), 1) for v in outlet["at"]]
        found[name] = {"room": outlet["room"], "at": at, "sockets": 2}
        if rng.random() < 0.1:
            found[name] |= {"circuit": truth[name], "known": "told"}
    return found


def _loads(
    rooms: dict[str, Entry], circuits: dict[str, Entry], region: str, rng: np.random.Generator
) -> Entry:
    """Ask for about half to three quarters of what all circuits give, heads in one room."""
    volts = 120.0 if region == "US" else 230.0
    capacity_w = sum(c["breaker_a"] for c in circuits.values()) * volts
    aim_w = capacity_w * float(rng.uniform(0.45, 0.75)) * (0.8 if region == "US" else 1.0)
    uses = {room["use"]: r for r, room in rooms.items()}
    departments: dict[str, Entry] = {}
    if "kitchen" in uses:
        departments["kettle"] = {"kind": "heater", "plate_w": 1500.0, "room": uses["kitchen"]}
    if "bedroom" in uses:
        departments["dryer"] = {"kind": "heater", "plate_w": 1200.0, "room": uses["bedroom"]}
    departments["village"] = {"kind": "electronics", "plate_w": 280.0, "room": min(rooms)}
    used_w = sum(d["plate_w"] for d in departments.values())
    heads: dict[str, Entry] = {}
    set_room = uses.get("living") or uses.get("stage") or min(rooms)
    for watts in HEADS_W:
        if used_w + watts <= aim_w:
            used_w += watts
            heads[f"H{len(heads) + 1}"] = {
                "kind": "led",
                "plate_w": watts,
                "power_factor": 0.95,
                "leakage_ma": 0.5,
                "cord_m": 80.0,
            }
    for load in (*departments.values(), *heads.values()):
        load.setdefault("leakage_ma", 0.5)
    return {
        "heads": heads,
        "departments": departments,
        "power_boards": [{"ways": 4, "count": 12}],
        "setups": [{"id": "SU1", "heads": dict.fromkeys(heads, set_room), "on": list(departments)}],
    }
