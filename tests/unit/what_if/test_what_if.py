"""Variants side by side and drawn plans put right, through the library's face."""

from pathlib import Path

import pytest

from builders import amps, plan_of, put, setup, small_job
from spreadload import what_if
from spreadload.errors import ExitCode, InputError


def test_variants_are_planned_beside_the_job_itself() -> None:
    """Two heads of 7 A and one of 6 A do not fit on twice 10 A; without the 6 A head they do."""
    job = small_job(
        heads={"key": amps(7.0, count=2), "fill": amps(6.0)},
        setups=[setup(key=["lounge", "bed"], fill="bed")],
    )
    told = what_if.swap(job, ["no fill: fill off", "heads.fill.measured_a=5.5"])
    base, without, weaker = told.rows
    assert [row.name for row in told.rows] == [
        "as asked",
        "no fill",
        "heads.fill.measured_a=5.5",
    ]
    assert [row.verdict for row in told.rows] == ["cannot", "fits", "cannot"]
    assert without.tightest is not None
    assert without.tightest.used_pct == 70
    assert base.demand_a - without.demand_a == pytest.approx(6.0)
    assert weaker.plan is not None
    assert told.exit_code is ExitCode.HOLDS
    assert "buys it runs, 130 % to 70 % in SU1" in " ".join(told.text().split())
    assert [row["name"] for row in told.data()["variants"]] == [row.name for row in told.rows]


def test_a_variant_that_names_what_is_not_there_is_refused() -> None:
    """References are checked as they are in a file."""
    with pytest.raises(InputError, match="P9"):
        what_if.swap(small_job(), ["outlets.O1.circuit=P9"])


def test_variants_from_a_file(tmp_path: Path) -> None:
    """A name with one clause or a list of them; anything else is a fault with its line."""
    file = tmp_path / "variants.yaml"
    file.write_text("dark: lamp off\nboth: [lamp off, circuit P1 off limits]\n", encoding="utf-8")
    assert what_if.load_variants(file) == (
        "dark: lamp off",
        "both: lamp off; circuit P1 off limits",
    )
    file.write_text("dark: 3\n", encoding="utf-8")
    with pytest.raises(InputError) as refused:
        what_if.load_variants(file)
    assert refused.value.faults[0].line == 1


def test_a_drawn_plan_is_put_right_by_one_plug() -> None:
    """Three heads of 4 A drawn on one 10 A circuit: one of them moves, and no other."""
    job = small_job(
        heads={"lamp": amps(4.0, count=3)}, setups=[setup(lamp={"lounge": 3})], power_boards=[{}]
    )
    drawn = plan_of(
        put("lamp", "O1", unit=1, place="lounge", socket=1),
        put("lamp", "O1", unit=2, place="lounge", socket=2, board=0),
        put("lamp", "O1", unit=3, place="lounge", socket=2, board=0),
    )
    told = what_if.moves_of(job, drawn)
    assert told.found[0].moved == 1
    assert told.exit_code is ExitCode.BREAKS_A_LIMIT
    assert "SU1: 1 plug to move (no fewer would do)" in told.text()
    plan = told.found[0].plan
    assert plan is not None
    assert what_if.moves_of(job, plan).exit_code is ExitCode.HOLDS
