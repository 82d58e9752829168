"""Names that nothing in the job or the program has."""

from builders import amps, outlet, setup
from slips.case import Case, day, head, lead, load, plate, plates, reading, subs, way

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
    "outlet of a red flag": Case(
        ("red_flags", 0, "outlet"),
        "no outlet",
        {"red_flags": [{"what": "scorched plate", "outlet": "O9"}]},
        {"red_flags": [{"what": "scorched plate", "outlet": "O1"}]},
    ),
    "circuit of a red flag": Case(
        ("red_flags", 1, "circuit"),
        "no circuit",
        {"red_flags": ["board buzzes", {"what": "warm breaker", "circuit": "P9"}]},
        {"red_flags": ["board buzzes", {"what": "warm breaker", "circuit": "P1"}]},
    ),
}
