"""What a gaffer walks away from until a licensed electrician has looked: red flags of the recce."""

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from spreadload.job.base import Stated, Text

if TYPE_CHECKING:
    from spreadload.job.job import Job


class RedFlag(Stated):
    """One fault seen or told at the recce.

    Attributes:
        what: The fault in the crew's words: a scorched plate, a board that buzzes, no RCD.
        where: Where it is, in words, for a fault that is at no one outlet or circuit.
        outlet: The outlet it is at; not used while the flag is open.
        circuit: The circuit it is on; not used while the flag is open.
        cleared: Who looked at it and when; the flag is open while nothing stands here.
    """

    what: Text
    where: Text = ""
    outlet: Text | None = None
    circuit: Text | None = None
    cleared: Text = ""

    @property
    def is_open(self) -> bool:
        """Whether nobody has cleared it."""
        return not self.cleared.strip()

    def __str__(self) -> str:
        """Return the fault with its place: ``scorched plate (outlet A3)``."""
        places = (
            self.outlet and f"outlet {self.outlet}",
            self.circuit and f"circuit {self.circuit}",
            self.where,
        )
        told = ", ".join(filter(None, places))
        return f"{self.what} ({told})" if told else self.what


def open_flags(job: "Job") -> Iterator[RedFlag]:
    """Yield the red flags nobody has cleared; a bare line of text is one too."""
    for stated in job.red_flags:
        flag = RedFlag(what=stated) if isinstance(stated, str) else stated
        if flag.is_open:
            yield flag


def until_cleared(said: str, flags: Iterable[str]) -> str:
    """Return an answer that promises nothing while one of some red flags is open."""
    named = "; ".join(flags)
    return f"{said}. NOT READY while a red flag is open: {named}" if named else said
