"""How well the chances of plans held on simulated houses, so that no page sounds surer than it is.

Data and look-ups only. Imports nothing of the project but its neighbours.
"""

from functools import cache

from spreadload.practice.load import build, read_data
from spreadload.practice.records import Record, Sourced


class Forecast(Record):
    """Plans that were said to fail in some band, and how many did.

    Attributes:
        from_pct: Least that was forecast [in 100].
        to_pct: Less than this was forecast [in 100].
        plans: How many plans.
        failed_pct: How many of 100 of them failed.
    """

    from_pct: float
    to_pct: float
    plans: int
    failed_pct: float


class Forecasts(Sourced):
    """The table, with where it comes from."""

    rows: tuple[Forecast, ...]


@cache
def forecasts() -> Forecasts:
    """Return the whole table."""
    return build(Forecasts, read_data("forecasts.yaml"), "forecasts.yaml")


def forecast_like(fails_pct: float) -> Forecast | None:
    """Return what became of plans with such a forecast, or None where too few were seen."""
    return next((r for r in forecasts().rows if r.from_pct <= fails_pct < r.to_pct), None)
