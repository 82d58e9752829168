"""Red flags: are they at what there is, and do they say anything? Imports only its neighbours."""

from collections.abc import Iterator

from spreadload.job.job import Job
from spreadload.job.references.finding import Finding, Path, unknown


def check_red_flags(job: Job) -> Iterator[Finding]:
    """Yield flags that say nothing, and outlets and circuits that the job does not have."""
    for index, flag in enumerate(job.red_flags):
        path: Path = ("red_flags", index)
        if isinstance(flag, str):
            yield from _blank(path, flag)
            continue
        yield from _blank((*path, "what"), flag.what)
        if flag.outlet is not None:
            yield from unknown((*path, "outlet"), "outlet", flag.outlet, job.outlets)
        if flag.circuit is not None:
            yield from unknown((*path, "circuit"), "circuit", flag.circuit, job.circuits)


def _blank(path: Path, words: str) -> Iterator[Finding]:
    if not words.strip():
        yield Finding(path, "a red flag says nothing", remedy="say what was seen, or remove it")
