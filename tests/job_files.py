"""Job files as somebody typed them, and what is said of them."""

from pathlib import Path

from spreadload.errors import Fault, InputError
from spreadload.io.job_file import load_job


def faults_of(folder: Path, text: str) -> tuple[Fault, ...]:
    """Return what is said of a job file with this text; nothing if it is read."""
    path = folder / "job.yaml"
    path.write_text(text, encoding="utf-8")
    try:
        load_job(path)
    except InputError as error:
        return error.faults
    return ()
