"""The answer to “may I plug this in here?”."""

from dataclasses import dataclass
from enum import StrEnum

from spreadload.on_the_day.ask.question import Question
from spreadload.on_the_day.ask.room_left import Link


class Says(StrEnum):
    """The kinds of answer."""

    YES = "yes"
    ELSEWHERE = "no, but there"
    ONLY_IF = "only if"
    NO = "no"


@dataclass(frozen=True)
class Spot:
    """A point where the load may be plugged in for the whole time asked about.

    Attributes:
        how: Straight in, on a power board there, or on one to be brought.
        tightest: The limit with the least room left, over all set-ups asked about.
        chain: Every limit on amps from socket to street, each where it is tightest.
        also: What is left of limits that are not in amps, in words.
        lowest_v: Lowest volts any unit has then, or None where nothing tells.
        trips: On what share of the wirings still possible the plan trips then, 0 to 1; None where
            the answer holds on every one of them.
    """

    point: str
    how: str
    tightest: Link
    chain: tuple[Link, ...]
    also: tuple[str, ...] = ()
    lowest_v: float | None = None
    trips: float | None = None


@dataclass(frozen=True)
class OnlyIf:
    """Something else that would have to be off, and where the load may be then.

    Attributes:
        load: What would have to be off.
        setups: Where it would have to be.
        point: Where the load may then be for the whole time asked about.
    """

    load: str
    setups: tuple[str, ...]
    point: str


@dataclass(frozen=True)
class Reply:
    """The answer.

    Attributes:
        spot: Where it goes in, as asked; None unless the answer is yes.
        others: Other places where it would be fine, nearest first.
        only_if: Loads of which any one, off where that is needed, would make it fine as asked.
        reasons: Which limits it would pass as asked, the first few.
        needs_a: Amps the load draws [A].
        was_broken: Whether the plan passes a limit even without it.
        tripped: On what share of the wirings still possible the plan trips without it, 0 to 1; None
            where that was not asked.
        unless_heat_ma: What one plug may take there if it makes no heat, where it is taken to make
            some and takes more [mA]; else None.
    """

    says: Says
    question: Question
    spot: Spot | None
    others: tuple[Spot, ...]
    only_if: tuple[OnlyIf, ...]
    reasons: tuple[str, ...]
    needs_a: float
    was_broken: bool
    tripped: float | None = None
    unless_heat_ma: int | None = None
