"""What people write before they know the file: everyday words, and the keys and words they mean.

A guess is only offered where the key exists; nothing is ever read under another name. Imports
nothing of the project.
"""

from collections.abc import Collection

# In each row the first key that exists is meant.
_MEANT: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("watts w watt wattage power power_w rated_w", ("plate_w", "contract_w")),
    (
        "amps a amp amperage current current_a rating rating_a rated_a breaker mcb",
        ("plate_a", "breaker_a", "limit_a", "rating_a", "feed_a", "socket_a", "trips_at_ma"),
    ),
    ("va apparent_power", ("plate_va",)),
    ("fuse", ("fuse_a", "limit_a")),
    ("volts v voltage", ("planning_v", "plate_v", "idle_v")),
    ("pf cos_phi cosphi", ("power_factor",)),
    ("qty quantity number no units how_many", ("count",)),
    ("type category", ("kind", "what", "use")),
    ("name description desc", ("label", "what", "title", "name", "note")),
    ("start begin starts start_time time_from", ("from", "starts_from")),
    ("end finish ends until end_time time_to", ("to", "starts_to")),
    ("location area zone", ("room", "where", "place")),
    ("position pos xy coordinates coords", ("at",)),
    ("level storey story", ("floor",)),
    ("length len metres meters", ("length_m",)),
    ("feet ft length_feet", ("length_ft",)),
    ("size csa section mm2 cross_section", ("size_mm2", "cable_mm2")),
    ("gauge awg", ("size_awg",)),
    ("limit main supply service service_a main_a", ("limit_a",)),
    ("source", ("limit_source",)),
    ("gangs ways outlets plugs receptacles", ("sockets", "ways")),
    ("fixtures lights lamps luminaires lighting", ("heads",)),
    ("sockets receptacles power_points points", ("outlets",)),
    ("breakers board switchboard panel", ("circuits",)),
    ("cables extensions extension_leads cords", ("leads",)),
    ("scenes shots setup set_ups day schedule", ("setups",)),
    ("loads appliances", ("departments", "house")),
    ("fixed must_stay_on", ("policy",)),
    ("department dept who owner", ("by",)),
)
# The same for words of a short list, such as kinds of load and uses of rooms.
_MEANT_WORDS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("incandescent halogen filament bulb hot", ("tungsten",)),
    ("daylight hid arc metal_halide", ("discharge",)),
    ("fluo strip", ("fluorescent",)),
    ("heat heating resistive resistor", ("heater",)),
    ("compressor pump fan fridge refrigerator freezer", ("motor",)),
    ("electronic computer monitor charger", ("electronics", "electronic")),
    ("sockets plugs power receptacles power_points", ("outlets",)),
    ("lights light", ("lighting",)),
    ("oven cooker range stove", ("cooking",)),
    ("hot_water boiler", ("water",)),
    ("aircon ac air_conditioning heat_pump", ("air",)),
    ("forbidden never no not_allowed off", ("off limits", "must be off")),
    ("avoid emergency_only reluctantly", ("last resort",)),
    ("yes ok free", ("allowed", "tested")),
    ("always_on keep_on essential critical on must_be_on", ("must stay on",)),
    ("optional can_be_off may_go_off", ("may be off",)),
    ("measured checked proven certain sure known true", ("tested",)),
    ("owner said story", ("told",)),
    ("label", ("labelled",)),
    ("guess unknown maybe assumed", ("guessed",)),
    (
        "lounge sitting_room living_room parlour parlor reception family_room family den",
        ("living",),
    ),
    ("dining_room", ("dining",)),
    ("bath wc toilet ensuite shower", ("bathroom",)),
    ("bed", ("bedroom",)),
    ("office", ("study",)),
    ("corridor hallway landing entry foyer", ("hall",)),
    ("garden outdoor outdoors yard porch patio", ("outside",)),
    ("utility utility_room", ("laundry",)),
    ("shed shop", ("workshop",)),
    ("single 1_phase 1ph one_phase monophase", ("single-phase",)),
    ("split two_leg", ("split-phase",)),
    ("3_phase 3ph three 400v", ("three-phase",)),
)


def meant_keys(word: str, known: Collection[str]) -> tuple[str, ...]:
    """Return the key an everyday word stands for, if it is one of those known."""
    return _meant(word, known, _MEANT)


def meant_words(word: str, known: Collection[str]) -> tuple[str, ...]:
    """Return the word of a short list that an everyday word stands for, if it is known."""
    return _meant(word, known, _MEANT_WORDS)


def _meant(
    word: str, known: Collection[str], rows: tuple[tuple[str, tuple[str, ...]], ...]
) -> tuple[str, ...]:
    plain = word.strip().casefold().replace(" ", "_").replace("-", "_")
    for words, keys in rows:
        if plain in words.split():
            found = next((key for key in keys if key in known), None)
            if found is not None:
                return (found,)
    return ()
