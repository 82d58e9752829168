"""Reading the switchboard: what each way feeds, how sure that is, and why.

A statement of the job always wins over a reading of the label.
"""

import re
from dataclasses import dataclass

from spreadload import practice
from spreadload.job.job import Job
from spreadload.job.site import Circuit, Feeds

# A run of letters, or of digits: "GPO1" and "H/W" read as "gpo 1" and "h w".
_WORD = re.compile(r"[^\W\d_]+|\d+")


@dataclass(frozen=True)
class BoardReading:
    """What one way feeds.

    Attributes:
        certainty: 1 when stated, less when read from a label or a rating.
        reason: Why, in a few words.
    """

    feeds: Feeds
    certainty: float
    reason: str


def read_way(job: Job, circuit_id: str) -> BoardReading:
    """Return what a way of the switchboard feeds."""
    circuit = job.circuits[circuit_id]
    if circuit.feeds is not None:
        return BoardReading(circuit.feeds, 1.0, "stated")
    fed = [o for o, outlet in job.outlets.items() if outlet.circuit == circuit_id]
    if fed:
        return BoardReading(Feeds.OUTLETS, 1.0, f"outlet {fed[0]} is on it")
    by_label = _by_label(circuit, job.region)
    return by_label or _by_rating(circuit, job.region)


def _by_label(circuit: Circuit, region: str) -> BoardReading | None:
    label = " ".join(_WORD.findall(circuit.label.lower()))
    for row in practice.labels(region):
        if f" {row.word} " in f" {label} ":
            return BoardReading(
                Feeds(row.feeds), row.certainty, f"label “{circuit.label}” reads as {row.feeds}"
            )
    return None


def _by_rating(circuit: Circuit, region: str) -> BoardReading:
    rating = circuit.breaker_a or circuit.fuse_a
    usual = practice.region(region).usual_outlet_breakers_a
    if rating is not None and rating in usual:
        return BoardReading(Feeds.OUTLETS, 0.6, f"{rating:g} A is a usual rating for outlets")
    return BoardReading(Feeds.OTHER, 0.5, "neither label nor rating says outlets")
