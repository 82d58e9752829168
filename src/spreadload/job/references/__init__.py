"""Cross-references and sense: what a job that reads well still cannot mean.

Pure functions from a job to findings; nothing here reads files or knows of line numbers. Imports
only the job's own models.
"""

from collections.abc import Collection, Mapping

from spreadload.job.job import Job
from spreadload.job.references.beliefs import check_beliefs
from spreadload.job.references.board import check_board
from spreadload.job.references.day import check_day
from spreadload.job.references.finding import Finding, Known
from spreadload.job.references.kit import check_kit
from spreadload.job.references.leave import check_leave
from spreadload.job.references.lengths import check_lengths
from spreadload.job.references.names import check_names
from spreadload.job.references.outlets import check_outlets
from spreadload.job.references.red_flags import check_red_flags
from spreadload.job.references.rules import check_rules

__all__ = ["Finding", "find_faults"]


def find_faults(
    job: Job,
    *,
    regions: Collection[str],
    plugs: Collection[str],
    gauges: Collection[int] | None = None,
    countries: Mapping[str, str] | None = None,
) -> tuple[Finding, ...]:
    """Return everything that cannot be meant, in the order of the job's models.

    Args:
        job: A job as validated.
        regions: Regions there is practice for.
        plugs: Plug standards that may be named.
        gauges: American wire gauges that leads may have, or None to accept any.
        countries: The region for what people write instead, in lower case.
    """
    known = Known(regions, plugs, gauges, countries or {})
    return (
        *check_names(job),
        *check_board(job, known),
        *check_outlets(job, known),
        *check_beliefs(job),
        *check_kit(job, known),
        *check_day(job),
        *check_rules(job),
        *check_leave(job),
        *check_lengths(job),
        *check_red_flags(job),
    )
