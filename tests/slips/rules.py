"""Slips in beliefs about the wiring and in the numbers of the rules."""

from slips.case import Case

RULES = {
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
    "a red flag without words": Case(
        ("red_flags", 0), "says nothing", {"red_flags": [" "]}, {"red_flags": ["board buzzes"]}
    ),
}
