"""A file with many slips: each is told once, none is made up, and all come in the first pass."""

from pathlib import Path

import pytest

from job_files import faults_of

# The line as it should be, what was typed, the key that is told, and a word of the remedy.
Slip = tuple[str, str, str, str]
GOOD = """\
region: NZ
supply:
  limit_a: 63
  planning_v: 230
rcds:
  R1: {trips_at_ma: 30}
  R2: {trips_at_ma: 30}
circuits:
  P1: {label: POWER FRONT, breaker_a: 20, rcd: R1}
  P2: {label: POWER BACK, breaker_a: 20, curve: C}
  P3: {label: POWER SHED, breaker_a: 16, rcd: R2}
rooms:
  lounge: {use: living}
  kitchen: {use: kitchen}
places:
  window: {room: lounge, at: [1, 0]}
outlets:
  O1: {room: lounge, circuit: P1, sockets: 2, at: [0, 2]}
  O2: {room: kitchen, circuit: P2, known: tested}
  O3: {maybe_on: [P1, P2], use: last resort}
heads:
  soft: {kind: led, plate_w: 350, power_factor: 0.95, count: 2}
  key: {kind: discharge, plate_w: 1350, count: 1}
departments:
  kettle: {kind: heater, plate_w: 2200, room: kitchen}
  charger: {plate_a: 1.5, room: lounge, policy: may be off}
leads:
  - {length_m: 10, size_mm2: 1.5, count: 4}
setups:
  - id: SU1
    from: "9:00"
    to: "12:00"
    heads: {soft: {window: 1, O1: 1}, key: O2}
    on: [kettle]
  - id: SU2
    from: "13:00"
    to: "15:00"
    heads: {soft: [window, lounge]}
    on: [charger]
    may_swap_with: [SU1]
"""
KEYS: list[Slip] = [
    ("region: NZ", "regoin: NZ", "regoin", "mean region"),
    ("  limit_a: 63", "  limit_amps: 63", "supply.limit_amps", "mean limit_a"),
    ("circuits:", "cicruits:", "cicruits", "mean circuits"),
    ("FRONT, breaker_a: 20", "FRONT, breaker_amps: 20", "circuits.P1.breaker_amps", "breaker_a"),
    ("use: living", "usage: living", "rooms.lounge.usage", "mean use"),
    ("\noutlets:", "\noutlts:", "outlts", "mean outlets"),
    ("circuit: P1, sockets", "circit: P1, sockets", "outlets.O1.circit", "mean circuit"),
    ("\nheads:", "\nhaeds:", "haeds", "mean heads"),
    ("plate_w: 1350", "plate_kw: 1.35", "heads.key.plate_kw", "write plate_w: 1350"),
    ("plate_a: 1.5", "amps: 1.5", "departments.charger.amps", "mean plate_a"),
    ("size_mm2: 1.5", "size_m2: 1.5", "leads[1].size_m2", "mean size_mm2"),
    ("setups:", "set-ups:", "set-ups", "mean setups"),
    ("    on: [kettle]", "    onn: [kettle]", "setups.SU1.onn", "mean on"),
]
VALUES: list[Slip] = [
    ("limit_a: 63", "limit_a: 63A", "supply.limit_a", "without unit or quotes: 63"),
    ("BACK, breaker_a: 20", "BACK, breaker_a: twenty", "circuits.P2.breaker_a", "in digits: 20"),
    ("curve: C", "curve: c", "circuits.P2.curve", "mean C"),
    ("use: kitchen", "use: kitchn", "rooms.kitchen.use", "mean kitchen"),
    ("sockets: 2", "sockets: 0", "outlets.O1.sockets", ""),
    ("known: tested", "known: measured", "outlets.O2.known", "mean tested"),
    ("power_factor: 0.95", "power_factor: 95", "heads.soft.power_factor", "write 0.95"),
    ("plate_w: 2200", "plate_w: 2.2 kW", "departments.kettle.plate_w", "write 2200"),
    ("length_m: 10", "length_m: 10m", "leads[1].length_m", "unit or quotes: 10"),
    ('from: "9:00"', 'from: "9.00"', "setups.SU1.from", "write 9:00"),
    ("on: [kettle]", "on: kettle", "setups.SU1.on", "write [kettle]"),
]
NAMES: list[Slip] = [
    ("rcd: R1}", "rcd: R9}", "circuits.P1.rcd", "check the name"),
    ("window: {room: lounge", "window: {room: longue", "places.window.room", "mean lounge"),
    ("circuit: P2, known", "circuit: P22, known", "outlets.O2.circuit", "mean P2"),
    ("maybe_on: [P1, P2]", "maybe_on: [P1, P8]", "outlets.O3.maybe_on[2]", "check"),
    ("room: kitchen}\n", "room: kitchem}\n", "departments.kettle.room", "mean kitchen"),
    ("{window: 1, O1: 1}", "{windwo: 1, O1: 1}", "setups.SU1.heads.soft.windwo", "mean window"),
    ("key: O2", "kee: O2", "setups.SU1.heads.kee", "mean key"),
    ("on: [charger]", "on: [chargr]", "setups.SU2.on[1]", "mean charger"),
    ("may_swap_with: [SU1]", "may_swap_with: [SU7]", "setups.SU2.may_swap_with[1]", "mean SU"),
]
SENSE: list[Slip] = [
    ("planning_v: 230", "planning_v: 400", "supply.planning_v", "between line and neutral"),
    ("SHED, breaker_a: 16", "SHED, breaker_a: 16, phase: L9", "circuits.P3.phase", ""),
    ("R2: {trips_at_ma: 30}", "R2: {trips_at_ma: 0.03}", "rcds.R2.trips_at_ma", "write 30"),
    ("O3: {maybe", "O3: {known: told, maybe", "outlets.O3.known", "add circuit"),
    ("plate_w: 350", "plate_w: 350, lamp_w: 575", "heads.soft.plate_w", "swap lamp_w"),
    ('from: "13:00"', 'from: "11:00"', "setups.SU2.from", "correct one"),
    ("[window, lounge]", "[window, lounge, O1]", "setups.SU2.heads.soft", "take one away"),
]
UNKNOWABLE: list[Slip] = [
    ("FRONT, breaker_a: 20", "FRONT, breaker_a: big", "circuits.P1.breaker_a", "in digits"),
    ("at: [0, 2]", "at: near the door", "outlets.O1.at", ""),
    ("policy: may be off", "policy: ask her", "departments.charger.policy", ""),
    ("rooms:\n", "xyzzy: 12\nrooms:\n", "xyzzy", "check the spelling"),
]


def broken(slips: list[Slip]) -> str:
    """Return the job with every slip made."""
    text = GOOD
    for right, wrong, _, _ in slips:
        assert text.count(right) == 1, right
        text = text.replace(right, wrong)
    return text


def test_the_job_is_valid_before_it_is_broken(tmp_path: Path) -> None:
    """Every fault below is of a slip, none of the job."""
    assert faults_of(tmp_path, GOOD) == ()


@pytest.mark.parametrize("slip", KEYS + VALUES + NAMES + SENSE + UNKNOWABLE, ids=lambda s: s[2])
def test_one_slip_is_one_fault(slip: Slip, tmp_path: Path) -> None:
    """Alone, each is told once, at its key, with its remedy."""
    (fault,) = faults_of(tmp_path, broken([slip]))
    assert fault.key == slip[2]
    assert slip[3] in fault.remedy


@pytest.mark.parametrize(
    "slips",
    [KEYS, VALUES, NAMES, KEYS + NAMES, KEYS[:3] + VALUES[1:3] + NAMES + SENSE[1:]],
    ids=["keys", "values", "names", "keys and names", "of every kind"],
)
def test_many_slips_are_told_in_one_pass(slips: list[Slip], tmp_path: Path) -> None:
    """Under the key as it is meant to be, each on its own line, and nothing besides."""
    text = broken(slips)
    faults = faults_of(tmp_path, text)
    assert [f.key for f in sorted(faults, key=lambda f: f.key)] == sorted(s[2] for s in slips)
    for _, wrong, key, remedy in slips:
        (fault,) = (f for f in faults if f.key == key)
        assert fault.line == text[: text.index(wrong.strip())].count("\n") + 1
        assert remedy in fault.remedy


def test_of_two_keys_as_near_the_one_that_is_not_there_yet_is_meant(tmp_path: Path) -> None:
    """`leads` is given, so `heds` is `heads`; what stands below it is read on."""
    text = GOOD.replace("\nheads:", "\nheds:").replace("plate_w: 1350", "plate_w: lots")
    faults = faults_of(tmp_path, text)
    assert [f.key for f in faults] == ["heds", "heads.key.plate_w"]
    assert faults[0].remedy == "did you mean heads?"


def test_what_nobody_can_guess_hides_nothing_and_makes_nothing_up(tmp_path: Path) -> None:
    """Figures that are no figures stand beside unknown names; all are told."""
    slips = [*UNKNOWABLE, *NAMES, SENSE[1], SENSE[2], SENSE[5]]
    faults = faults_of(tmp_path, broken(slips))
    assert sorted(f.key for f in faults) == sorted(s[2] for s in slips)
