"""Lengths and positions, which may stand in metres or in feet. Imports only its neighbours."""

from collections.abc import Iterator, Mapping

from spreadload.job.base import Stated
from spreadload.job.job import Job
from spreadload.job.references.finding import Finding, Path

_FEET = "_ft"


def check_lengths(job: Job) -> Iterator[Finding]:
    """Yield every length that is stated in both units."""
    yield from _twice(("supply",), job.supply)
    sections: dict[str, Mapping[str, Stated]] = {
        "sub_boards": job.sub_boards,
        "circuits": job.circuits,
        "rooms": job.rooms,
        "outlets": job.outlets,
        "places": job.places,
        "heads": job.heads,
        "stock": job.stock,
        "departments": job.departments,
        "house": job.house,
        "boxes": job.boxes,
    }
    for section, entries in sections.items():
        for name, entry in entries.items():
            yield from _twice((section, name), entry)
    for index, lead in enumerate(job.leads):
        yield from _twice(("leads", index), lead)


def _twice(path: Path, entry: Stated) -> Iterator[Finding]:
    for in_feet in (key for key in type(entry).model_fields if key.endswith(_FEET)):
        stem = in_feet.removesuffix(_FEET)
        in_metres = stem if stem in type(entry).model_fields else f"{stem}_m"
        if getattr(entry, in_feet) is not None and getattr(entry, in_metres) is not None:
            what = "a position" if in_metres == stem else "a length"
            remedy = f"keep one of {in_metres} and {in_feet}"
            yield Finding(path, f"{what} in metres and in feet", remedy=remedy)
