"""Slips in heads, loads and leads."""

from slips.case import ROOMS, Case, head, lead, load

KIT = {
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
    "kilowatts for watts": Case(
        ("departments", "fan", "plate_w"),
        "too little for anything that heats",
        load(measured_a=None, kind="heater", plate_w=2.4),
        load(measured_a=None, kind="heater", plate_w=24.0),
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
}
