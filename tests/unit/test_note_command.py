"""The note command: append, strike, list, merge, a log cut off anywhere, two writers, bad input."""

import subprocess
import sys
import threading
from pathlib import Path

import pytest
import yaml
from typer.testing import CliRunner, Result

from builders import circuit, circuits, outlet, setup, small_data
from spreadload.cli import cli
from spreadload.io.job_file import load_job
from spreadload.io.log_file import append_to_log, log_path, read_log
from spreadload.job.observations import Observation, Seen

_TOLD = "breaker P1 off: dark O1, lit O2"


@pytest.fixture
def house(tmp_path: Path) -> Path:
    """Return a job folder of three outlets on circuits that nobody knows."""
    data = small_data(
        circuits=circuits(P2=10.0, P3=10.0) | {"P1": circuit(10.0, rcd="RCD1")},
        outlets={f"O{n}": outlet(None, "lounge") for n in (1, 2, 3)},
        rcds={"RCD1": {}},
        setups=[setup(lamp="lounge")],
    )
    (tmp_path / "job.yaml").write_text(yaml.safe_dump(data, sort_keys=False), encoding="utf-8")
    return tmp_path


def note(house: Path, *words: str) -> Result:
    """Run the command and return what it printed."""
    return CliRunner().invoke(cli, ["note", str(house), *words], prog_name="spreadload")


def test_a_note_is_written_and_says_what_it_taught(house: Path) -> None:
    """One line in the log, the circuit found, and what it rules out."""
    told = note(house, _TOLD)
    assert told.exit_code == 0
    assert "O1 on P1" in told.stdout
    assert (house / "log.yaml").read_text(encoding="utf-8").count("\n") == 2


def test_the_list_shows_each_entry_with_what_it_taught(house: Path) -> None:
    """Struck entries stay in the list and teach nothing any more."""
    note(house, _TOLD)
    note(house, "trip P2: dark O2")
    note(house, "--strike", "1")
    lines = note(house, "--list").stdout
    assert "[struck out]" in lines
    assert "O2 on P2" in lines
    assert "O1 on P1" not in lines


def test_striking_says_what_was_struck(house: Path) -> None:
    """The number and the words of the entry, by its number or by its key."""
    note(house, "trip P2: dark O2")
    note(house, _TOLD)
    told = note(house, "--strike", "2").stdout
    assert told.startswith("Struck out 2: breaker off P1: dark O1, lit O2")


def test_striking_what_is_not_there_is_one_clear_fault(house: Path) -> None:
    """The entries that could be struck are offered."""
    note(house, _TOLD)
    told = note(house, "--strike", "7")
    assert told.exit_code == 2
    assert "the log has 1" in told.stderr


@pytest.mark.parametrize("words", [(), ("",), ("--list", "--strike", "1"), (_TOLD, "--list")])
def test_nothing_or_two_things_at_once_is_bad_input(house: Path, words: tuple[str, ...]) -> None:
    """Nobody is told that the program is at fault when a word was left out."""
    told = note(house, *words)
    assert told.exit_code == 2
    assert "say what was seen, or one of --list, --strike, --merge" in told.stderr
    assert not (house / "log.yaml").exists()


@pytest.mark.parametrize(
    ("entry", "said"),
    [
        ("{what: trip, circuits: [P9], dark: [O1]}", "hint: the job has P"),
        ("{what: held, circuits: [P1]}", "add loads_a: {outlet: amps}"),
        ("{what: breaker off, circuits: [P1]}", "add dark: [...] and still_on: [...]"),
        ("{what: rcd, dark: [O1]}", "add rcd: ..."),
        ("{what: trip, circuits: [P1], dark: [O1], still_on: [O1]}", "take O1 out of one"),
        (
            "{what: load step, loaded: O1, read: O1, idle_v: 228, loaded_v: 230, supply_drop_v: 1}",
            "swap idle_v and loaded_v",
        ),
    ],
)
def test_what_an_entry_cannot_mean_comes_with_a_remedy(house: Path, entry: str, said: str) -> None:
    """Each on its line, with what to write."""
    (house / "log.yaml").write_text(f"observations:\n  - {entry}\n", encoding="utf-8")
    told = CliRunner().invoke(cli, ["board", str(house)])
    assert told.exit_code == 2
    assert "log.yaml:2: observations[1]" in told.stderr
    assert said in told.stderr


def test_slips_of_a_log_come_in_one_pass(house: Path) -> None:
    """A misspelt key hides no unknown name, on its own line or another."""
    log = (
        "observation:\n"
        "  - {what: tripped, circuits: P1, dark: [O11]}\n"
        "  - {what: trip, cirucits: [P22], dark: [O2]}\n"
    )
    (house / "log.yaml").write_text(log, encoding="utf-8")
    told = CliRunner().invoke(cli, ["board", str(house)]).stderr
    keys = [
        "observation:",
        "[1].what:",
        "[1].circuits:",
        "[1].dark[1]:",
        "[2].cirucits:",
        "[2].circuits[1]:",
    ]
    assert told.count("error:") == len(keys)
    assert all(key in told for key in keys)


@pytest.mark.parametrize(
    ("words", "problem", "remedy"),
    [
        ("braker P1 off: dark O1", "not clear (is braker)", "did you mean breaker?"),
        ("breaker P1 of: dark O1", "not clear (is of)", "did you mean off?"),
        ("tripp P1: dark O1", "not clear (is tripp)", "did you mean trip?"),
        ("breaker P1 off dark O1", "a colon is missing before dark", "write it like"),
        ("breaker \N{CYRILLIC CAPITAL LETTER ER}1 off: dark O1", "no such circuit", "CYRILLIC"),
    ],
)
def test_a_misspelt_word_of_a_note_is_told_as_that(
    house: Path, words: str, problem: str, remedy: str
) -> None:
    """Not as a circuit that the job does not have."""
    told = note(house, words)
    assert told.exit_code == 2
    assert told.stderr.count("error:") == 1
    assert problem in told.stderr
    assert remedy in told.stderr
    assert not (house / "log.yaml").exists()


def test_a_strike_that_strikes_nothing_is_told(house: Path) -> None:
    """Somebody wrote the number of the entry by hand: the entry still counts."""
    note(house, _TOLD)
    with (house / "log.yaml").open("a", encoding="utf-8") as log:
        log.write("  - {what: strike, strikes: 1}\n")
    told = note(house, "--list")
    assert "log.yaml:3: strikes out no entry of this log (is 1)" in told.stderr
    assert "[struck out]" not in told.stdout


def test_a_house_without_rcds_says_so(house: Path) -> None:
    """No list of names is left blank."""
    plain = small_data(outlets={"O1": outlet(None, "lounge")})
    (house / "job.yaml").write_text(yaml.safe_dump(plain, sort_keys=False), encoding="utf-8")
    assert "the job has none" in note(house, "rcd RCD1: dark O1").stderr


def test_a_contradiction_is_not_written_and_names_the_smallest_set_and_the_repeat(
    house: Path,
) -> None:
    """Two entries clash, a third has no part in it; the cheaper of the two is proposed."""
    note(house, _TOLD)
    note(house, "breaker P3 off: lit O3")
    told = note(house, "breaker P2 off: dark O1")
    assert told.exit_code == 1
    assert "log entry 1" in told.stdout
    assert "log entry 2" not in told.stdout
    assert "Cheapest to repeat" in told.stdout
    assert "lamp in O1" in " ".join(told.stdout.split())
    kept = note(house, "breaker P2 off: dark O1", "--keep")
    assert kept.exit_code == 0
    assert "set aside" in kept.stdout
    assert note(house, "--strike", "3").exit_code == 0
    assert "O1 on P1" in note(house, "--list").stdout


def test_two_logs_are_merged_once(house: Path, tmp_path: Path) -> None:
    """What the other phone has is added; a second merge adds nothing."""
    other = tmp_path / "other.yaml"
    note(house, _TOLD, "--when", "10:00")
    other.write_bytes((house / "log.yaml").read_bytes())
    job = load_job(house)
    append_to_log(other, Observation(what=Seen.TRIP, circuits=("P2",), dark=("O2",)))
    assert "O2" in note(house, "--merge", str(other)).stdout
    assert "Nothing new" in note(house, "--merge", str(other)).stdout
    assert len(read_log(house / "log.yaml", job).log.numbered) == 2


def test_a_log_cut_off_at_any_byte_loses_at_most_its_last_line(house: Path) -> None:
    """A kill at any moment: every finished line stands, and the next note goes on from there."""
    path, job = house / "log.yaml", load_job(house)
    note(house, _TOLD)
    note(house, "trip P2: dark O2", "--who", "Zoë")
    whole = path.read_bytes()
    first = whole.index(b"\n", whole.index(b"\n") + 1) + 1
    for end in range(first, len(whole)):
        path.write_bytes(whole[:end])
        found = read_log(path, job).log.numbered
        assert found[0][1].circuits == ("P1",)
        assert len(found) in (1, 2)
    path.write_bytes(whole[: first + 20])
    assert note(house, "trip P3: dark O3").exit_code == 0
    assert len(read_log(path, job).log.numbered) == 2


def test_two_writers_lose_nothing(house: Path) -> None:
    """Two people noting at once: every entry of both is a line of its own."""
    path, job = house / "log.yaml", load_job(house)
    note(house, _TOLD)

    def write(who: str) -> None:
        for n in range(20):
            seen = Observation(what=Seen.TRIP, circuits=("P2",), dark=("O2",), who=who, when=str(n))
            append_to_log(path, seen)

    writers = [threading.Thread(target=write, args=(who,)) for who in ("A", "B")]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    assert len(read_log(path, job).log.numbered) == 41


def test_first_notes_of_two_processes_are_both_kept(house: Path) -> None:
    """There is no log yet, and two programs make it at the same moment."""
    line = (
        "from pathlib import Path; from spreadload.io.log_file import append_to_log;"
        "from spreadload.job.observations import Observation, Seen; import sys;"
        "append_to_log(Path(sys.argv[1]), Observation(what=Seen.TRIP, circuits=('P2',),"
        " dark=('O2',), who=sys.argv[2]))"
    )
    path = house / "log.yaml"
    runs = [subprocess.Popen([sys.executable, "-c", line, str(path), who]) for who in "ABCD"]
    assert [run.wait() for run in runs] == [0, 0, 0, 0]
    assert len(read_log(path, load_job(house)).log.numbered) == 4


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("braker P1 of: dark O1",), "not clear"),
        (("breaker P9 off: dark O1 O77",), "O77"),
        (("breaker P1 off: dark O1, lit O1",), "cannot be both"),
        (("breaker P1 off",), "no outlet is named"),
        (("breaker P1 off: O1",), "say which it was first"),
    ],
)
def test_what_cannot_be_read_is_told_and_nothing_written(
    house: Path, words: tuple[str, ...], says: str
) -> None:
    """Bad input is a fault with a remedy, and the log stays as it was."""
    told = note(house, *words)
    assert told.exit_code == 2
    assert says in told.stderr
    assert not (house / "log.yaml").exists()


def test_a_trip_without_a_look_round_may_be_noted(house: Path) -> None:
    """That something tripped matters for the second time, whatever was dark."""
    assert note(house, "trip P2").exit_code == 0
    assert note(house, "RCD1 tripped: dark O1").exit_code == 0
    entries = read_log(house / "log.yaml", load_job(house)).log.numbered
    assert [o.what for _, o in entries] == [Seen.TRIP, Seen.RCD]
    assert entries[1][1].how == "tripped"


def test_jobs_of_one_folder_do_not_share_a_log(house: Path) -> None:
    """What is noted of one house names outlets that the next file does not have."""
    terrace = house / "terrace.yaml"
    terrace.write_text((house / "job.yaml").read_text(encoding="utf-8"), encoding="utf-8")
    assert log_path(terrace) == house / "terrace.log.yaml"
    assert log_path(house) == log_path(house / "job.yaml") == house / "log.yaml"
    log_path(house).write_text("- {circuits: [NOWHERE], dark: [NOTHING]}\n", encoding="utf-8")
    assert read_log(log_path(terrace), load_job(terrace)).log.numbered == ()


@pytest.mark.parametrize("key", ["89e44123", "12345678", "1e5", "0x1F", "null", "2026-11-28"])
def test_a_text_that_looks_like_a_number_is_read_back(key: str, house: Path) -> None:
    """The key of a struck entry is any eight of 0 to f: 89e44123 is a number too large for any."""
    path = log_path(house)
    append_to_log(path, Observation(what=Seen.STRIKE, strikes=key))
    (line,) = path.read_text(encoding="utf-8").splitlines()[1:]
    assert yaml.safe_load(line)[0]["strikes"] == key
    (read,) = read_log(path, load_job(house)).log.observations
    assert read.strikes == key


@pytest.mark.parametrize(
    ("words", "loads_a", "hours"),
    [
        ("held P2 3h: O1 6.5 O2 3.3A", {"O1": 6.5, "O2": 3.3}, 3.0),
        ("held P2 90 min: O1, O3 4 a", {"O1": 4.0, "O3": 4.0}, 1.5),
        ("held P2: O1 6,5; O2 3,3", {"O1": 6.5, "O2": 3.3}, None),
    ],
)
def test_what_held_is_written_down_with_its_amps(
    words: str, loads_a: dict[str, float], hours: float | None, house: Path
) -> None:
    """Each outlet with the amps behind its name, whole or decimal, with a point or a comma."""
    assert note(house, words).exit_code == 0
    (entry,) = read_log(log_path(house), load_job(house)).log.observations
    assert (entry.what, entry.circuits) == (Seen.HELD, ("P2",))
    assert (dict(entry.loads_a), entry.hours) == (loads_a, hours)


@pytest.mark.parametrize("words", ["held P2: O1", "held P2", "held: O1 6", "step 8 A at O1"])
def test_what_lacks_its_figures_is_not_written_down(words: str, house: Path) -> None:
    """A load without amps, a breaker or volts teaches nothing; the fault says how to write it."""
    told = note(house, words)
    assert told.exit_code == 2
    assert "error: " in told.stderr
    assert not log_path(house).exists()


def test_a_load_step_is_written_down_with_its_volts(house: Path) -> None:
    """Where the load was, where the volts were read, and what the supply itself gave up."""
    assert note(house, "step 8.7 A at O1, read O2: 238 to 230.5, supply 5.5").exit_code == 0
    (entry,) = read_log(log_path(house), load_job(house)).log.observations
    assert (entry.what, entry.loaded, entry.read) == (Seen.LOAD_STEP, "O1", "O2")
    assert (entry.idle_v, entry.loaded_v, entry.supply_drop_v) == (238, 230.5, 5.5)


@pytest.mark.parametrize(
    ("seen", "said"), [(["O1"], "1 entry was there"), (["O1", "O2"], "2 entries were there")]
)
def test_another_phone_log_taken_up_twice_adds_nothing(
    house: Path, seen: list[str], said: str
) -> None:
    """The same lines from the same phone are the same sightings."""
    theirs = house / "theirs.yaml"
    line = "- {{what: breaker off, circuits: [P1], dark: [{}], when: '2026-03-01 09:00'}}\n"
    lines = [line.format(o) for o in seen]
    theirs.write_text("observations:\n" + "".join(lines), encoding="utf-8")
    assert note(house, "--merge", str(theirs)).exit_code == 0
    again = note(house, "--merge", str(theirs))
    assert again.stdout == f"Nothing new: {said} already\n"
