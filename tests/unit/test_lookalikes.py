"""Letters that look like others are named wherever a name, a key or a number is refused.

Names of signs: the Unicode Character Database, as in ``unicodedata``.
"""

# ruff: noqa: RUF001 - signs that look like others are what this is about
import unicodedata
from pathlib import Path

import pytest

from job_files import faults_of
from spreadload.io.job_file import load_job
from spreadload.lookalikes import odd_signs, plain_signs
from spreadload.suggest import suggest

ER, ES = "\N{CYRILLIC CAPITAL LETTER ER}", "\N{CYRILLIC SMALL LETTER ES}"
GOOD = """\
region: NZ
circuits:
  P1: {label: PLUGS, breaker_a: 16}
outlets:
  O1: {circuit: P1, sockets: 2}
heads:
  lamp: {kind: tungsten, plate_w: 650}
setups:
  - {id: SU1, from: "9:00", to: "12:00", heads: {lamp: O1}}
"""


@pytest.mark.parametrize(
    ("right", "wrong", "name", "remedy"),
    [
        ("circuit: P1", f"circuit: {ER}1", "CYRILLIC CAPITAL LETTER ER", "mean P1?"),
        ("  P1:", f"  {ER}1:", "CYRILLIC CAPITAL LETTER ER", f"mean {ER}1?"),
        ("circuits:", f"{ES}ircuits:", "CYRILLIC SMALL LETTER ES", "mean circuits?"),
        ("lamp: O1", "lamp: \N{GREEK CAPITAL LETTER OMICRON}1", "GREEK CAPITAL LETTER OMI", "O1?"),
        ("lamp: O1", "lamp: O\u200d1", "ZERO WIDTH JOINER", "mean O1?"),
        ("lamp: O1", "lamp: O1\N{IDEOGRAPHIC SPACE}", "IDEOGRAPHIC SPACE", "mean O1?"),
        ("lamp: O1", "lamp: O１", "FULLWIDTH DIGIT ONE", "mean O1?"),
        ("lamp: O1", "lamp: “O1”", "straight quotes", "mean O1?"),
        ("breaker_a: 16", "breaker_a: １６", "FULLWIDTH DIGIT ONE", "quotes: 16"),
        ("breaker_a: 16", "breaker_a: 16\N{CYRILLIC CAPITAL LETTER A}", "CYRILLIC", "quotes: 16"),
        ("breaker_a: 16", "breaker_a: 1\N{CYRILLIC CAPITAL LETTER O}", "CYRILLIC", ""),
        ("kind: tungsten", f"kind: tung{'ѕ'}ten", "CYRILLIC SMALL LETTER DZE", "mean tungsten?"),
        ('from: "9:00"', "from: 9\N{RATIO}00", "RATIO", "write 9:00"),
        ('from: "9:00"', "from: “9:00”", "straight quotes", "write 9:00"),
        ("sockets: 2", "sockets：2", "FULLWIDTH COLON", "write `sockets: 2`"),
    ],
)
def test_a_sign_that_is_not_what_it_looks_like_is_named(
    right: str, wrong: str, name: str, remedy: str, tmp_path: Path
) -> None:
    """One fault, with the sign by name, and what to write."""
    (fault,) = faults_of(tmp_path, GOOD.replace(right, wrong, 1))
    assert name in fault.remedy
    assert remedy in fault.remedy


@pytest.mark.parametrize("blank", ["\N{NO-BREAK SPACE}", "\u200b", "\ufeff", "\N{SOFT HYPHEN}"])
def test_what_nobody_sees_around_a_word_makes_no_other_word(blank: str, tmp_path: Path) -> None:
    """Hard blanks and marks of no width that came along when text was pasted are not read."""
    path = tmp_path / "job.yaml"
    text = GOOD.replace("circuit: P1", f"circuit: {blank}P1{blank}")
    path.write_text(text, encoding="utf-8")
    assert load_job(path).outlets["O1"].circuit == "P1"


def test_a_crew_that_writes_cyrillic_is_left_alone(tmp_path: Path) -> None:
    """Ids in any alphabet are ids, as long as each is written one way."""
    path = tmp_path / "job.yaml"
    path.write_text(GOOD.replace("P1", "Розетка").replace("O1", "Кухня"), encoding="utf-8")
    assert load_job(path).outlets["Кухня"].circuit == "Розетка"


def test_two_ids_that_look_the_same_are_refused(tmp_path: Path) -> None:
    """On paper nobody could tell the two circuits apart."""
    text = GOOD.replace("outlets:", f"  {ER}1: {{breaker_a: 20}}\noutlets:")
    (fault,) = faults_of(tmp_path, text)
    assert (fault.line, fault.key) == (4, f"circuits.{ER}1")
    assert "CYRILLIC CAPITAL LETTER ER" in fault.remedy


def test_what_looks_like_nothing_else_stays() -> None:
    """Accents, umlauts, ideograms and a micro sign are no look-alikes."""
    for text in ("Küche", "冷蔵庫", "café", "5 µA", "mm²", "№ 3", "Ж", "plain"):
        assert plain_signs(text) == text
        assert odd_signs(text) == ""


@pytest.mark.parametrize("sign", "АВЕКМНОРСТХаеорсухΑΒΕΖΗΙΚΜΝΟΡΤΥΧο")
def test_each_look_alike_of_the_two_alphabets_is_told_by_name(sign: str) -> None:
    """The name in the hint is the one of the Unicode tables."""
    assert plain_signs(sign).isascii()
    assert unicodedata.name(sign) in suggest(f"{sign}7", [f"{plain_signs(sign)}7"])
