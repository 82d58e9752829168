"""Every cross-reference and sense check: the fault is found, its neighbour is accepted."""

from dataclasses import dataclass
from typing import Any

import pytest

from builders import amps, circuit, outlet, setup, small_job
from spreadload.job.references import Finding, find_faults

Entry = dict[str, Any]
REGIONS = ("AU", "NZ", "US")
PLUGS = ("au-10", "au-15", "cee-32-5pin")
GAUGES = frozenset({10, 12, 14})
ROOMS: Entry = {"lounge": {}, "bed": {}}


def faults(**changes: Any) -> tuple[Finding, ...]:  # noqa: ANN401 - any entry of a job file
    """Return what is found in the small flat with some entries replaced."""
    return find_faults(small_job(**changes), regions=REGIONS, plugs=PLUGS, gauges=GAUGES)


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


UNKNOWN = {
    "region": Case(("region",), "no region", {"region": "NX"}, {"region": "NZ"}),
    "rcd of a circuit": Case(
        ("circuits", "P1", "rcd"), "no RCD", way(rcd="R1"), way(rcd="R1") | {"rcds": {"R1": {}}}
    ),
    "rcd of an outlet": Case(
        ("outlets", "O1", "rcd"), "no RCD", plate(rcd="G"), plate(rcd="G") | {"rcds": {"G": {}}}
    ),
    "rcd of a sub-board": Case(
        ("sub_boards", "S", "rcd"),
        "no RCD",
        {"sub_boards": {"S": {"feed_a": 32.0, "rcd": "R"}}},
        {"sub_boards": {"S": {"feed_a": 32.0, "rcd": "R"}}, "rcds": {"R": {}}},
    ),
    "sub-board of a circuit": Case(
        ("circuits", "P1", "sub_board"),
        "no sub-board",
        way(sub_board="S"),
        way(sub_board="S") | subs(S=None),
    ),
    "feeder of a sub-board": Case(
        ("sub_boards", "S", "fed_from"), "no sub-board", subs(S="T"), subs(S="T", T=None)
    ),
    "shared neutral": Case(
        ("circuits", "P1", "shares_neutral_with"),
        "no other circuit",
        way(shares_neutral_with="P1"),
        way(shares_neutral_with="P2"),
    ),
    "room of an outlet": Case(
        ("outlets", "O1", "room"),
        "no room",
        plates(outlet("P1", "loung")),
        plates(outlet("P1", "lounge")),
    ),
    "circuit of an outlet": Case(
        ("outlets", "O1", "circuit"), "no circuit", plates(outlet("P9")), plates(outlet("P1"))
    ),
    "possible circuit of an outlet": Case(
        ("outlets", "O1", "maybe_on", 1),
        "no circuit",
        plates(outlet(None, maybe_on=["P1", "P9"])),
        plates(outlet(None, maybe_on=["P1", "P2"])),
    ),
    "plug of an outlet": Case(
        ("outlets", "O1", "plug"), "no plug standard", plate(plug="au-11"), plate(plug="au-15")
    ),
    "room of a place": Case(
        ("places", "sofa", "room"),
        "no room",
        {"places": {"sofa": {"room": "attic"}}},
        {"places": {"sofa": {"room": "bed"}}},
    ),
    "outlet in a statement": Case(
        ("same_circuit", 0, 1),
        "no outlet",
        {"same_circuit": [["O1", "O7"]]},
        plates(outlet(None)) | {"same_circuit": [["O1", "O2"]]},
    ),
    "outlet in the other statement": Case(
        ("different_circuit", 0, 0),
        "no outlet",
        {"different_circuit": [["O7", "O1"]]},
        {"different_circuit": [["O2", "O1"]]},
    ),
    "outlet of a load": Case(
        ("departments", "fan", "outlet"),
        "no outlet",
        {"departments": {"fan": amps(1.0, outlet="bed")}},
        {"departments": {"fan": amps(1.0, outlet="O2")}},
    ),
    "room of a load": Case(
        ("departments", "fan", "room"), "no room", load(room="attic"), load(room="bed")
    ),
    "place of a load": Case(
        ("departments", "fan", "place"),
        "no place",
        {"departments": {"fan": amps(1.0, place="sofa")}},
        {"departments": {"fan": amps(1.0, place="lounge")}},
    ),
    "circuit of a load": Case(
        ("house", "pump", "circuit"),
        "no circuit",
        {"house": {"pump": amps(1.0, circuit="P3")}},
        {"house": {"pump": amps(1.0, circuit="P2")}},
    ),
    "plug of a head": Case(
        ("heads", "lamp", "plug"), "no plug standard", head(plug="au10"), head(plug="au-10")
    ),
    "plug of a load": Case(
        ("departments", "fan", "plug"), "no plug standard", load(plug="x"), load(plug="au-10")
    ),
    "plug of a lead": Case(
        ("leads", 0, "plug"),
        "no plug standard",
        lead(length_m=5.0, plug="au-1"),
        lead(length_m=5.0, plug="au-10"),
    ),
    "socket of a lead": Case(
        ("leads", 0, "socket"),
        "no plug standard",
        lead(length_m=5.0, socket="au-1"),
        lead(length_m=5.0, socket="au-15"),
    ),
    "plug of a power board": Case(
        ("power_boards", 0, "plug"),
        "no plug standard",
        {"power_boards": [{"plug": "au-1"}]},
        {"power_boards": [{"plug": "au-10"}]},
    ),
    "inlet of a box": Case(
        ("boxes", "B", "inlet"),
        "no plug standard",
        {"boxes": {"B": {"inlet": "cee", "outlet": "au-10", "outlets_per_phase": 2}}},
        {"boxes": {"B": {"inlet": "cee-32-5pin", "outlet": "au-10", "outlets_per_phase": 2}}},
    ),
    "outlet of a box": Case(
        ("boxes", "B", "outlet"),
        "no plug standard",
        {"boxes": {"B": {"inlet": "cee-32-5pin", "outlet": "au", "outlets_per_phase": 2}}},
        {"boxes": {"B": {"inlet": "cee-32-5pin", "outlet": "au-15", "outlets_per_phase": 2}}},
    ),
    "swap": Case(
        ("heads", "lamp", "swaps", 0),
        "no head in stock",
        head(swaps=["spare"]),
        head(swaps=["spare"]) | {"stock": {"spare": amps(2.0)}},
    ),
    "head of a set-up": Case(
        ("setups", 0, "heads", "lump"),
        "no head",
        day(setup(lump="lounge")),
        day(setup(lamp="lounge")),
    ),
    "place of a head": Case(
        ("setups", 0, "heads", "lamp"),
        "no place, room or outlet",
        day(setup(lamp="launge")),
        day(setup(lamp="O2")),
    ),
    "place in a list": Case(
        ("setups", 0, "heads", "lamp", 1),
        "no place, room or outlet",
        head(count=2) | day(setup(lamp=["bed", "bad"])),
        head(count=2) | day(setup(lamp=["bed", "lounge"])),
    ),
    "place with a count": Case(
        ("setups", 0, "heads", "lamp", "bad"),
        "no place, room or outlet",
        head(count=2) | day(setup(lamp={"bad": 2})),
        head(count=2) | day(setup(lamp={"bed": 2})),
    ),
    "load that is on": Case(
        ("setups", 0, "on", 0),
        "no department",
        day(setup(on=["fun"])),
        load() | day(setup(on=["fan"])),
    ),
    "load with a count that is on": Case(
        ("setups", 0, "on", "fun"),
        "no department",
        day(setup(on={"fun": 1})),
        load() | day(setup(on={"fan": 1})),
    ),
    "room of a zone": Case(
        ("wiring", "zones", "rear", 1),
        "no room",
        {"wiring": {"zones": {"rear": ["bed", "attic"]}}},
        {"wiring": {"zones": {"rear": ["bed", "lounge"]}}},
    ),
    "use of a room with odds": Case(
        ("wiring", "own_circuit_m", "cellar"),
        "no use of a room",
        {"wiring": {"own_circuit_m": {"cellar": 5.0}}},
        {"wiring": {"own_circuit_m": {"kitchen": 5.0, "upper floor": 3.0}}},
    ),
    "outlet with odds": Case(
        ("wiring", "outlets", "O8"),
        "no outlet",
        {"wiring": {"outlets": {"O8": {"P1": 1.0}}}},
        {"wiring": {"outlets": {"O1": {"P1": 1.0}}}},
    ),
    "target of odds": Case(
        ("wiring", "outlets", "O1", "P7"),
        "no circuit, zone or room",
        {"wiring": {"outlets": {"O1": {"P7": 1.0}}}},
        {"wiring": {"zones": {"rear": ["bed"]}, "outlets": {"O1": {"rear": 1.0, "lounge": 2.0}}}},
    ),
    "point of a reading": Case(
        ("supply", "readings", 0, "at"), "no outlet or board", reading(at="O9"), reading(at="O2")
    ),
}

SENSE = {
    "blank id": Case(
        ("rooms", " den"),
        "blank",
        {"rooms": ROOMS | {" den": {}}},
        {"rooms": ROOMS | {"den": {}}},
    ),
    "room and outlet of one name": Case(
        ("rooms", "O1"), "same name", {"rooms": ROOMS | {"O1": {}}}, {"rooms": ROOMS | {"O3": {}}}
    ),
    "place and room of one name": Case(
        ("places", "bed"), "same name", {"places": {"bed": {}}}, {"places": {"bedside": {}}}
    ),
    "head and department of one name": Case(
        ("departments", "a"), "same name", clash("a", "a"), clash("a", "b")
    ),
    "department and house of one name": Case(
        ("house", "b"), "same name", clash("a", "b", "b"), clash("a", "b", "c")
    ),
    "head and stock of one name": Case(
        ("stock", "a"), "same name", clash("a", "b", "c", "a"), clash("a", "b", "c", "d")
    ),
    "two set-ups of one id": Case(
        ("setups", 1, "id"), "two set-ups", day(setup("A"), setup("A")), day(setup("A"), setup("B"))
    ),
    "set-up without an id": Case(("setups", 0, "id"), "no id", day(setup(" ")), day(setup("1"))),
    "planning between lines": Case(
        ("supply", "planning_v"),
        "not the volts",
        supply(planning_v=400.0),
        supply(planning_v=240.0),
    ),
    "floor above the plan": Case(
        ("supply", "min_v"),
        "not below",
        supply(planning_v=230.0, min_v=230.0),
        supply(planning_v=230.0, min_v=229.0),
    ),
    "main breaker without rating": Case(
        ("supply", "main_switch"),
        "needs its rating",
        supply(main_switch={"is_limit": True}),
        supply(main_switch={"is_limit": True, "rating_a": 63.0}),
    ),
    "contract beyond the fuse": Case(
        ("supply", "contract_w"),
        "can deliver",
        supply(planning_v=230.0, contract_w=4601.0),
        supply(planning_v=230.0, contract_w=4600.0),
    ),
    "contract beyond three fuses": Case(
        ("supply", "contract_w"),
        "can deliver",
        supply(system="three-phase", planning_v=230.0, contract_w=13801.0),
        supply(system="three-phase", planning_v=230.0, contract_w=13800.0),
    ),
    "loaded above idle": Case(
        ("supply", "readings", 0, "loaded_v"),
        "more volts",
        reading(loaded_v=236.0, load_w=2000.0),
        reading(loaded_v=235.0, load_w=2000.0),
    ),
    "loaded without the load": Case(
        ("supply", "readings", 0), "without the load", reading(loaded_v=230.0), reading()
    ),
    "load without its volts": Case(
        ("supply", "readings", 0),
        "not the volts",
        reading(load_a=8.0),
        reading(load_a=8.0, loaded_v=230.0),
    ),
    "reading of other volts": Case(
        ("supply", "readings", 0, "idle_v"), "not the volts", reading(idle_v=23.5), reading()
    ),
    "sub-board that feeds itself": Case(
        ("sub_boards", "S", "fed_from"), "round and round", subs(S="S"), subs(S=None)
    ),
    "loop of sub-boards": Case(
        ("sub_boards", "T", "fed_from"),
        "round and round",
        subs(S="T", T="U", U="S"),
        subs(S="T", T="U", U=None),
    ),
    "fed from the main board by name": Case(
        ("sub_boards", "S", "fed_from"), "main board", subs(S="Main"), subs(S=None)
    ),
    "breaker and fuse": Case(
        ("circuits", "P1"),
        "not both",
        way(fuse_a=15.0),
        {"circuits": {"P1": {"fuse_a": 15.0}, "P2": circuit(10.0)}},
    ),
    "rewireable breaker": Case(
        ("circuits", "P1", "rewireable"),
        "only a fuse",
        way(rewireable=True),
        {"circuits": {"P1": {"fuse_a": 15.0, "rewireable": True}, "P2": circuit(10.0)}},
    ),
    "curve of a fuse": Case(
        ("circuits", "P1", "curve"),
        "no tripping curve",
        {"circuits": {"P1": {"fuse_a": 15.0, "curve": "C"}, "P2": circuit(10.0)}},
        way(curve="C"),
    ),
    "cable of a circuit ten times too thin": Case(
        ("circuits", "P1", "cable_mm2"),
        "not a size of fixed wiring",
        way(cable_mm2=0.25),
        way(cable_mm2=2.5),
    ),
    "cable of a sub-board ten times too thin": Case(
        ("sub_boards", "SB", "cable_mm2"),
        "not a size of fixed wiring",
        {"sub_boards": {"SB": {"feed_a": 32.0, "cable_mm2": 0.4}}},
        {"sub_boards": {"SB": {"feed_a": 32.0, "cable_mm2": 4.0}}},
    ),
    "phase of another system": Case(
        ("circuits", "P1", "phase"),
        "no such phase",
        way(phase="L2") | supply(system="single-phase"),
        way(phase="L2") | supply(system="three-phase"),
    ),
    "leg on three phases": Case(
        ("circuits", "P1", "phase"),
        "no such phase",
        way(phase="A") | supply(system="three-phase"),
        way(phase="A") | supply(system="split-phase"),
    ),
    "phase twice": Case(
        ("circuits", "P1", "phase"),
        "named twice",
        way(phase=["A", "A"]) | supply(system="split-phase"),
        way(phase=["A", "B"]) | supply(system="split-phase"),
    ),
    "phase of a sub-board": Case(
        ("sub_boards", "S", "phase"),
        "no such phase",
        supply(system="single-phase") | {"sub_boards": {"S": {"feed_a": 32.0, "phase": "L3"}}},
        supply(system="three-phase") | {"sub_boards": {"S": {"feed_a": 32.0, "phase": "L3"}}},
    ),
    "phase its sub-board lacks": Case(
        ("circuits", "P1", "phase"),
        "has no such phase",
        supply(system="three-phase")
        | way(phase="L2", sub_board="S")
        | {"sub_boards": {"S": {"feed_a": 32.0, "phase": "L1"}}},
        supply(system="three-phase")
        | way(phase="L2", sub_board="S")
        | {"sub_boards": {"S": {"feed_a": 32.0, "phase": "L1 L2"}}},
    ),
    "outlet on a lighting circuit": Case(
        ("outlets", "O1", "circuit"),
        "said to feed lighting",
        way(feeds="lighting"),
        way(feeds="other"),
    ),
    "possible circuit that cooks": Case(
        ("outlets", "O3", "maybe_on", 0),
        "said to feed cooking",
        {
            "circuits": {
                "P1": circuit(10.0),
                "P2": circuit(10.0),
                "R": circuit(32.0, feeds="cooking"),
            },
            "outlets": {"O1": outlet("P1", "lounge"), "O3": outlet(None, maybe_on=["R", "P2"])},
        },
        {
            "circuits": {"P1": circuit(10.0), "P2": circuit(10.0), "R": circuit(32.0)},
            "outlets": {"O1": outlet("P1", "lounge"), "O3": outlet(None, maybe_on=["R", "P2"])},
        },
    ),
    "known without a circuit": Case(
        ("outlets", "O1", "known"), "not which", plates({"known": "told"}), plates({})
    ),
    "possible without the given": Case(
        ("outlets", "O1", "maybe_on"),
        "leaves out P1",
        plate(maybe_on=["P2"]),
        plate(maybe_on=["P2", "P1"]),
    ),
    "possible twice": Case(
        ("outlets", "O1", "maybe_on"),
        "twice",
        plates(outlet(None, maybe_on=["P1", "P1"])),
        plates(outlet(None, maybe_on=["P1", "P2"])),
    ),
    "no outlets": Case(("outlets",), "no outlets", {"outlets": {}} | day(setup(lamp="bed")), {}),
    "same circuit of one": Case(
        ("same_circuit", 0), "two outlets", {"same_circuit": [["O1"]]}, {"same_circuit": []}
    ),
    "same circuit twice": Case(
        ("different_circuit", 0),
        "twice",
        {"different_circuit": [["O1", "O1"]]},
        {"different_circuit": [["O1", "O2"]]},
    ),
    "same but given different": Case(
        ("same_circuit", 0),
        "different circuits",
        {"same_circuit": [["O1", "O2"]]},
        plates(outlet(None)) | {"same_circuit": [["O1", "O2"]]},
    ),
    "different but given the same": Case(
        ("different_circuit", 0),
        "the same circuit",
        plates(outlet("P2")) | {"different_circuit": [["O1", "O2"]]},
        plates(outlet("P1")) | {"different_circuit": [["O1", "O2"]]},
    ),
    "same and different at once": Case(
        ("different_circuit", 0),
        "as well",
        plates(outlet(None))
        | {"same_circuit": [["O1", "O2"]], "different_circuit": [["O2", "O1"]]},
        plates(outlet(None)) | {"different_circuit": [["O2", "O1"]]},
    ),
    "head without a figure": Case(
        ("heads", "lamp"),
        "what it draws",
        head(measured_a=None),
        head(measured_a=None, lamp_w=650.0),
    ),
    "load without a figure": Case(
        ("departments", "fan"),
        "what it draws",
        {"departments": {"fan": {"room": "bed"}}},
        {"departments": {"fan": {"room": "bed", "class_w": 60.0}}},
    ),
    "plate below the lamp": Case(
        ("heads", "lamp", "plate_w"),
        "less than its own lamp",
        head(lamp_w=650.0, plate_w=649.0),
        head(lamp_w=650.0, plate_w=650.0),
    ),
    "watts above volt-amps": Case(
        ("heads", "lamp", "plate_w"),
        "more watts than",
        head(plate_va=1000.0, plate_w=1060.0),
        head(plate_va=1000.0, plate_w=1040.0),
    ),
    "watts above volts times amps": Case(
        ("heads", "lamp", "plate_w"),
        "more watts than",
        head(plate_a=5.0, plate_v=200.0, plate_w=1060.0),
        head(plate_a=5.0, plate_w=1060.0),
    ),
    "tungsten out of phase": Case(
        ("heads", "lamp", "power_factor"),
        "close to 1",
        head(power_factor=0.6),
        head(power_factor=0.95),
    ),
    "corrected but low": Case(
        ("heads", "lamp", "power_factor"),
        "too low",
        head(kind="discharge", corrected=True, power_factor=0.63),
        head(kind="discharge", corrected=False, power_factor=0.63),
    ),
    "uncorrected but high": Case(
        ("heads", "lamp", "power_factor"),
        "too high",
        head(kind="discharge", corrected=False, power_factor=0.98),
        head(kind="discharge", corrected=True, power_factor=0.98),
    ),
    "load in two ways": Case(
        ("departments", "fan"), "more than one way", load(outlet="O2"), load()
    ),
    "room without an outlet": Case(
        ("departments", "fan", "room"),
        "no outlet to plug",
        {"rooms": ROOMS | {"hall": {}}} | load(room="hall"),
        {"rooms": ROOMS | {"hall": {}}} | load(room="bed"),
    ),
    "end without a start": Case(
        ("departments", "fan", "starts_to"),
        "without a start",
        load(starts_to="10:00"),
        load(starts_from="09:00", starts_to="10:00"),
    ),
    "start as its end": Case(
        ("departments", "fan", "starts_to"),
        "ends as it starts",
        load(starts_from="09:00", starts_to="9:00"),
        load(starts_from="22:00", starts_to="06:00"),
    ),
    "hour after the day": Case(
        ("departments", "fan", "starts_from"),
        "24 hours",
        load(starts_from="24:30"),
        load(starts_from="24:00"),
    ),
    "lead without length": Case(("leads", 0), "without a length", lead(), lead(length_m=10.0)),
    "lead with two lengths": Case(
        ("leads", 0), "and in feet", lead(length_m=10.0, length_ft=33.0), lead(length_ft=33.0)
    ),
    "lead of no length": Case(
        ("leads", 0),
        "no length",
        lead(length_m=0.0),
        lead(length_m=0.0, plug="au-15", socket="au-10"),
    ),
    "lead with two sizes": Case(
        ("leads", 0),
        "and in AWG",
        lead(length_m=10.0, size_mm2=1.5, size_awg=14),
        lead(length_m=10.0, size_mm2=1.5),
    ),
    "lead too thin": Case(
        ("leads", 0, "size_mm2"),
        "too thin",
        lead(length_m=10.0, size_mm2=0.4),
        lead(length_m=10.0, size_mm2=0.5),
    ),
    "gauge nobody makes": Case(
        ("leads", 0, "size_awg"),
        "no such gauge",
        lead(length_m=10.0, size_awg=11),
        lead(length_m=10.0, size_awg=12),
    ),
    "layers of a straight lead": Case(
        ("leads", 0, "layers"),
        "only a wound lead",
        lead(length_m=10.0, layers=2),
        lead(length_m=10.0, layers=2, wound=True),
    ),
    "more heads than on the van": Case(
        ("setups", 0, "heads", "lamp"),
        "more of these than",
        head(count=2) | day(setup(lamp={"bed": 1, "lounge": 2})),
        head(count=3) | day(setup(lamp={"bed": 1, "lounge": 2})),
    ),
    "a head twice in a list": Case(
        ("setups", 0, "heads", "lamp"),
        "more of these than",
        day(setup(lamp=["bed", "lounge"])),
        head(count=2) | day(setup(lamp=["bed", "lounge"])),
    ),
    "a head nowhere": Case(
        ("setups", 0, "heads", "lamp"),
        "where it stands",
        day(setup(lamp=[])),
        day(setup(lamp=["bed"])),
    ),
    "more loads than there are": Case(
        ("setups", 0, "on", "fan"),
        "more of these than",
        load(count=2) | day(setup(on={"fan": 3})),
        load(count=2) | day(setup(on={"fan": 2})),
    ),
    "a load named twice": Case(
        ("setups", 0, "on", 1),
        "named twice",
        load(count=2) | day(setup(on=["fan", "fan"])),
        load(count=2) | day(setup(on=["fan"])),
    ),
    "on but must be off": Case(
        ("setups", 0, "on", 0),
        "must be off",
        load(policy="must be off") | day(setup(on=["fan"])),
        load(policy="may be off") | day(setup(on=["fan"])),
    ),
    "set-up of no length": Case(
        ("setups", 0, "to"),
        "ends as it begins",
        day(timed("A", "09:00", "9:00")),
        day(timed("A", "09:00", "09:01")),
    ),
    "set-up after the day": Case(
        ("setups", 0, "to"),
        "24 hours",
        day(timed("A", "20:00", "24:30")),
        day(timed("A", "20:00", "00:30")),
    ),
    "overlapping set-ups": Case(
        ("setups", 1, "from"),
        "while A is still on",
        day(timed("A", "09:00", "12:01"), timed("B", "12:00", "13:00")),
        day(timed("A", "09:00", "12:00"), timed("B", "12:00", "13:00")),
    ),
    "overlapping after midnight": Case(
        ("setups", 1, "from"),
        "while A is still on",
        day(timed("A", "22:00", "02:00"), timed("B", "01:00", "04:00")),
        day(timed("A", "22:00", "01:00"), timed("B", "01:00", "04:00")),
    ),
    "room in two zones": Case(
        ("wiring", "zones", "rear", 0),
        "already in zone front",
        {"wiring": {"zones": {"front": ["bed"], "rear": ["bed"]}}},
        {"wiring": {"zones": {"front": ["bed"], "rear": ["lounge"]}}},
    ),
    "odds of nothing": Case(
        ("wiring", "outlets", "O1"),
        "no circuit possible",
        {"wiring": {"outlets": {"O1": {"P1": 0.0}}}},
        {"wiring": {"outlets": {"O1": {"P1": 0.0, "P2": 1.0}}}},
    ),
    "a soft rule twice": Case(
        ("rules", "order"),
        "twice",
        {"rules": {"order": ["cable", "cable"]}},
        {"rules": {"order": ["cable", "balance"]}},
    ),
    "a soft rule off twice": Case(
        ("rules", "off"),
        "twice",
        {"rules": {"off": ["cable", "cable"]}},
        {"rules": {"off": ["cable"]}},
    ),
    "guide above the trip": Case(
        ("rules", "leakage_guide_pct"),
        "more than",
        {"rules": {"leakage_guide_pct": 60.0, "leakage_may_trip_pct": 50.0}},
        {"rules": {"leakage_guide_pct": 50.0, "leakage_may_trip_pct": 50.0}},
    ),
    "warm breaker's aim above its most": Case(
        ("rules", "warm_aim_pct"),
        "more than",
        {"rules": {"warm_aim_pct": 85.0, "warm_most_pct": 75.0}},
        {"rules": {"warm_most_pct": 75.0}},
    ),
    "lead drop above the whole": Case(
        ("rules", "lead_drop_pct"),
        "more than",
        {"rules": {"lead_drop_pct": 6.0, "total_drop_pct": 5.0}},
        {"rules": {"lead_drop_pct": 3.0, "total_drop_pct": 5.0}},
    ),
}

FLAGS = {
    "outlet": Case(
        ("red_flags", 0, "outlet"),
        "no outlet",
        {"red_flags": [{"what": "scorched plate", "outlet": "O9"}]},
        {"red_flags": [{"what": "scorched plate", "outlet": "O1"}]},
    ),
    "circuit": Case(
        ("red_flags", 1, "circuit"),
        "no circuit",
        {"red_flags": ["board buzzes", {"what": "warm breaker", "circuit": "P9"}]},
        {"red_flags": ["board buzzes", {"what": "warm breaker", "circuit": "P1"}]},
    ),
}
UNKNOWN |= {f"{place} of a red flag": case for place, case in FLAGS.items()}
SENSE["a red flag without words"] = Case(
    ("red_flags", 0), "says nothing", {"red_flags": [" "]}, {"red_flags": ["board buzzes"]}
)

CASES = {f"unknown {name}": case for name, case in UNKNOWN.items()} | SENSE


def test_the_small_flat_has_no_faults() -> None:
    """The house every case starts from is fine."""
    assert faults() == ()


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_the_fault_is_found_where_it_stands(case: Case) -> None:
    """One finding at the path says what is wrong and what to do."""
    found = [f for f in faults(**case.wrong) if f.path == case.path and case.says in f.problem]
    assert len(found) == 1
    assert found[0].remedy
    assert not found[0].problem.endswith(".")


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_the_neighbour_is_accepted(case: Case) -> None:
    """The nearest thing that can be meant passes without any finding."""
    assert faults(**case.right) == ()


@pytest.mark.parametrize("case", UNKNOWN.values(), ids=UNKNOWN)
def test_unknown_names_are_marked_as_such(case: Case) -> None:
    """A reader with half a file can still trust these findings."""
    assert all(f.is_unknown_name for f in faults(**case.wrong) if f.path == case.path)


def test_a_slip_of_the_pen_is_guessed() -> None:
    """The nearest known name is offered, capitals and hyphens aside."""
    assert faults(**plate(plug="AU 10"))[0].remedy == "did you mean au-10?"
    assert faults(**day(setup(lamp="luonge")))[0].remedy == "did you mean lounge?"


def test_a_name_of_another_kind_is_explained() -> None:
    """A room given where an outlet is asked for is not called a slip."""
    found = faults(departments={"fan": amps(1.0, outlet="bed")})
    assert "stands under rooms" in found[0].remedy


def test_a_head_under_on_is_sent_where_it_belongs() -> None:
    """Heads go under heads, whatever else is on goes under on."""
    assert "stands under heads" in faults(**day(setup(on=["lamp"])))[0].remedy


def test_all_faults_come_in_one_pass() -> None:
    """Five slips in five corners are five findings."""
    found = faults(
        region="XX",
        **plate(rcd="R9"),
        **head(swaps=["nothing"]),
        **day(setup(lamp="nowhere", on=["nobody"])),
    )
    assert len(found) == 5


def test_gauges_are_only_checked_when_known() -> None:
    """Without a list of gauges any whole number of the format passes."""
    job = small_job(**lead(length_m=10.0, size_awg=11))
    assert find_faults(job, regions=REGIONS, plugs=PLUGS) == ()
