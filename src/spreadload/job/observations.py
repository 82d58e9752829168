"""What was seen, tried and told on the recce and on the day, each with who, when and how."""

import json
from collections import Counter
from enum import StrEnum
from functools import cached_property
from hashlib import sha256
from typing import Annotated

from pydantic import Field

from spreadload.job.base import Amps, Stated, Text, Volts


class Seen(StrEnum):
    """Kinds of observation."""

    BREAKER_OFF = "breaker off"
    TRIP = "trip"
    RCD = "rcd"
    STORY = "story"
    LABEL = "label"
    HELD = "held"
    LOAD_STEP = "load step"
    STRIKE = "strike"


_KEY_DIGITS = 8


class Observation(Stated):
    """One entry of the log. Nothing is ever merged or forgotten; ``struck`` sets an entry aside.

    Attributes:
        what: Kind of observation.
        circuits: Breakers that were off or tripped, or that a story or label names; for ``held``
            the one that held.
        rcd: The RCD that was pressed or tripped.
        dark: Outlets found dead, or said to have gone dead, or named by a label.
        still_on: Outlets found working.
        loads_a: ``held``: amps known to have hung on each outlet all that time.
        hours: ``held``: for how long.
        loaded: ``load step``: outlet with the test load.
        read: ``load step``: outlet where volts were read.
        idle_v: Volts there before.
        loaded_v: Volts there with the test load on.
        supply_drop_v: ``load step``: what the supply alone falls by, read near the board.
        struck: Set aside, because it was wrong or is out of date.
        strikes: ``strike``: key of an earlier entry that this one sets aside.
        in_doubt: Set aside while it clashes with others; never written, found out when read.
    """

    what: Seen
    circuits: tuple[Text, ...] = ()
    rcd: Text | None = None
    dark: tuple[Text, ...] = ()
    still_on: tuple[Text, ...] = ()
    loads_a: dict[Text, Amps] = {}
    hours: Annotated[float, Field(gt=0, le=24)] | None = None
    loaded: Text | None = None
    read: Text | None = None
    idle_v: Volts | None = None
    loaded_v: Volts | None = None
    supply_drop_v: Annotated[float, Field(ge=0, le=100)] | None = None
    who: Text = ""
    when: Text = ""
    how: Text = ""
    struck: bool = False
    note: Text = ""
    strikes: Text | None = None
    in_doubt: bool = False

    @cached_property
    def key(self) -> str:
        """Short text that is the same for the same observation in whichever log it stands."""
        said = self.model_dump(
            mode="json", exclude_defaults=True, exclude={"struck", "in_doubt", "note"}
        )
        return sha256(json.dumps(said, sort_keys=True).encode()).hexdigest()[:_KEY_DIGITS]


class Log(Stated):
    """The log of a job: observations in the order they were made."""

    observations: tuple[Observation, ...] = ()

    @property
    def standing(self) -> tuple[tuple[int, Observation], ...]:
        """Entries that have not been struck out, each with its number, counted from 1."""
        struck = self.struck
        return tuple((n, o) for n, o in self.numbered if n not in struck and not o.in_doubt)

    @property
    def numbered(self) -> tuple[tuple[int, Observation], ...]:
        """Every entry but the striking ones, each with its number, counted from 1."""
        return tuple(
            (n, o) for n, o in enumerate(self.observations, 1) if o.what is not Seen.STRIKE
        )

    @property
    def struck(self) -> frozenset[int]:
        """Numbers of the entries that have been struck out, by themselves or by a later one."""
        strikes = Counter(o.strikes for o in self.observations if o.what is Seen.STRIKE)
        found = {n for n, o in self.numbered if o.struck}
        for n, o in self.numbered:
            if n not in found and strikes[o.key]:
                strikes[o.key] -= 1
                found.add(n)
        return frozenset(found)


# Keeps the place of an entry that cannot be read, so that the others keep their numbers.
UNREADABLE = Observation(what=Seen.STORY, in_doubt=True, note="cannot be read")
