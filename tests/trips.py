"""Short ways to tell of a trip in a test."""

from builders import plan_of
from spreadload.derived.facts import Facts
from spreadload.job.job import Job
from spreadload.job.observations import Log
from spreadload.on_the_day.trip.causes import Cause, Seen
from spreadload.on_the_day.trip.diagnosis import TripAnswer, after_a_trip
from spreadload.on_the_day.trip.report import Report
from spreadload.plan import Placement, SwitchedOff


def told(
    job: Job,
    *placements: Placement | SwitchedOff,
    dark: tuple[str, ...] = (),
    lit: tuple[str, ...] = (),
    device: str | None = None,
    just: str = "",
    after_s: float | None = None,
    log: Log | None = None,
    bright: tuple[str, ...] = (),
    dark_units: tuple[Placement, ...] = (),
    lit_units: tuple[Placement, ...] = (),
) -> TripAnswer:
    """Return the answer to a trip in the first set-up of a job."""
    known = just if just in Facts.of(job).loads else None
    seen = Seen(dark, lit, dark_units, lit_units, known, bright)
    report = Report(seen, device, just, after_s, "2026-03-01T10:00:00")
    return after_a_trip(job, log or Log(), plan_of(*placements), job.setups[0].id, report)


def causes(answer: TripAnswer) -> dict[Cause, float]:
    """Return how likely each kind of cause is."""
    found: dict[Cause, float] = {}
    for cause in answer.causes:
        found[cause.cause] = found.get(cause.cause, 0.0) + cause.share
    return found
