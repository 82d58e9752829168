"""Times of day as people write them come back as a job file wants them."""

from pathlib import Path

import pytest

from spreadload.errors import InputError
from spreadload.io.job_file import load_job
from spreadload.job.clock_words import clock_written


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("9", "9:00"),
        ("9am", "9:00"),
        ("9 a.m.", "9:00"),
        ("1pm", "13:00"),
        ("12am", "0:00"),
        ("12:30 PM", "12:30"),
        ("9.30", "9:30"),
        ("0730", "7:30"),
        ("19h05", "19:05"),
        ("8 Uhr", "8:00"),
        ("noon", "12:00"),
        ("midnight", "24:00"),
        ("13pm", ""),
        ("25", ""),
        ("9.75", ""),
        ("sunrise", ""),
        ("", ""),
    ],
)
def test_a_time_is_read_as_it_is_meant(written: str, meant: str) -> None:
    """Twelve hours with a.m. and p.m., 24 without (ISO 8601 has hours and minutes by a colon)."""
    assert clock_written(written) == meant


def test_a_job_says_what_to_write(tmp_path: Path) -> None:
    """The remedy is what goes into the file, and what is no time gets none."""
    path = tmp_path / "job.yaml"
    path.write_text(
        "region: UK\ncircuits: {P1: {}}\n"
        "setups: [{id: A, from: 9am, to: '13.30'}, {id: B, from: dawn, to: 1}]\n",
        encoding="utf-8",
    )
    with pytest.raises(InputError) as refused:
        load_job(path)
    remedies = {fault.key: fault.remedy for fault in refused.value.faults}
    assert remedies == {
        "setups.A.from": "write 9:00",
        "setups.A.to": "write 13:30",
        "setups.B.from": "",
        "setups.B.to": "write 1:00",
    }


def test_a_day_without_set_ups_is_told_how_one_begins(tmp_path: Path) -> None:
    """One entry is an entry, and the line it starts with is told."""
    path = tmp_path / "job.yaml"
    path.write_text("region: UK\ncircuits: {P1: {}}\nsetups: []\n", encoding="utf-8")
    with pytest.raises(InputError) as refused:
        load_job(path)
    (fault,) = refused.value.faults
    assert fault.limit == "at least 1 entry"
    assert fault.remedy == "add one that starts with a `-`, such as `- {id: ...}`"
