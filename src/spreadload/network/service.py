"""The supply as readings show it: volts with nothing on, and the impedance in front of the board.

Readings at an outlet or a sub-board hold the wiring to it as well; what is over the supply's own
impedance is that wiring.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from spreadload.derived.facts import Facts
from spreadload.electrical.behaviour import LoadClass
from spreadload.electrical.source import (
    ReadingPair,
    SourceEstimate,
    Strength,
    estimate_source,
)
from spreadload.job.site import Reading
from spreadload.network.assumed import READING_SERVICE_SHARE

BOARD = "board"


@dataclass(frozen=True, slots=True)
class Service:
    """Everything in front of the main board.

    Attributes:
        idle_v: Line-to-neutral volts with nothing on [V].
        ohm: Likely impedance, line and neutral together [Ω].
        low_ohm: Low end of its uncertainty [Ω].
        high_ohm: High end of its uncertainty [Ω].
        strength: How far to trust it.
        words: Where it comes from, for a reader.
        notes: What was odd about the readings.
    """

    idle_v: float
    ohm: float
    low_ohm: float
    high_ohm: float
    strength: Strength
    words: str
    notes: tuple[str, ...]

    @property
    def may_refuse(self) -> bool:
        """Whether a plan may be refused on it; what is weak or assumed only warns."""
        return self.strength is Strength.MEASURED


def estimates_by_point(facts: Facts) -> dict[str, SourceEstimate]:
    """Return what the supply looks like from every point with a pair of readings."""
    by_point: dict[str, list[ReadingPair]] = {}
    for reading in facts.job.supply.readings:
        by_point.setdefault(reading.at, []).append(_pair(facts, reading))
    nominal_v = facts.supply.planning_v
    return {at: estimate_source(pairs, nominal_v) for at, pairs in by_point.items()}


def has_loaded_readings(facts: Facts) -> bool:
    """Whether any reading was taken with a known load on."""
    return any(
        reading.loaded_v is not None and (reading.load_a or reading.load_w)
        for reading in facts.job.supply.readings
    )


def service_of(facts: Facts, estimates: dict[str, SourceEstimate], wiring_ohm: float) -> Service:
    """Return the supply in front of the board.

    Args:
        facts: The job.
        estimates: See ``estimates_by_point``.
        wiring_ohm: What the wiring to the best-read outlet is taken as [Ω], where nothing was
            read at the board.
    """
    idle_v = min((each.idle_v for each in estimates.values()), default=facts.supply.planning_v)
    notes = tuple(f"{at}: {note}" for at, each in estimates.items() for note in each.notes)
    if BOARD in estimates and estimates[BOARD].used:
        here = estimates[BOARD]
        words = f"{_ohms(here)} from {_pairs(here.used)} at the board"
        return _service(here, idle_v, words, notes)
    at = best_read(estimates)
    if at is not None:
        return _behind_outlet(estimates[at], at, (idle_v, wiring_ohm), notes)
    assumed = estimates.get(BOARD) or estimate_source((), facts.supply.planning_v)
    words = f"{assumed.loop_ohm:.2f} Ω assumed, nobody read the volts under a known load"
    return _service(assumed, idle_v, words, notes or assumed.notes)


def best_read(estimates: dict[str, SourceEstimate]) -> str | None:
    """Return the point away from the board whose reading is the surest, or None."""
    used = {at: each for at, each in estimates.items() if each.used and at != BOARD}
    return min(used, key=lambda at: used[at].high_ohm - used[at].low_ohm, default=None)


def _behind_outlet(
    here: SourceEstimate, at: str, known: tuple[float, float], notes: tuple[str, ...]
) -> Service:
    """Put an impedance read at an outlet down to supply and wiring; their sum is what was read."""
    idle_v, wiring_ohm = known
    ohm = max(here.loop_ohm - wiring_ohm, READING_SERVICE_SHARE.value * here.loop_ohm)
    spread = here.high_ohm - here.loop_ohm
    words = (
        f"{ohm:.2f} Ω: {_ohms(here)} from {_pairs(here.used)} at {at}, "
        f"of which {here.loop_ohm - ohm:.2f} Ω is put down to the wiring to it"
    )
    return Service(idle_v, ohm, max(0.0, ohm - spread), here.high_ohm, here.strength, words, notes)


def _service(here: SourceEstimate, idle_v: float, words: str, notes: tuple[str, ...]) -> Service:
    return Service(idle_v, here.loop_ohm, here.low_ohm, here.high_ohm, here.strength, words, notes)


def _ohms(here: SourceEstimate) -> str:
    return f"{here.loop_ohm:.2f} Ω ({here.low_ohm:.2f} to {here.high_ohm:.2f})"


def _pairs(count: int) -> str:
    return "one pair of readings" if count == 1 else f"{count} pairs of readings"


def _pair(facts: Facts, reading: Reading) -> ReadingPair:
    """Return a reading as line-to-neutral volts; one taken between lines is brought down to it."""
    supply = facts.supply
    between = supply.line_to_line_v / supply.planning_v
    is_between = len(supply.phases) > 1 and reading.idle_v > supply.planning_v * (1 + between) / 2
    if not is_between:
        return ReadingPair(
            idle_v=reading.idle_v,
            loaded_v=reading.loaded_v,
            load_a=reading.load_a,
            load_w=reading.load_w,
            load_rated_v=supply.planning_v,
            load_class=LoadClass.CONSTANT_RESISTANCE,
        )
    whole = ReadingPair(
        reading.idle_v, reading.loaded_v, reading.load_a, reading.load_w, supply.line_to_line_v
    )
    idle_v = reading.idle_v / between
    fall_v = 0.0 if reading.loaded_v is None else reading.idle_v - reading.loaded_v
    loaded_v = None if reading.loaded_v is None else idle_v - fall_v
    return ReadingPair(idle_v, loaded_v, load_a=whole.amps_a)


def all_notes(service: Service, extra: Iterable[str]) -> tuple[str, ...]:
    """Return the notes on the readings, each once."""
    return tuple(dict.fromkeys((*service.notes, *extra)))
