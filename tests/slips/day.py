"""Slips in set-ups and what is on in them."""

from builders import setup
from slips.case import Case, day, head, load, timed

DAY = {
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
    "overlapping set-ups that are numbered": Case(
        ("setups", 1, "from"),
        "while set-up 1 is still on",
        day(timed("1", "09:00", "12:01"), timed("2", "12:00", "13:00")),
        day(timed("1", "09:00", "12:00"), timed("2", "12:00", "13:00")),
    ),
    "overlapping after midnight": Case(
        ("setups", 1, "from"),
        "while A is still on",
        day(timed("A", "22:00", "02:00"), timed("B", "01:00", "04:00")),
        day(timed("A", "22:00", "01:00"), timed("B", "01:00", "04:00")),
    ),
}
