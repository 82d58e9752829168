"""Slips in outlets and in what is said of their circuits."""

from builders import circuit, outlet, setup
from slips.case import Case, day, plate, plates, way

OUTLETS = {
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
}
