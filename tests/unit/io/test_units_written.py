"""A number with a unit behind it is turned into the unit of its key, never just stripped of it."""

from pathlib import Path

import pytest

from spreadload.errors import Fault, InputError
from spreadload.io.job_file import load_job
from spreadload.io.numbers_written import number_meant


def faults(folder: Path, *lines: str) -> list[Fault]:
    """Return what is wrong with a job of some heads, the lamp on line 4."""
    path = folder / "job.yaml"
    head = ("region: UK", "circuits: {P1: {breaker_a: 32, feeds: outlets}}", "heads:")
    day = ("outlets: {O1: {circuit: P1}}", "setups: [{id: A, heads: {lamp: O1}}]")
    path.write_text("\n".join((*head, *lines, *day)) + "\n", encoding="utf-8")
    with pytest.raises(InputError) as refused:
        load_job(path)
    return list(refused.value.faults)


@pytest.mark.parametrize(
    ("text", "key", "remedy"),
    [
        ("2kW", "plate_w", "this key is in W: write 2000"),
        ("1.35 kW", "plate_w", "this key is in W: write 1350"),
        ("2,4kVA", "plate_va", "this key is in VA: write 2400"),
        ("0.03A", "trips_at_ma", "this key is in mA: write 30"),
        ("50cm", "at", "this key is in m: write 0.5"),
        ("2h", "cool_down_min", "this key is in min: write 120"),
        ("3kVA", "plate_w", "this key is in W: kVA goes under plate_va, as 3000"),
        ("32A", "breaker_a", "write the number alone, without unit or quotes: 32"),
        ("1.5mm2", "size_mm2", "write the number alone, without unit or quotes: 1.5"),
        ("2O", "breaker_a", "write it in digits: 20; O is a letter"),
        ("l6", "breaker_a", "write it in digits: 16; l is a letter"),
        ("O.95", "power_factor", "write it in digits: 0.95; O is a letter"),
        ("1.200.000", "plate_w", "write 1200000"),
        ("1 450", "plate_w", "write the number alone, without unit or quotes: 1450"),
        ("1,450", "plate_w", "write 1450, or 1.450 if the comma is a decimal mark"),
        ("4 pcs", "count", "write the number alone, without unit or quotes: 4"),
        ("many", "count", ""),
    ],
)
def test_a_unit_is_reckoned_with(text: str, key: str, remedy: str) -> None:
    """Source: the prefixes of the SI; 60 minutes to the hour."""
    assert number_meant(text, key).remedy == remedy


@pytest.mark.parametrize("figure", ["measured_a: 1.250", "plate_w: 1450.5", "plate_w: 0.750"])
def test_three_decimals_are_three_decimals_elsewhere(figure: str, tmp_path: Path) -> None:
    """A clamp reads amps to the thousandth; only watts are never read so."""
    path = tmp_path / "job.yaml"
    path.write_text(
        "region: UK\ncircuits: {P1: {breaker_a: 32}}\noutlets: {O1: {circuit: P1}}\n"
        f"heads: {{lamp: {{{figure}}}}}\nsetups: [{{id: A, heads: {{lamp: O1}}}}]\n",
        encoding="utf-8",
    )
    lamp = load_job(path).heads["lamp"]
    assert (lamp.measured_a or lamp.plate_w) == float(figure.split(": ")[1])


def test_a_decimal_comma_in_braces_is_explained(tmp_path: Path) -> None:
    """YAML reads `cord_m: 2,5` in braces as 2 and a key 5."""
    (fault,) = faults(tmp_path, "  lamp: {plate_w: 300, cord_m: 2,5}")
    assert (fault.line, fault.key) == (4, "heads.lamp.5")
    assert "write a decimal point" in fault.remedy


def test_a_power_factor_in_per_cent_is_explained(tmp_path: Path) -> None:
    """95 is 0.95 written as per cent; 950 is neither."""
    (one,) = faults(tmp_path, "  lamp: {plate_w: 300, power_factor: 95}")
    assert one.remedy == "write 0.95 for 95 %"
    (other,) = faults(tmp_path, "  lamp: {plate_w: 300, power_factor: 950}")
    assert other.remedy == ""


def test_a_limit_is_written_out(tmp_path: Path) -> None:
    """Nobody on a set reads 1e+06."""
    (fault,) = faults(tmp_path, "  lamp: {plate_w: 2000000}")
    assert fault.limit == "at most 1000000 W"


def test_a_position_off_the_plan_of_any_house_is_refused(tmp_path: Path) -> None:
    """Millimetres for metres, or a slip of the keyboard: no lead goes two kilometres."""
    path = tmp_path / "job.yaml"
    path.write_text(
        "region: UK\ncircuits: {P1: {}}\noutlets: {O1: {circuit: P1, at: [5200, -1]}}\n"
        "setups: [{id: A}]\n",
        encoding="utf-8",
    )
    with pytest.raises(InputError) as refused:
        load_job(path)
    (fault,) = refused.value.faults
    assert (fault.key, fault.value, fault.limit) == ("outlets.O1.at[1]", "5200", "at most 2000 m")


@pytest.mark.parametrize(
    ("lines", "key", "remedy"),
    [
        ("leads: 4 x 10 m", "leads", "start each entry with a `-`, such as `- {length_m: ...}`"),
        (
            "rooms: [lounge, bed]",
            "rooms",
            "write each with a colon and what is said of it: `lounge: ...`",
        ),
        (
            "same_circuit: O1",
            "same_circuit",
            "write a list of lists, such as [[first, second]]",
        ),
        (
            "rules: {off: discharge apart}",
            "rules.off",
            "write [discharge apart], or [first, second] for several",
        ),
    ],
)
def test_a_section_of_the_wrong_shape_is_shown_the_right_one(
    tmp_path: Path, lines: str, key: str, remedy: str
) -> None:
    """The hint names a key of the section, or what was written, in the shape that is read."""
    told = {fault.key: fault.remedy for fault in faults(tmp_path, "  lamp: {plate_w: 9}", lines)}
    assert told == {key: remedy}


def test_set_ups_by_name_are_shown_as_a_list(tmp_path: Path) -> None:
    """Everything else in a job is by id, so people write the day that way too."""
    path = tmp_path / "job.yaml"
    path.write_text(
        "region: UK\ncircuits: {P1: {}}\nsetups:\n  SU1: {heads: {}}\n", encoding="utf-8"
    )
    with pytest.raises(InputError) as refused:
        load_job(path)
    (fault,) = refused.value.faults
    assert fault.remedy == "start each entry with a `-`, such as `- {id: ...}`"


@pytest.mark.parametrize(
    ("key", "remedy"),
    [
        ("plate_kw: 3", "write plate_w: 3000"),
        ("plate_kva: 1.2", "write plate_va: 1200"),
        ("measured_ma: 800", "write measured_a: 0.8"),
        ("cord_cm: 250", "write cord_m: 2.5"),
    ],
)
def test_a_key_in_another_unit_is_turned_into_the_one_there_is(
    tmp_path: Path, key: str, remedy: str
) -> None:
    """Whoever renames the key alone would plan an urn of 3 W."""
    (fault,) = [
        f for f in faults(tmp_path, f"  lamp: {{lamp_w: 10, {key}}}") if "unknown" in f.problem
    ]
    assert fault.remedy == remedy


@pytest.mark.parametrize(
    ("text", "key"),
    [("{what: soft, warm, plate_w: 300}", "warm"), ("{plate_w: 300, note: new,dim}", "dim")],
)
def test_a_single_word_behind_a_comma_is_known_for_text(
    tmp_path: Path, text: str, key: str
) -> None:
    """In braces `what: soft, warm` is read as two keys; one in a block may be a slip as well."""
    (fault,) = faults(tmp_path, f"  lamp: {text}")
    assert fault.key == f"heads.lamp.{key}"
    assert "put quotes around all of it" in fault.remedy
    assert "check the spelling" in fault.remedy
