"""A job file or folder becomes a checked job, or every fault with its line in one pass."""

from pathlib import Path

import pytest

from spreadload.errors import Fault, InputError
from spreadload.io.job_file import load_job

GOOD = """\
region: NZ
circuits:
  P1: {label: PLUGS, breaker_a: 20}
rooms:
  lounge:
outlets:
  O1: {room: lounge, circuit: P1, sockets: 2}
heads:
  lamp: {kind: tungsten, plate_w: 650}
setups:
  - id: SU1
    heads: {lamp: lounge}
"""


def written(folder: Path, text: str, name: str = "job.yaml") -> Path:
    """Return the path of a new file with this text."""
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def faults_of(folder: Path, text: str) -> tuple[Fault, ...]:
    """Return what is said of a job file with this text."""
    with pytest.raises(InputError) as caught:
        load_job(written(folder, text))
    return caught.value.faults


def test_a_folder_stands_for_the_job_file_in_it(tmp_path: Path) -> None:
    """The folder and the file give the same job."""
    path = written(tmp_path, GOOD)
    assert load_job(tmp_path) == load_job(path)
    assert load_job(path).heads["lamp"].plate_w == 650.0


def test_a_folder_without_a_job_is_one_fault(tmp_path: Path) -> None:
    """The file that was looked for is named."""
    with pytest.raises(InputError) as caught:
        load_job(tmp_path)
    assert len(caught.value.faults) == 1
    assert caught.value.faults[0].file.endswith("job.yaml")
    (tmp_path / "terrace.yaml").write_text("region: UK", encoding="utf-8")
    (tmp_path / "notes.txt").write_text("call the owner", encoding="utf-8")
    with pytest.raises(InputError) as caught:
        load_job(tmp_path)
    assert caught.value.faults[0].remedy == "the folder has terrace.yaml"


def test_an_unknown_name_comes_with_its_line(tmp_path: Path) -> None:
    """The line of the slip, its key as people read it, and a guess."""
    (fault,) = faults_of(tmp_path, GOOD.replace("lamp: lounge", "lamp: lounj"))
    assert (fault.line, fault.key) == (12, "setups.SU1.heads.lamp")
    assert fault.value == "lounj"
    assert fault.remedy == "did you mean lounge?"


def test_a_fault_in_a_pulled_in_file_names_that_file(tmp_path: Path) -> None:
    """The site file is where the outlet names a circuit that is not there."""
    site = GOOD[: GOOD.index("heads:")].replace("circuit: P1", "circuit: P7")
    written(tmp_path, site, "site.yaml")
    (fault,) = faults_of(tmp_path, "use: site.yaml\n" + GOOD[GOOD.index("heads:") :])
    assert fault.file.endswith("site.yaml")
    assert fault.line == 7


def test_an_entry_that_was_left_out_is_one_fault_wherever_it_is_named(tmp_path: Path) -> None:
    """A room nobody listed is told once, with how to write it and the other lines that name it."""
    text = GOOD.replace("  lounge:\n", "  kitchen:\n").replace("lamp: lounge", "lamp: [lounge, O1]")
    text = text.replace("sockets: 2}", "sockets: 2}\n  O2: {room: lounge}")
    (fault,) = faults_of(tmp_path, text.replace("plate_w: 650", "plate_w: 650, count: 2"))
    assert (fault.line, fault.key, fault.value) == (7, "outlets.O1.room", "lounge")
    assert "such as `lounge: {use: living}`" in fault.remedy
    assert fault.remedy.endswith("it is named on lines 8, 13 too")
    many = "".join(f"\n  Q{number}: {{room: lounge}}" for number in range(12))
    text = text.replace("\n  O2: {room: lounge}", many).replace("[lounge, O1]", "O1")
    (fault,) = faults_of(tmp_path, text)
    assert fault.remedy.endswith("it is named on lines 8, 9, 10, 11, 12, 13, 14, 15 and 4 more too")


def test_a_mistyped_name_is_a_fault_on_each_line(tmp_path: Path) -> None:
    """Each line with a slip has to be corrected, so each is told."""
    text = GOOD.replace("room: lounge", "room: loung").replace("lamp: lounge", "lamp: loung")
    assert [fault.line for fault in faults_of(tmp_path, text)] == [7, 12]


def test_format_and_names_are_reported_together(tmp_path: Path) -> None:
    """A wrong number in one corner does not hide an unknown name in another."""
    text = GOOD.replace("breaker_a: 20", "breaker_a: lots").replace("room: lounge", "room: loung")
    found = faults_of(tmp_path, text)
    assert [(f.line, f.key) for f in found] == [
        (3, "circuits.P1.breaker_a"),
        (7, "outlets.O1.room"),
    ]


def test_what_a_refused_entry_would_have_named_is_not_missed(tmp_path: Path) -> None:
    """One stray word is one fault: the head that becomes unreadable is not unknown as well."""
    text = GOOD.replace("lamp: {kind: tungsten, plate_w: 650}", "lamp: a big one")
    (fault,) = faults_of(tmp_path, text)
    assert fault.line == 9


def test_a_mistyped_group_is_one_fault(tmp_path: Path) -> None:
    """Everything under ``romes`` is not called unknown on top of the misspelling."""
    (fault,) = faults_of(tmp_path, GOOD.replace("rooms:", "romes:"))
    assert fault.line == 4
    assert fault.remedy.startswith("did you mean rooms")


def test_a_site_that_cannot_be_read_hides_no_names(tmp_path: Path) -> None:
    """Names that may stand in the missing file are not called unknown."""
    found = faults_of(tmp_path, "use: gone.yaml\n" + GOOD[GOOD.index("heads:") :])
    assert [fault.key for fault in found] == ["use"]


def test_sense_is_checked_with_the_tables_of_the_program(tmp_path: Path) -> None:
    """A gauge, a plug and a region outside the tables are faults, not crashes later."""
    leads = "leads:\n  - {length_ft: 25, size_awg: 13, plug: nz-10}\n"
    found = faults_of(tmp_path, GOOD.replace("region: NZ", "region: Narnia") + leads)
    assert [fault.key for fault in found] == ["region", "leads[1].plug", "leads[1].size_awg"]


def test_sense_is_checked_beside_other_faults(tmp_path: Path) -> None:
    """A load without a figure and a set-up named twice are told beside a misspelt key."""
    text = GOOD.replace("breaker_a: 20", "braker_a: 20")
    text = text.replace("heads:\n", "heads:\n  bare: {kind: led}\n", 1)
    text += "  - id: SU1\n"
    keys = [fault.key for fault in faults_of(tmp_path, text)]
    assert keys == ["circuits.P1.braker_a", "heads.bare", "setups.SU1.id"]


def test_no_fault_is_made_up_where_a_line_was_refused(tmp_path: Path) -> None:
    """Two of one are not called too many when it is the count that is misspelt."""
    text = GOOD.replace("plate_w: 650}", "plate_w: 650, cuont: 3}")
    text = text.replace("{lamp: lounge}", "{lamp: [lounge, O1]}")
    assert [fault.key for fault in faults_of(tmp_path, text)] == ["heads.lamp.cuont"]


def test_a_count_without_a_place_is_explained(tmp_path: Path) -> None:
    """A bare number is no misspelt place."""
    (fault,) = faults_of(tmp_path, GOOD.replace("lamp: lounge", "lamp: 4"))
    assert "{place: 4}" in fault.remedy


def test_counts_within_a_list_are_explained(tmp_path: Path) -> None:
    """Names and counts mixed in one list: the remedy shows the group that holds both."""
    text = GOOD + "    on: [{kettle: 2}]\n"
    faults = faults_of(tmp_path, text)
    assert "{first: 1, second: 2}" in faults[0].remedy


def test_a_bad_position_hides_no_unknown_name(tmp_path: Path) -> None:
    """One number of a position is refused; the circuit that does not exist is told as well."""
    path = tmp_path / "job.yaml"
    path.write_text(
        "region: AU\n"
        "circuits: {P1: {breaker_a: 20, feeds: outlets}}\n"
        "outlets:\n"
        "  O1: {at: [0, x], circuit: P1}\n"
        "  O2: {circuit: P7}\n"
        "setups: [{id: A}]\n",
        encoding="utf-8",
    )
    with pytest.raises(InputError) as refused:
        load_job(path)
    told = {fault.key: fault.line for fault in refused.value.faults}
    assert told == {"outlets.O1.at[2]": 4, "outlets.O2.circuit": 5}


def test_a_set_up_without_an_id_hides_no_unknown_name(tmp_path: Path) -> None:
    """Names before, behind and inside it are told at once, each on its own line."""
    text = (
        GOOD.replace("circuit: P1", "circuit: P9")
        .replace("id: SU1", "name: wide")
        .replace("{lamp: lounge}", "{lamp: lonuge}")
    )
    text += "  - {id: SU2, heads: {lmap: lounge}}\n"
    faults = faults_of(tmp_path, text)
    assert [(f.line, f.key, f.value) for f in faults] == [
        (7, "outlets.O1.circuit", "P9"),
        (11, "setups[1].id", ""),
        (12, "setups[1].heads.lamp", "lonuge"),
        (13, "setups.SU2.heads.lmap", "lmap"),
    ]


@pytest.mark.parametrize("entry", ["just words", "[a, b]", "12", "{id: [7]}"])
def test_an_entry_of_a_list_that_is_none_hides_no_unknown_name(entry: str, tmp_path: Path) -> None:
    """The lines of those behind it stay what they are."""
    text = GOOD.replace("circuit: P1", "circuit: P9").replace("setups:", f"setups:\n  - {entry}")
    faults = faults_of(tmp_path, text)
    assert {f.line for f in faults} == {7, 11}
    assert "P9" in {f.value for f in faults}


def test_what_a_nameless_set_up_may_be_called_is_not_made_up(tmp_path: Path) -> None:
    """Another may change places with it by the very name it lacks."""
    text = GOOD.replace("- id: SU1", "- name: SU1")
    text += "  - {id: SU2, heads: {lamp: lounge}, may_swap_with: [SU1]}\n"
    assert [f.key for f in faults_of(tmp_path, text)] == ["setups[1].id"]


@pytest.mark.parametrize(
    ("made", "what"),
    [("spreadload plan", "a plan that was kept"), ("spreadload plan answer", "an answer")],
)
def test_a_file_of_ours_that_is_no_job_is_one_clear_fault(
    made: str, what: str, tmp_path: Path
) -> None:
    """A plan where the job belongs says so and where the plan goes, once."""
    (fault,) = faults_of(tmp_path, f'{{"format": "{made}", "version": 1, "plan": {{}}}}')
    assert fault.problem.startswith(f"this is {what}")
    assert "--plan" in fault.remedy
