"""The leads a van carries where a job lists none: the usual lengths, for every plug that needs one.

A crew that brings a head with a larger plug brings the leads it goes on.
"""

from collections.abc import Iterator, Mapping

from spreadload import practice
from spreadload.derived.kit import cord_family
from spreadload.derived.records import LoadFacts
from spreadload.electrical import cords
from spreadload.job.base import MAX_COUNT
from spreadload.job.job import Job
from spreadload.job.kit import Head, Lead, Load


def with_usual_leads(job: Job, loads: Mapping[str, LoadFacts]) -> Job:
    """Return a job that lists no leads with the usual ones, as many as needed.

    Args:
        job: The job.
        loads: Its loads as worked out, for the plugs they have.
    """
    if job.lists_leads:
        return job
    ordinary = practice.region(job.region).ordinary_plug
    larger = dict.fromkeys(
        load.plug
        for load_id, load in loads.items()
        if _may_take_a_lead(job, load_id) and not practice.plug(load.plug).enters_outlet(ordinary)
    )
    leads = [*_of_plug(job, None), *(lead for plug in larger for lead in _of_plug(job, plug))]
    return job.model_copy(update={"leads": tuple(leads)})


def _may_take_a_lead(job: Job, load_id: str) -> bool:
    stated: Head | Load | None = job.loads.get(load_id)
    return stated is None or (isinstance(stated, Load) and stated.place is not None)


def _of_plug(job: Job, plug: str | None) -> Iterator[Lead]:
    """Yield the usual lengths with a plug, None being the ordinary one on its usual cord."""
    size = None if plug is None else _size_for(job.region, practice.plug(plug).rated_a)
    number = None if size is None else float(size.split()[0])
    is_gauge = size is not None and size.endswith("AWG")
    size_mm2 = None if is_gauge else number
    size_awg = int(number) if is_gauge and number is not None else None
    in_feet = practice.region(job.region).units_of_length == "ft"
    lengths = practice.unlisted_lead_ft() if in_feet else practice.unlisted_lead_m()
    for length in lengths.values:
        yield Lead(
            length_ft=length if in_feet else None,
            length_m=None if in_feet else length,
            size_mm2=size_mm2,
            size_awg=size_awg,
            plug=plug,
            count=MAX_COUNT,
        )


def _size_for(region: str, rated_a: float) -> str | None:
    """Return the thinnest cord that carries a plug's rating, or None where none listed does."""
    rows = cords.cord_ratings(cord_family(region))
    return next((row.size for row in rows if row.rated_a >= rated_a), None)
