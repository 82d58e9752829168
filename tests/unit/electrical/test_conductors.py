"""Conductor sizes, resistances and temperatures."""

from itertools import pairwise

import pytest

from spreadload.electrical.conductors import (
    AWG,
    METRIC,
    Conductor,
    Strand,
    at_temperature,
    conductor,
    loop_impedance_ohm,
    loop_ohm,
    ohm_per_km,
)
from spreadload.errors import InputError


@pytest.mark.parametrize(
    ("written", "name"),
    [
        (1.5, "1.5 mm²"),
        ("1.5", "1.5 mm²"),
        ("1,5 mm²", "1.5 mm²"),
        ("2.5mm2", "2.5 mm²"),
        ("2.5 MM^2", "2.5 mm²"),
        ("3G1.5", "1.5 mm²"),
        ("3x2.5", "2.5 mm²"),
        ("12 AWG", "12 AWG"),
        ("awg 12", "12 AWG"),
        ("#12", "12 AWG"),
        ("#12 AWG", "12 AWG"),
        ("12awg", "12 AWG"),
        ("12/3", "12 AWG"),
        ("14 gauge", "14 AWG"),
        (4, "4 mm²"),
    ],
)
def test_a_size_is_read_as_people_write_it(written: str | float, name: str) -> None:
    """Common spellings of a size lead to one row."""
    assert conductor(written).name == name


@pytest.mark.parametrize("nonsense", ["", "fat", "24 AWG", "0.3", "900", "-1.5", "1.5 m", "nan"])
def test_nonsense_is_refused_with_the_limits(nonsense: str) -> None:
    """A text that is no size raises one fault that names what would be allowed."""
    with pytest.raises(InputError) as caught:
        conductor(nonsense)
    (fault,) = caught.value.faults
    assert "0.5 mm²" in fault.limit
    assert "AWG" in fault.limit


def test_an_unlisted_metric_size_is_never_better_than_its_area() -> None:
    """A size between two rows resists less than the smaller row and no less than scaling gives."""
    between = conductor(3.5)
    assert between.flexible_ohm_per_km == pytest.approx(7.98 * 2.5 / 3.5)
    assert between.source.endswith("derived")


def test_an_odd_gauge_counts_as_the_next_thinner() -> None:
    """17 AWG keeps its name and takes the copper of 18."""
    odd = conductor("17 AWG")
    assert odd.name == "17 AWG"
    assert odd.flexible_ohm_per_km == conductor("18 AWG").flexible_ohm_per_km
    assert odd.source.endswith("derived")


@pytest.mark.reference
@pytest.mark.parametrize("row", METRIC + AWG, ids=lambda row: row.name)
def test_every_row_is_copper_of_its_area(row: Conductor) -> None:
    """Resistance times area is 0.98 to 1.16 of copper's 17.241 Ω·mm²/km (IEC 60028)."""
    for strand in Strand:
        resistivity = ohm_per_km(row, temp_c=20, strand=strand) * row.area_mm2
        assert 0.98 <= resistivity / 17.241 <= 1.16


def test_resistance_falls_with_size() -> None:
    """In both series a larger conductor resists less, in both strands."""
    for rows in (METRIC, AWG):
        ordered = sorted(rows, key=lambda row: row.area_mm2)
        for small, large in pairwise(ordered):
            assert small.flexible_ohm_per_km > large.flexible_ohm_per_km
            assert small.fixed_ohm_per_km > large.fixed_ohm_per_km


def test_a_lead_is_counted_out_and_back_and_warm() -> None:
    """50 m of 1.5 mm² cord is 1.33 Ω at 20 °C (public forum figure) and more when working."""
    assert loop_ohm("1.5", 50, temp_c=20) == pytest.approx(1.33)
    assert loop_ohm("1.5", 50) == pytest.approx(1.33 * 294.5 / 254.5)


def test_gauge_rows_are_held_at_75_degrees() -> None:
    """12 AWG stranded is 6.50 Ω/km at 75 °C (NEC chapter 9 table 8) and about 82 % of it at 20."""
    assert ohm_per_km("12 AWG", temp_c=75) == pytest.approx(6.496, abs=0.005)
    share = ohm_per_km("12 AWG", temp_c=20) / ohm_per_km("12 AWG", temp_c=75)
    assert share == pytest.approx(0.822, abs=0.001)


@pytest.mark.reference
@pytest.mark.parametrize(
    ("degrees", "factor"),
    [(5, 1.064), (25, 0.980), (40, 0.926), (60, 0.862), (70, 0.833), (75, 0.820), (90, 0.781)],
)
def test_temperature_agrees_with_the_rounded_table(degrees: float, factor: float) -> None:
    """The exact form is within 0.5 % of IEC 60228's rounded factors (a cable maker's copy)."""
    assert at_temperature(1, degrees, 20) == pytest.approx(factor, rel=0.005)


@pytest.mark.reference
@pytest.mark.parametrize("size", ["1.5", "2.5", "4", "6", "10", "16", "25", "35", "50"])
def test_two_standards_agree_on_hot_copper(size: str) -> None:
    """IEC 60228 at 70 °C is within 4 % of the 0.0225 Ω·mm²/m of IEC 60364-5-52 annex G."""
    for strand in Strand:
        hot = ohm_per_km(size, temp_c=70, strand=strand)
        assert hot == pytest.approx(22.5 / float(size), rel=0.065 if strand == "flexible" else 0.04)


@pytest.mark.reference
@pytest.mark.parametrize(
    ("size", "table_mv"),
    [
        ("0.5", 93),
        ("0.75", 62),
        ("1", 46),
        ("1.25", 37),
        ("1.5", 32),
        ("2.5", 19),
        ("4", 12),
        ("6", 7.8),
        ("10", 4.6),
        ("16", 2.9),
    ],
)
def test_cord_drop_is_within_five_per_cent_of_the_table(size: str, table_mv: float) -> None:
    """Class 5 copper at 60 °C gives 95 to 100 % of BS 7671 tables 4F3B and 4F1B."""
    per_amp_metre = 1000 * loop_ohm(size, 1)
    assert 0.95 * table_mv <= per_amp_metre <= table_mv


def test_reactance_is_small_and_both_ways() -> None:
    """Go and return carry 0.08 Ω/km each."""
    impedance = loop_impedance_ohm(2.5, 100)
    assert impedance.imag == pytest.approx(0.016)
    assert impedance.real == pytest.approx(loop_ohm(2.5, 100))
