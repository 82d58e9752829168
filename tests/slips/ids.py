"""Ids that are blank, or given twice."""

from builders import setup
from slips.case import ROOMS, Case, clash, day

IDS = {
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
}
