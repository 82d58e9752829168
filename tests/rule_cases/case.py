"""The shape of a case, and a few entries shared by several."""

from dataclasses import dataclass

from builders import Entry, job_of, small_data
from spreadload.job.job import Job
from spreadload.plan import Plan


@dataclass(frozen=True)
class Case:
    """A job with a plan that one rule forbids and a neighbour that every rule allows.

    Attributes:
        name: What makes the difference, in a few words.
        value: What the forbidden plan asks; None when it follows from a table.
        limit: What is allowed.
        unit: Unit of both, "" for a count.
        where: What the violation points at.
    """

    rule: str
    name: str
    data: Entry
    forbidden: Plan
    allowed: Plan
    value: float | None
    limit: float
    unit: str
    where: str

    @property
    def job(self) -> Job:
        """The job of the case."""
        return job_of(self.data)

    @property
    def nothing_asked(self) -> Job:
        """The same house on a day that asks for nothing."""
        return job_of(self.data | {"setups": [{"id": "SU1"}]})


def flat(**changes: object) -> Entry:
    """Return the plain data of the small flat with some entries replaced."""
    return small_data(**changes)
