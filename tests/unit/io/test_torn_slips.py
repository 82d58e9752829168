"""Slips that YAML reads as something else altogether: one fault each, with what to write."""

from pathlib import Path

import pytest

from job_files import faults_of

GOOD = """\
region: NZ
supply:
  limit_a: 63
  planning_v: 230
circuits:
  P1: {label: POWER FRONT, breaker_a: 20}
  P2: {label: POWER BACK, breaker_a: 20}
rooms:
  lounge: {use: living}
  kitchen: {use: kitchen}
outlets:
  O1: {room: lounge, circuit: P1, sockets: 2, at: [0, 2]}
  O2: {room: kitchen, circuit: P2, known: tested}
places:
  window: {room: lounge, at: [1, 0]}
  sofa: {room: lounge, at: [2, 1]}
heads:
  soft: {kind: led, plate_w: 350, count: 2}
departments:
  kettle: {kind: heater, plate_w: 2200, room: kitchen}
  charger: {plate_a: 1.5, room: lounge}
  iron: {plate_a: 8, room: kitchen}
setups:
  - id: SU1
    from: "9:00"
    to: "12:00"
    heads: {soft: [window, sofa]}
    on: [kettle, charger]
  - id: SU2
    heads: {soft: window}
    on: [iron]
"""


def without_indent(section: str) -> str:
    """Return the job with one section not indented below its heading."""
    head, _, rest = GOOD.partition(f"{section}:\n")
    body = rest[
        : next(i for i in range(len(rest)) if rest[i : i + 1] == "\n" and rest[i + 1] != " ")
    ]
    return f"{head}{section}:\n{body.replace(chr(10) + '  ', chr(10))[2:]}{rest[len(body) :]}"


def test_the_job_is_valid_before_it_is_broken(tmp_path: Path) -> None:
    """Every fault below is of a slip, none of the job."""
    assert faults_of(tmp_path, GOOD) == ()


@pytest.mark.parametrize(
    ("right", "wrong", "key", "remedy"),
    [
        ("circuit: P1", "circuit:P1", "outlets.O1.circuit:P1", "write `circuit: P1`"),
        ("circuit: P1", 'circuit:"P1"', 'outlets.O1.circuit:"P1"', "write `circuit:"),
        ("circuit: P1", "circuit P1", "outlets.O1.circuit P1", "write `circuit: P1`"),
        ("plate_w: 350", "plate_w=350", "heads.soft.plate_w=350", "write `plate_w: 350`"),
        ("count: 2", "count:2", "heads.soft.count:2", "write `count: 2`"),
        ("kitchen: {use", "kitchen:{use", "", "write `kitchen: {use: kitchen}`"),
        ("kitchen: {use", "kitchen {use", "", "write `kitchen: {use: kitchen}`"),
        ("P1: {label", "P1:{label", "", "write `P1: {label: POWER FRONT, breaker_a: 20}`"),
        ("    on: [kettle", "    on:[kettle", "", "write `on: [kettle, charger]`"),
        ("at: [0, 2]", "at: (0, 2)", "outlets.O1.at", "write [0, 2]"),
        ("at: [0, 2]", "at: [0 2]", "outlets.O1.at", "write [0, 2]"),
        ("at: [0, 2]", "at: [0; 2]", "outlets.O1.at", "write [0, 2]"),
        ("at: [0, 2]", "at: 0, 2", "outlets.O1.at", "write [0, 2]"),
        ("at: [0, 2]", 'at: "0, 2"', "outlets.O1.at", "write [0, 2]"),
        ("on: [kettle, charger]", "on: kettle, charger", "setups.SU1.on", "[kettle, charger]"),
        ("on: [kettle, charger]", "on: (kettle, charger)", "setups.SU1.on", "[kettle, charger]"),
        ("count: 2", "count: 2, power_factor: 0,95", "heads.soft.95", "decimal point, 0.95"),
        ("sockets: 2,", "plate_a: 12,5, sockets: 2,", "outlets.O1.5", "decimal point, 12.5"),
        ("plate_w: 2200", "plate_w: 2.200", "departments.kettle.plate_w", "write 2200"),
        ("circuit: P1", "circuit: [P1]", "outlets.O1.circuit", "write P1, without brackets"),
        ("sockets: 2", "sockets: [2]", "outlets.O1.sockets", "write 2, without brackets"),
        ("room: lounge, circuit", "room: &lounge, circuit", "outlets.O1.room", "in quotes"),
        ("count: 2", "count: 2, count: 3", "heads.soft.count", "keep one of the two"),
        ('to: "12:00"', 'to: "7:30"', "setups.SU1.to", "would last 22.5 hours"),
    ],
)
def test_one_slip_is_one_fault(
    right: str, wrong: str, key: str, remedy: str, tmp_path: Path
) -> None:
    """At its line and key, with what to write; what hangs on it is not called wrong as well."""
    assert GOOD.count(right) == 1
    text = GOOD.replace(right, wrong)
    (fault,) = faults_of(tmp_path, text)
    assert (fault.line, fault.key) == (GOOD[: GOOD.index(right.strip())].count("\n") + 1, key)
    assert remedy in fault.remedy


@pytest.mark.parametrize("section", ["supply", "circuits", "rooms", "outlets", "places", "heads"])
def test_a_section_that_is_not_indented_is_one_fault(section: str, tmp_path: Path) -> None:
    """Its entries stand beside the heading; nothing they give is called missing."""
    (fault,) = faults_of(tmp_path, without_indent(section))
    assert fault.line == GOOD[: GOOD.index(f"{section}:\n")].count("\n") + 2
    assert f"`{section}`" in fault.problem


@pytest.mark.parametrize("section", ["outlets", "places", "departments"])
def test_a_heading_among_the_entries_of_another_section_is_one_fault(
    section: str, tmp_path: Path
) -> None:
    """It would pass for a room, with the places below it for rooms as well."""
    (fault,) = faults_of(tmp_path, GOOD.replace(f"{section}:\n", f"  {section}:\n"))
    assert fault.key == section
    assert fault.line == GOOD[: GOOD.index(f"{section}:\n")].count("\n") + 1


@pytest.mark.parametrize(
    ("section", "names"),
    [
        ("places", "window, sofa"),
        ("departments", "kettle, charger, iron"),
        ("rooms", "lounge, kitchen"),
    ],
)
def test_a_section_that_is_not_there_is_one_fault(section: str, names: str, tmp_path: Path) -> None:
    """All that names its entries is told on the first line that does."""
    head, _, rest = GOOD.partition(f"{section}:\n")
    body = rest[: next(i for i in range(len(rest)) if rest[i] == "\n" and rest[i + 1] != " ")]
    (fault,) = faults_of(tmp_path, head + rest[len(body) + 1 :])
    assert fault.problem == f"nothing is listed under `{section}`"
    assert fault.value == names


@pytest.mark.parametrize("key", ["uses", "Use", "include", "ues"])
def test_a_file_pulled_in_by_another_word_is_pulled_in(key: str, tmp_path: Path) -> None:
    """Nothing that stands in it is missed, and a slip behind it is told as well."""
    site, day = GOOD[: GOOD.index("heads:")], GOOD[GOOD.index("heads:") :]
    (tmp_path / "site.yaml").write_text(site, encoding="utf-8")
    (fault,) = faults_of(tmp_path, f"{key}: site.yaml\n{day}")
    assert (fault.line, fault.key) == (1, key)
    assert fault.remedy == "did you mean use?"


@pytest.mark.parametrize("at", ["circuits:\n", "rooms:\n", "  - id: SU2\n"])
def test_two_versions_merged_into_one_file_are_told_as_that(at: str, tmp_path: Path) -> None:
    """The marks of whatever merged them are no slip of a colon."""
    marked = f"<<<<<<< mine\n{at}=======\n{at}>>>>>>> theirs\n"
    (fault,) = faults_of(tmp_path, GOOD.replace(at, marked, 1))
    assert fault.line == GOOD[: GOOD.index(at)].count("\n") + 1
    assert "two versions" in fault.problem


def test_an_entry_given_twice_makes_no_other_unknown(tmp_path: Path) -> None:
    """The second may have been meant to be the one that others name."""
    (fault,) = faults_of(tmp_path, GOOD.replace("  O2: {", "  O1: {"))
    assert (fault.line, fault.key) == (13, "outlets.O1")


def test_an_entry_that_nothing_names_is_the_one_misspelt(tmp_path: Path) -> None:
    """Three lines agree on a room; the slip is where it is listed."""
    (fault,) = faults_of(tmp_path, GOOD.replace("lounge: {use", "lonuge: {use"))
    assert (fault.line, fault.key) == (9, "rooms.lonuge")
    assert fault.remedy == "did you mean lounge? That is named on lines 12, 15, 16, 21"


def test_a_room_misspelt_where_its_outlet_is_has_outlets(tmp_path: Path) -> None:
    """The kettle's room is not called empty because the outlet's line has a slip."""
    (fault,) = faults_of(
        tmp_path, GOOD.replace("{room: kitchen, circuit", "{room: kitchne, circuit")
    )
    assert fault.key == "outlets.O2.room"


def test_sections_as_lists_and_set_ups_as_a_group_are_read_on(tmp_path: Path) -> None:
    """Each is one fault, and a slip further down is told as well."""
    text = GOOD.replace("  P1: {", "  - {id: P1, ").replace("  P2: {", "  - {id: P2, ")
    text = text.replace("  - id: SU1\n  ", "  SU1:\n  ").replace("  - id: SU2\n", "  SU2:\n")
    text = text.replace("soft: window}", "soft: windwo}")
    faults = faults_of(tmp_path, text)
    assert [f.key for f in faults] == ["circuits", "setups", "setups.SU2.heads.soft"]
    assert faults[0].remedy == "start each with its name, without a `-`: `P1: {...}`"
    assert faults[1].remedy == "start each entry with a `-`, such as `- {id: ...}`"


def test_what_stands_behind_an_anchor_is_read_on(tmp_path: Path) -> None:
    """The keys of `<<` count, so that only the sign is a fault; an alias alone is none."""
    text = GOOD.replace("  P1: {", "  P1: &way {")
    assert (
        faults_of(tmp_path, text.replace("  P2: {label: POWER BACK, breaker_a: 20}", "  P2: *way"))
        == ()
    )
    merged = text.replace("{label: POWER BACK, breaker_a: 20}", "{<<: *way, label: POWER BACK}")
    (fault,) = faults_of(tmp_path, merged)
    assert (fault.line, fault.problem) == (7, "the key `<<` is not read here")


@pytest.mark.parametrize("name", ["P1 [old]", "P1 {old}", "old [1"])
def test_an_id_with_brackets_is_an_id(name: str, tmp_path: Path) -> None:
    """Only a bracket that closes at the end of its line has run into its key."""
    text = GOOD.replace("  P1: {", f"  {name}: {{").replace("circuit: P1", f'circuit: "{name}"')
    assert faults_of(tmp_path, text) == ()


@pytest.mark.parametrize("window", [("20:00", "6:00"), ("18:00", "10:00"), ("0:00", "24:00")])
def test_a_night_is_no_slip(window: tuple[str, str], tmp_path: Path) -> None:
    """A set-up may pass midnight, or last a whole day."""
    start, end = window
    text = GOOD.replace('"9:00"', f'"{start}"').replace('"12:00"', f'"{end}"')
    assert faults_of(tmp_path, text) == ()
