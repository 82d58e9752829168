"""Everyday words for keys and countries: a guess that helps, never a silent reading."""

from pathlib import Path

import pytest

from spreadload.app.keys import find_region
from spreadload.errors import InputError
from spreadload.io.everyday import meant_keys, meant_words
from spreadload.io.job_file import load_job
from spreadload.io.shape import fields
from spreadload.job.kit import Head, Lead
from spreadload.job.site import Circuit

JOB = """\
{title}
region: {region}
circuits: {{P1: {{breaker_a: 16, feeds: outlets}}}}
outlets: {{O1: {{circuit: P9}}}}
heads: {{lamp: {{{lamp}}}}}
setups: [{{id: A, heads: {{lamp: O1}}}}]
"""


def remedies(folder: Path, **said: str) -> dict[str, str]:
    """Return the remedy for every key that is wrong."""
    path = folder / "job.yaml"
    filled = {"title": "title: x", "region": "AU", "lamp": "plate_w: 100"} | said
    path.write_text(JOB.format(**filled), encoding="utf-8")
    with pytest.raises(InputError) as refused:
        load_job(path)
    return {fault.key: fault.remedy for fault in refused.value.faults}


@pytest.mark.parametrize(
    ("word", "model", "key"),
    [
        ("watts", Head, "plate_w"),
        ("Amps", Head, "plate_a"),
        ("rating", Circuit, "breaker_a"),
        ("breaker", Circuit, "breaker_a"),
        ("qty", Head, "count"),
        ("length", Lead, "length_m"),
        ("how many", Lead, "count"),
    ],
)
def test_an_everyday_word_finds_its_key(word: str, model: type, key: str) -> None:
    """The same word may mean another key elsewhere."""
    assert meant_keys(word, fields(model)) == (key,)


def test_a_word_for_a_key_that_is_not_there_finds_nothing() -> None:
    """Leads have no watts; a word nobody uses means nothing."""
    assert meant_keys("watts", fields(Lead)) == ()
    assert meant_keys("colour", fields(Head)) == ()


def test_the_guess_is_a_remedy_and_not_a_reading(tmp_path: Path) -> None:
    """The file is refused, and says what to write instead."""
    assert remedies(tmp_path, lamp="watts: 100")["heads.lamp.watts"] == "did you mean plate_w?"


def test_a_stray_line_at_the_top_hides_no_other_fault(tmp_path: Path) -> None:
    """A misspelt title is told beside the circuit that is not on the board."""
    assert set(remedies(tmp_path, title="titel: x")) == {"titel", "outlets.O1.circuit"}


@pytest.mark.parametrize(
    ("country", "region"),
    [("Australia", "AU"), ("germany", "EU"), ("Britain", "UK"), ("USA", "US")],
)
def test_a_country_is_sent_to_its_region(tmp_path: Path, country: str, region: str) -> None:
    """In the file as a remedy; the command that shows a region takes it as it is."""
    assert remedies(tmp_path, region=country)["region"] == f"write region: {region}"
    assert find_region(country).region.id == region


def test_no_country_at_all_is_told_where_to_look(tmp_path: Path) -> None:
    """Nothing is guessed where nothing is meant."""
    assert "spreadload region" in remedies(tmp_path, region="Atlantis")["region"]


@pytest.mark.parametrize(
    ("lamp", "key", "meant"),
    [
        ("plate_w: 650, kind: Halogen", "heads.lamp.kind", "tungsten"),
        ("plate_w: 650, kind: metal halide", "heads.lamp.kind", "discharge"),
        ("plate_w: 650, kind: tungstun", "heads.lamp.kind", "tungsten"),
    ],
)
def test_an_everyday_word_of_a_short_list_is_known(
    tmp_path: Path, lamp: str, key: str, meant: str
) -> None:
    """What people call a kind of light (common practice, no source) is offered, not read."""
    assert remedies(tmp_path, lamp=lamp)[key] == f"did you mean {meant}?"


def test_no_word_is_offered_that_the_list_does_not_have() -> None:
    """A lounge is a living room among rooms, and nothing among kinds of load."""
    assert meant_words("lounge", ["living", "kitchen"]) == ("living",)
    assert meant_words("lounge", ["led", "tungsten"]) == ()


@pytest.mark.parametrize(
    ("plug", "remedy"),
    [
        ("13A", "did you mean uk-13?"),
        ("32 A blue", "did you mean cee-32?"),
        ("uk13", "did you mean uk-13?"),
        ("round one", "`spreadload region UK` lists them"),
    ],
)
def test_a_plug_written_as_its_amps_finds_the_one_usual_here(
    tmp_path: Path, plug: str, remedy: str
) -> None:
    """The ids of the region come first in what is allowed, and nobody can add one to a job."""
    lamp = f"plate_w: 100, plug: {plug}"
    assert remedies(tmp_path, region="UK", lamp=lamp)["heads.lamp.plug"] == remedy
