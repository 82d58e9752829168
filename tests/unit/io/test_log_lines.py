"""A log with a broken line: the commands of the day go on with the rest, others refuse."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builders import circuits, outlet, small_job
from spreadload.errors import InputError
from spreadload.io.log_file import read_log
from spreadload.io.log_lines import blocks
from spreadload.job.observations import UNREADABLE

JOB = small_job(
    circuits=circuits(P1=10.0, P2=10.0), outlets={"O1": outlet("P1"), "O2": outlet("P2")}
)
GOOD = [
    "  - {what: trip, circuits: [P1], dark: [O1], when: '10:00'}",
    "  - {what: breaker off, circuits: [P2], dark: [O2], still_on: [O1], when: '10:20'}",
    "  - {what: trip, circuits: [P2], when: '11:00'}",
]


def written(folder: Path, *lines: str) -> Path:
    """Write a log of these lines."""
    path = folder / "log.yaml"
    path.write_text("observations:\n" + "".join(f"{line}\n" for line in lines), encoding="utf-8")
    return path


@pytest.mark.parametrize(
    ("broken", "why"),
    [
        ("  - {what: trip, circuits: [P1, dark: [O1]}", "bracket"),
        ("  - {what: trip, circuits: [P9], dark: [O1]}", "no such circuit"),
        ("  - {what: tripped, circuits: [P1]}", "not one of"),
        ("  - {what: trip}", "needs `circuits`"),
        ("  - 'half a line", "quote"),
        ("asdf", "SET ASIDE"),
        ("  - what: trip\n    circuits: [P1]\n    drak: [O1]", "unknown key"),
    ],
)
def test_one_broken_line_is_set_aside_by_name_and_the_others_count(
    tmp_path: Path, broken: str, why: str
) -> None:
    """The warning names file and line; without urgency the whole log is refused."""
    path = written(tmp_path, GOOD[0], broken, *GOOD[1:])
    with pytest.raises(InputError):
        read_log(path, JOB)
    found = read_log(path, JOB, is_urgent=True)
    whole = read_log(written(tmp_path, *GOOD), JOB)
    assert [o for o in found.log.observations if o != UNREADABLE] == list(whole.log.observations)
    line = 3 if "drak" not in broken else 5
    assert [w for w in found.warnings if f"log.yaml:{line}: SET ASIDE" in w and why in w]


def test_many_broken_lines_do_not_bury_the_answer(tmp_path: Path) -> None:
    """Three are told each at its own line, with its key; the rest by number; the remedy once."""
    path = written(tmp_path, GOOD[0], "kind: trip", *["  - {what: trip, drak: [O1]}"] * 5)
    warnings = read_log(path, JOB, is_urgent=True).warnings
    assert [w.split(" SET ASIDE")[0] for w in warnings[:4]] == [
        f"{path}:3:", f"{path}:4:", f"{path}:5:", f"{path}:",
    ]  # fmt: skip
    assert "drak: unknown key" in warnings[1]
    assert warnings[3].endswith("SET ASIDE as well: lines 6, 7, 8")
    assert len(warnings) == 5
    assert sum("Mend the log" in w for w in warnings) == 1


def test_entries_after_a_broken_one_keep_their_numbers(tmp_path: Path) -> None:
    """“Struck out 3” must mean the same entry before and after the file is mended."""
    path = written(tmp_path, GOOD[0], "  - {what: tripped}", *GOOD[1:])
    found = read_log(path, JOB, is_urgent=True)
    assert [n for n, _ in found.settled.log.standing] == [1, 3, 4]


def test_a_log_that_is_no_text_is_set_aside_whole(tmp_path: Path) -> None:
    """Nothing of it counts, and the warning says so in capitals."""
    path = tmp_path / "log.yaml"
    path.write_bytes(b"observations:\n  - {what: \xff\xfe}\n")
    found = read_log(path, JOB, is_urgent=True)
    assert found.log.observations == ()
    assert "SET ASIDE" in found.warnings[0]


def test_a_log_without_faults_is_read_alike_in_a_hurry_or_not(tmp_path: Path) -> None:
    """Urgency changes nothing where nothing is wrong."""
    path = written(tmp_path, *GOOD)
    assert read_log(path, JOB, is_urgent=True) == read_log(path, JOB)


@given(st.lists(st.text(st.characters(codec="utf-8", exclude_characters="\r\x0b\x0c"))))
def test_blocks_lose_no_line_of_any_text(lines: list[str]) -> None:
    """Every line with something on it is in one block, once, but for heads and remarks."""
    text = "\n".join(lines)
    there = [
        line
        for line in text.splitlines()
        if line.strip() and line.strip() != "observations:" and not line.lstrip().startswith("#")
    ]
    held = [line for block in blocks(text) for line in block.text.splitlines() if line.strip()]
    assert set(held) == set(there)


@pytest.mark.parametrize("text", [" 0", "observations:\n      what: tripped\n"])
def test_a_line_further_in_than_any_entry_is_a_block_of_its_own(text: str) -> None:
    """It belongs to nothing, so it is set aside by its line instead of being lost in silence."""
    (block,) = blocks(text)
    assert block.text.strip() == text.splitlines()[-1].strip()
    assert not block.is_entry


def test_a_log_that_is_no_log_is_sent_to_its_first_line(tmp_path: Path) -> None:
    """A list of entries without their heading is the usual slip; a job's first line is no help."""
    path = tmp_path / "log.yaml"
    path.write_text("- {what: story, circuits: [P1], dark: [O1]}\n", encoding="utf-8")
    with pytest.raises(InputError) as refused:
        read_log(path, small_job())
    assert "`observations:`" in refused.value.faults[0].remedy
