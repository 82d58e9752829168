"""The table of how forecasts held, against the results it is taken from."""

import json
from pathlib import Path

import pytest

from spreadload.practice.forecasts import forecast_like, forecasts

RESULTS = Path(__file__).parents[3] / "benchmarks" / "results" / "simulated_houses.json"
FEW_PLANS = 100


def test_rows_are_those_of_the_results() -> None:
    """Every band with enough plans stands in the table, to the figure."""
    measured = json.loads(RESULTS.read_text(encoding="utf-8"))
    bands = [b for b in measured["calibration_of_ours"] if b["plans"] >= FEW_PLANS]
    shown = [(r.from_pct, r.to_pct, r.plans, r.failed_pct) for r in forecasts().rows]
    keys = ("forecast_from_pct", "forecast_to_pct", "plans", "failed_pct")
    assert shown == [tuple(band[key] for key in keys) for band in bands]
    assert measured["date"] in forecasts().source
    assert f"{measured['houses']} houses" in forecasts().source


@pytest.mark.parametrize(("fails_pct", "failed_pct"), [(0.0, 2.4), (1.0, 15.2), (24.9, 34.6)])
def test_the_band_of_a_forecast_is_found(fails_pct: float, failed_pct: float) -> None:
    """A band holds its lower end and not its upper."""
    row = forecast_like(fails_pct)
    assert row is not None
    assert row.failed_pct == failed_pct


def test_a_band_hardly_seen_says_nothing() -> None:
    """Where few plans were forecast so, nothing is claimed."""
    assert forecast_like(80.0) is None
